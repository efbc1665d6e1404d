"""The trees an order has to bring: cultivar, stock, number, and whether they may be grafted at home."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.catalogue.model import Catalogue
from topwire.catalogue.unions import Union, UnionRow, union_of
from topwire.layout.result import Layout
from topwire.nursery.unions import may_graft_at_home


@dataclass(frozen=True)
class Wanted:
    """New trees of one cultivar on one stock."""

    cultivar: str
    rootstock: str
    trees: int
    at_home: bool
    reason: str
    union: Union
    success: float
    take: float


def trees_wanted(
    catalogue: Catalogue, layout: Layout, steps: Mapping[str, float], penalty: float
) -> list[Wanted]:
    unions = catalogue.rows("unions", UnionRow)
    rest = steps["overwinter"] * steps["grade"] * steps["transplant"]
    found = []
    for index, (name, stock) in enumerate(zip(layout.cultivars, layout.rootstock, strict=True)):
        trees = int(((layout.cultivar == index) & ~layout.standing).sum())
        if trees == 0:
            continue
        at_home, reason = may_graft_at_home(catalogue.cultivar[name].propagation_right)
        union = union_of(stock, name, unions)
        take = max(0.05, steps["take"] - (penalty if union.takes_worse else 0.0))
        found.append(Wanted(name, stock, trees, at_home, reason, union, take * rest, take))
    return found
