"""What a department has to tell, without words: a code and the facts. Words are made above the engine, in `tell`."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from topwire.values.quantities import Quantity
from topwire.values.severity import Severity as Severity


@dataclass(frozen=True)
class Measured:
    """A figure in SI with what it measures, so that it can be told in the reader's units.

    `digits` are those of the metric unit's figure where the usual number does not serve.
    """

    value: float
    kind: Quantity
    digits: int | None = None


Fact = bool | int | float | str | Measured | tuple[Measured, ...] | tuple[str, ...] | tuple[int, ...]


@dataclass(frozen=True)
class Notice:
    """One thing to tell.

    Attributes
    ----------
    code : department and name ("nursery.right_unknown"); the words stand under it in `tell`
    severity : Severity
    setting : path in the plan that decides it ("nursery.take_rate"), or a table ("catalogue/prices.csv"); may be empty
    concerns : cultivars, stocks, rows or trees it is about
    facts : figures and names the words need, by name
    source : keys of the bibliography, or empty
    """

    code: str
    severity: Severity
    setting: str = ""
    concerns: tuple[str, ...] = ()
    facts: Mapping[str, Fact] = field(default_factory=dict)
    source: str = ""

    @property
    def department(self) -> str:
        return self.code.partition(".")[0]


class CannotAnswer(Exception):
    """A department cannot answer its question: what is missing or contradicts, as notices of severity fault."""

    def __init__(self, notices: Iterable[Notice]) -> None:
        self.notices = tuple(notices)
        super().__init__("; ".join(str(notice) for notice in self.notices))


def _notice(
    severity: Severity,
    code: str,
    setting: str,
    concerns: Iterable[str],
    source: str,
    facts: Mapping[str, Fact],
) -> Notice:
    return Notice(code, severity, setting, tuple(concerns), dict(facts), source)


def refusal(
    code: str, *, setting: str = "", concerns: Iterable[str] = (), source: str = "", **facts: Fact
) -> Notice:
    """Why a department cannot answer; raised inside `CannotAnswer`."""
    return _notice(Severity.FAULT, code, setting, concerns, source, facts)


def warning(
    code: str, *, setting: str = "", concerns: Iterable[str] = (), source: str = "", **facts: Fact
) -> Notice:
    return _notice(Severity.WARNING, code, setting, concerns, source, facts)


def caution(
    code: str, *, setting: str = "", concerns: Iterable[str] = (), source: str = "", **facts: Fact
) -> Notice:
    return _notice(Severity.CAUTION, code, setting, concerns, source, facts)


def assumption(
    code: str, *, setting: str = "", concerns: Iterable[str] = (), source: str = "", **facts: Fact
) -> Notice:
    return _notice(Severity.ASSUMPTION, code, setting, concerns, source, facts)


def remark(
    code: str, *, setting: str = "", concerns: Iterable[str] = (), source: str = "", **facts: Fact
) -> Notice:
    return _notice(Severity.REMARK, code, setting, concerns, source, facts)
