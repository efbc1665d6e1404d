"""What the program has to tell a person: one value type for warnings, cautions and faults, on every face."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a notice matters, from a fault that stops the work to a plain remark."""

    FAULT = "fault"  # the input is wrong; nothing can be built on it
    WARNING = "warning"  # the plan stands, but something needs a decision
    CAUTION = "caution"  # someone can get hurt, or the law has a say
    ASSUMPTION = "assumption"  # a figure the plan rests on and nobody has measured here
    REMARK = "remark"


@dataclass(frozen=True)
class Notice:
    """One thing to tell.

    Attributes
    ----------
    severity : Severity
    where : str
        Place in the input ("plan.yaml, line 12, place.latitude") or department ("trellis").
    says : str
        What is so, in a sentence.
    remedy : str
        What would be right, or what to do; empty where nothing is to be done.
    source : str
        Key of the bibliography, or empty.
    """

    severity: Severity
    where: str
    says: str
    remedy: str = ""
    source: str = ""

    def __str__(self) -> str:
        tail = f" {self.remedy}" if self.remedy else ""
        return f"{self.where}: {self.says}{tail}"


def fault(where: str, says: str, remedy: str = "", source: str = "") -> Notice:
    return Notice(Severity.FAULT, where, says, remedy, source)


def warning(where: str, says: str, remedy: str = "", source: str = "") -> Notice:
    return Notice(Severity.WARNING, where, says, remedy, source)


def caution(where: str, says: str, remedy: str = "", source: str = "") -> Notice:
    return Notice(Severity.CAUTION, where, says, remedy, source)


def assumption(where: str, says: str, remedy: str = "", source: str = "") -> Notice:
    return Notice(Severity.ASSUMPTION, where, says, remedy, source)


def remark(where: str, says: str, remedy: str = "", source: str = "") -> Notice:
    return Notice(Severity.REMARK, where, says, remedy, source)


class Faults(Exception):
    """Every fault found in an input, gathered before anything is said.

    Raised at the edge (plan, weather, catalogue files); the command line prints the list and ends with code 2.
    """

    def __init__(self, notices: Iterable["Notice"]) -> None:
        self.notices = tuple(notices)
        super().__init__("\n".join(str(notice) for notice in self.notices))
