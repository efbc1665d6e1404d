"""Answers worked out before, taken again for the very same question, so that a run from nothing costs its new sums.

Taken by the whole question as bytes, never by its key: what a key leaves out is what the tests look for. It rests on an
answer hanging on its question alone, which `tests/engine/test_incremental.py` looks at too.
"""

import io
import pickle
from collections.abc import Sequence
from dataclasses import replace

from topwire.engine.department import Department, Earlier, Posed
from topwire.engine.inputs import Inputs
from topwire.engine.orchard import Orchard
from topwire.values.progress import Progress


def as_bytes(question: object) -> bytes:
    """Every class, figure and order in it; what lies twice in memory is written twice."""
    held = io.BytesIO()
    pickler = pickle.Pickler(held, protocol=5)
    pickler.fast = True
    pickler.dump(question)
    return held.getvalue()


class WorkedOut:
    """What was truly worked out, with what was asked."""

    def __init__(self) -> None:
        self._found: dict[tuple[str, bytes], object] = {}
        self._parted: dict[str, bytes] = {}  # questions of this run whose findings have a part still to come

    def answered(self, name: str, posed: Posed, *, takes: bool) -> Posed:
        """The question put, its answer remembered; where it `takes`, taken if this was answered before."""
        asked = (name, as_bytes(posed.question))

        def answer(progress: Progress) -> object:
            found = self._found.get(asked) if takes else None
            if found is None:
                found = self._found[asked] = posed.answer(progress)
                if posed.rest is not None:
                    self._parted[name] = asked[1]
            return found

        # What is made of a part that was kept is not remembered: a run from nothing does it all itself.
        if posed.first is not None and not takes:
            return posed
        return replace(posed, answer=answer, first=None)

    def seen(self, orchard: Orchard) -> Orchard:
        """A run to its end: the parts that came last stand in it."""
        for name, question in self._parted.items():
            self._found[name, question] = orchard.departments[name]
        self._parted.clear()
        return orchard


class _Overheard(Department):
    """A step whose answers are remembered."""

    def __init__(self, step: Department, worked_out: WorkedOut, *, takes: bool) -> None:
        self.name, self.says, self.needs, self.findings = step.name, step.says, step.needs, step.findings
        self._step, self._worked_out, self._takes = step, worked_out, takes

    def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
        return self._worked_out.answered(self.name, self._step.pose(inputs, earlier), takes=self._takes)


def overheard(steps: Sequence[Department], worked_out: WorkedOut, *, takes: bool) -> list[Department]:
    """The steps with their answers remembered; where they `take`, answers to the very same questions taken."""
    return [_Overheard(step, worked_out, takes=takes) for step in steps]
