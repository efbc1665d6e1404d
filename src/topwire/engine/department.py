"""A department as the engine runs it: what it is asked, who answers, and what of its answer nobody waits for."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from topwire.values.progress import Progress

if TYPE_CHECKING:
    from topwire.engine.beside import Work
    from topwire.engine.inputs import Inputs

Q = TypeVar("Q")
F = TypeVar("F")


@dataclass(frozen=True)
class Earlier:
    """Findings of the steps before, by name; and what they were asked, as far as it was put in this run."""

    done: Mapping[str, object]
    asked: Mapping[str, object] = field(default_factory=dict)

    def of(self, name: str, findings: type[F]) -> F:
        """The findings of a step that this one cannot do without.

        Raises
        ------
        KeyError
            When they are absent; the engine asks no step whose needs are not met.
        """
        found = self.done[name]
        assert isinstance(found, findings)
        return found

    def maybe(self, name: str, findings: type[F]) -> F | None:
        """The same, None where the step could not answer."""
        return self.of(name, findings) if name in self.done else None


@dataclass(frozen=True)
class First(Generic[F]):
    """A smaller question, on which most of a step's work hangs: its answer is kept by itself, and stands where only the
    rest of the step's question has changed.

    Attributes
    ----------
    whole : the step's findings, from what the smaller question was answered
    """

    question: object
    findings: type[F]
    answer: Callable[[Progress], F]
    whole: Callable[[F], object]


@dataclass(frozen=True)
class Posed:
    """A question put: what is asked, and how to have it answered.

    Attributes
    ----------
    key : under which its answer is kept, where that is not the question's own
    first : what may be taken from the store where the answer itself may not
    """

    question: object
    findings: type[object]
    answer: Callable[[Progress], object]
    rest: Rest | None = None
    key: str | None = None
    first: First[Any] | None = None


class Rest(ABC):
    """A part of a step's findings that no other step reads, worked out beside those that follow."""

    begin: Callable[..., None] = staticmethod(lambda *_: None)
    """For the step itself: begins a work, a function and what it is given, before its own findings are whole. Given by
    whoever runs the step; where nobody waits for the rest nothing begins."""
    leave: Callable[..., None] = staticmethod(lambda *_: None)
    """The same for a work that is left to whoever is done first: one of those begun, or the steps themselves."""

    def ahead(self) -> Mapping[str, Work | None]:
        """Modules of the works that the step itself will begin, which their processes read while it is at work; and
        what they may do ahead of them, which a work is given as AHEAD."""
        return {}

    @abstractmethod
    def wanting(self, found: object) -> bool:
        """Whether the findings are still without it."""

    @abstractmethod
    def work(self, found: object) -> tuple[Work, ...] | None:
        """What works it out for findings that were kept without it; None where it hangs on more than was kept."""

    @abstractmethod
    def whole(self, found: object, rests: Sequence[object]) -> object:
        """The findings with it; what the works found in the order they were begun."""


class Department(ABC):
    """A step as the engine runs it, whatever its question and findings are."""

    name: str
    says: str
    needs: tuple[str, ...]
    findings: type[object]

    @abstractmethod
    def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
        """The question of these inputs. Raises CannotAnswer or Faults where there is none."""


@dataclass(frozen=True)
class Step(Department, Generic[Q, F]):
    """One department.

    Attributes
    ----------
    name : of the department
    says : what it finds, for the progress line
    findings : class of its answer
    ask : its question, from the inputs and the earlier findings; the question alone decides whether it runs
    answer : the sum itself; takes the question and nothing else
    needs : steps without whose findings it cannot be asked
    first : the smaller question in its own, where there is one
    """

    name: str
    says: str
    findings: type[F]
    ask: Callable[[Inputs, Earlier], Q]
    answer: Callable[[Q, Progress], F]
    needs: tuple[str, ...] = ()
    first: Callable[[Q], First[Any]] | None = None

    def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
        question = self.ask(inputs, earlier)
        return Posed(
            question,
            self.findings,
            lambda progress: self.answer(question, progress),
            first=None if self.first is None else self.first(question),
        )
