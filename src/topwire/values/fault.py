"""What reading the grower's files found: mistakes that stop, and remarks on what was read, with the place in the file.

These speak in words where they are found, since they quote the file; a department tells a `values.notice.Notice`.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from topwire.values.severity import Severity


@dataclass(frozen=True)
class FileNotice:
    """One thing the reading of a file found, in words: here the file itself is quoted.

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


@dataclass(frozen=True)
class Hindrance(FileNotice):
    """What the machine, and not the grower's words, stands in the way with: rights, a database that does not answer."""


def hindrance(where: str, says: str, remedy: str = "") -> Hindrance:
    return Hindrance(Severity.FAULT, where, says, remedy, "")


def fault(where: str, says: str, remedy: str = "", source: str = "") -> FileNotice:
    return FileNotice(Severity.FAULT, where, says, remedy, source)


def warning(where: str, says: str, remedy: str = "", source: str = "") -> FileNotice:
    return FileNotice(Severity.WARNING, where, says, remedy, source)


def assumption(where: str, says: str, remedy: str = "", source: str = "") -> FileNotice:
    return FileNotice(Severity.ASSUMPTION, where, says, remedy, source)


def remark(where: str, says: str, remedy: str = "", source: str = "") -> FileNotice:
    return FileNotice(Severity.REMARK, where, says, remedy, source)


class Faults(Exception):
    """Every fault found in an input, gathered before anything is said.

    Raised at the edge (plan, weather, catalogue files); the command line prints the list and ends with code 2, or with
    1 where one of them is a `Hindrance`.
    """

    def __init__(self, notices: Iterable[FileNotice]) -> None:
        self.notices = tuple(notices)
        super().__init__("\n".join(str(notice) for notice in self.notices))
