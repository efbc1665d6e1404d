"""Which stock and scion may be joined at home: unions that break, viruses, the right to propagate."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from topwire.catalogue.model import Right


class UnionRisk(StrEnum):
    STRONG = "strong"
    WATCH = "watch"
    WEAK = "weak"
    BREAK = "break"
    VIRUS = "virus"


@dataclass(frozen=True)
class UnionRow:
    """One row of unions.csv; an empty cultivar means every cultivar on that stock."""

    pair: str
    rootstock: str
    cultivar: str | None
    risk: UnionRisk
    remark: str
    source: str | None
    mark: str


@dataclass(frozen=True)
class Union:
    """What is known of one stock under one cultivar."""

    risk: UnionRisk | None  # of the union's strength; None where nothing is known
    virus_sensitive: bool
    remarks: tuple[str, ...]

    @property
    def takes_worse(self) -> bool:
        return self.risk is UnionRisk.BREAK


def union_of(rootstock: str, cultivar: str, rows: Iterable[UnionRow]) -> Union:
    """The pair's own row where there is one, else the stock's; virus rows come on top."""
    pair = stock = None
    virus: list[str] = []
    for row in rows:
        if row.rootstock != rootstock or row.cultivar not in (None, cultivar):
            continue
        if row.risk is UnionRisk.VIRUS:
            virus.append(row.remark)
        elif row.cultivar == cultivar:
            pair = row
        else:
            stock = row
    found = pair or stock
    remarks = ([found.remark] if found and found.risk is not UnionRisk.STRONG else []) + virus
    return Union(found.risk if found else None, bool(virus), tuple(remarks))


def may_graft_at_home(right: Right) -> tuple[bool, str]:
    """Whether a cultivar may be ordered for home grafting, and the reason where not.

    A protected cultivar is never ordered for home grafting; one whose right is not known is bought until the answer
    is there.
    """
    if right is Right.FREE:
        return True, ""
    if right is Right.LICENSED:
        return False, "protected: only a licensed nursery may propagate it, so the trees are bought"
    return (
        False,
        "the right to propagate is not known: ask its breeder or nursery; until then the trees are bought",
    )
