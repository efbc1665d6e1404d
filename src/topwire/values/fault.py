"""A mistake in what the grower gave: where it stands, what is wrong, what would be right."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One mistake.

    Attributes
    ----------
    where : file, line and field ("plan.yaml, line 12, place.latitude")
    says : what is wrong, in a sentence
    remedy : what would be right
    """

    where: str
    says: str
    remedy: str = ""

    def __str__(self) -> str:
        tail = f" {self.remedy}" if self.remedy else ""
        return f"{self.where}: {self.says}{tail}"


class Faults(Exception):
    """Every mistake found, gathered before anything is said.

    Raised at the edge (plan, weather, catalogue, records); the command line prints the list and ends with code 2.
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))
