"""What is known of a stock under a cultivar: unions that break or stay weak, and viruses."""

from collections.abc import Iterable
from dataclasses import dataclass

from topwire.values.traits import UnionRisk as UnionRisk


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
