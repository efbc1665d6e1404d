"""The step of the choice: it begins with what an earlier one learnt, and what nobody waits for is worked out beside.

Imports stand inside the functions, as in `steps`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from topwire.choice.findings import Choice
from topwire.engine.department import Department, Earlier, Posed, Rest
from topwire.engine.keys import question_key
from topwire.engine.store import has, load
from topwire.layout.findings import Ground
from topwire.phenology.findings import PlaceSeasons
from topwire.values.progress import Progress

if TYPE_CHECKING:
    from topwire.choice.asked import ChoiceQuestion
    from topwire.choice.model import Array
    from topwire.engine.beside import Work
    from topwire.engine.inputs import Inputs


def _ask_choice(inputs: Inputs, earlier: Earlier) -> ChoiceQuestion:
    from topwire.choice.question import question
    from topwire.layout.places import places_of

    places = places_of(earlier.of("ground", Ground))
    return question(inputs.plan, inputs.catalogue, earlier.of("place", PlaceSeasons), places)


class WeighingOfChoice(Rest):
    """What each cultivar is worth, and how sure the choice is.

    Parameters
    ----------
    earlier : of each half of the years trees for the mean year of an earlier question
    """

    def __init__(self, asked: ChoiceQuestion, folder: Path, earlier: tuple[Array, ...] = ()) -> None:
        self.asked, self.folder, self.earlier = asked, folder, earlier

    def ahead(self) -> Mapping[str, Work | None]:
        from topwire.choice.proof import prepare
        from topwire.engine.beside import PROOF, WEIGHING

        return {WEIGHING: None, PROOF: (prepare, (self.asked, self.earlier))}

    def wanting(self, found: object) -> bool:
        return isinstance(found, Choice) and found.proof is None

    def work(self, found: object) -> tuple[Work, ...] | None:
        from topwire.choice.choosing import standing_of
        from topwire.choice.proof import prove
        from topwire.choice.weighing import weigh, worth
        from topwire.choice.years import Years
        from topwire.engine.learnt import learnt

        assert isinstance(found, Choice)
        kept = learnt(self.folder)
        if self.asked.limits.most_lost is not None or kept is None or kept.asked != _bare_key(self.asked):
            return None  # the conditions that hold the loss were not kept
        cuts, standing = kept.of_search, standing_of(self.asked, found)
        years = Years(self.asked.supply.with_harder_springs(), self.asked.needs, self.asked.limits)
        bases = years.among(kept.all.bases, standing.near)
        return (
            (prove, (self.asked, kept.settled, kept.all.halves, None)),
            (weigh, (self.asked, standing, cuts, bases)),
            (worth, (self.asked, standing, cuts, bases)),
        )

    def whole(self, found: object, rests: Sequence[object]) -> object:
        from topwire.choice.proof import Proven
        from topwire.choice.weighing import WeighedChoice, WorthOfMore, with_weighed
        from topwire.engine.learnt import keep_learnt, learnt

        proven, weighed, more = rests
        assert isinstance(found, Choice)
        assert isinstance(proven, Proven)
        assert isinstance(weighed, WeighedChoice)
        assert isinstance(more, WorthOfMore)
        kept = learnt(self.folder)
        if proven.taught is not None and kept is not None and kept.asked == _bare_key(self.asked):
            keep_learnt(self.folder, replace(kept, all=replace(kept.all, halves=proven.taught)))
        return with_weighed(found, weighed, more, proven.proof)


def _bare_key(asked: ChoiceQuestion) -> str:
    """Of the question without what it begins with."""
    return question_key("choice", replace(asked, before=None))


@dataclass(frozen=True)
class ChoiceStep(Department):
    """The choice: beside its findings it keeps what it learnt of the years in the plan's folder.

    A question about the same years that differs in amounts, trees or taste alone begins with what was learnt, and is a
    question of its own: what it is answered hangs on what it begins with, as far as the gap leaves room. Once answered
    it stands for the bare question too.
    """

    name: str = "choice"
    says: str = "cultivars and numbers"
    needs: tuple[str, ...] = ("place", "ground")
    findings: type[object] = Choice

    def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
        from topwire.engine.learnt import learnt, years_asked

        asked = _ask_choice(inputs, earlier)
        bare = question_key(self.name, asked)
        if has(inputs.folder, self.name, bare) or (kept := learnt(inputs.folder)) is None:
            return self._posed(inputs, asked, bare)
        if kept.asked == bare:
            stands = load(inputs.folder, self.name, kept.answered_as, Choice) is not None
            return self._posed(inputs, asked, kept.answered_as if stands else bare)
        from topwire.choice.search import SMALL

        if asked.limits.places > SMALL and kept.years == years_asked(asked):
            begun = question_key(self.name, (bare, kept.digest))
            return self._posed(inputs, replace(asked, before=kept.to_begin_with), begun)
        return self._posed(inputs, asked, bare)

    def _posed(self, inputs: Inputs, asked: ChoiceQuestion, key: str) -> Posed:
        halves = None if asked.before is None else asked.before.halves
        earlier = () if halves is None else tuple(halves.mean_year)
        weighing = WeighingOfChoice(replace(asked, before=None), inputs.folder, earlier)

        def answered(progress: Progress) -> Choice:
            import numpy as np

            from topwire.choice.amounts import amounts_of
            from topwire.choice.answer import answer
            from topwire.choice.choosing import choose
            from topwire.choice.learnt import Learnt, Settled, lasting
            from topwire.choice.proof import prove
            from topwire.choice.weighing import weigh, worth
            from topwire.engine.ahead import AHEAD
            from topwire.engine.learnt import KeptLearnt, keep_learnt, years_asked

            amounts = amounts_of(asked.needs, asked.limits)
            halves = None if asked.before is None else asked.before.for_amounts(amounts).halves
            known: list[Settled] = []

            def settled(now: Settled) -> None:
                known.append(now)
                if asked.limits.most_lost is None:  # the plan's conditions are known
                    weighing.begin(prove, weighing.asked, now, halves, AHEAD)

            chosen = choose(asked, progress, settled)
            found = chosen.found
            if asked.limits.most_lost is not None:
                weighing.begin(prove, chosen.asked, known[0], halves, AHEAD)
            to_weigh = chosen.asked, chosen.standing, found.cuts, chosen.bases_near
            weighing.begin(weigh, *to_weigh)
            weighing.leave(worth, *to_weigh)
            choice = answer(chosen, progress)
            cuts = chosen.years.cuts
            assert cuts is not None
            keep_learnt(
                inputs.folder,
                KeptLearnt(
                    years_asked(asked),
                    _bare_key(asked),
                    key,
                    Learnt(amounts, cuts, np.array([found.trees, found.relaxed]), halves, chosen.bases),
                    found.cuts.year.size,
                    lasting(cuts, found.trees, found.relaxed),
                    known[0],
                ),
            )
            return choice

        return Posed(replace(asked, before=None), self.findings, answered, weighing, key)
