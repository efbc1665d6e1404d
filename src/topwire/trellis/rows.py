"""The rows that need a trellis, what each has to carry, and which are alike enough to share a design."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from topwire.trellis.asked import AskedRow, TrellisQuestion
from topwire.trellis.demand import RowDemand, row_demand
from topwire.trellis.places import WiredLength, wired_lengths
from topwire.trellis.storm import pressure_at_1

LONGEST_ROW = 150.0  # [m] between end assemblies (OMAFRA)
SHORTEST_ROW = 3.0  # [m]
LENGTH_STEP, CROP_STEP = 30.0, 4.0  # [m], [kg/m] within which rows share a design sized by storm
CANOPY_ABOVE = 0.3  # [m] where the ground states no wall height


@dataclass(frozen=True)
class TrellisRow:
    """One row that needs wires."""

    row: AskedRow
    parts: int  # lengths between end assemblies
    lengths: tuple[WiredLength, ...]

    @property
    def address(self) -> str:
        return self.row.address

    @property
    def crop(self) -> float:
        """[kg/m]"""
        return self.row.crop

    @property
    def part(self) -> float:
        """Length of wire between two ends [m]."""
        return self.lengths[0].length


@dataclass(frozen=True)
class LikeRows:
    """Rows sized together by their longest and heaviest."""

    rows: tuple[TrellisRow, ...]
    demand: RowDemand
    outer: bool

    @property
    def members(self) -> tuple[RowDemand, ...]:
        """Every length of wire of the group."""
        return tuple(part for row in self.rows for part in own_demands(self.demand, row))

    @property
    def addresses(self) -> tuple[str, ...]:
        return tuple(row.address for row in self.rows)


def rows_to_wire(asked: TrellisQuestion) -> list[TrellisRow]:
    """Rows with new trees, and the lengths of wire they are built in."""
    found = []
    for row in asked.rows:
        parts = max(int(np.ceil(row.length / LONGEST_ROW - 1e-9)), 1)
        lengths = wired_lengths(
            row.length,
            parts,
            first_tree=max(row.first_tree, 0.0),
            tree_spacing=row.tree_spacing,
            top=asked.wire_heights[-1],
        )
        found.append(TrellisRow(row, parts, lengths))
    return found


def demand_of(asked: TrellisQuestion, row: TrellisRow, *, length: float, crop: float) -> RowDemand:
    """Demand of a row of this `length` [m] and `crop` [kg/m]."""
    heights = asked.wire_heights
    return row_demand(
        length=length,
        tree_spacing=row.row.tree_spacing,
        first_tree=max(row.row.first_tree, 0.0),
        row_spacing=row.row.row_spacing,
        inner=not row.row.outer,
        heights=heights,
        canopy_top=max(asked.wall_height, heights[-1] + CANOPY_ABOVE / 2),
        crop=crop,
        crop_on_wires=asked.crop_on_wires,
        pressure_at_1=pressure_at_1(asked.storm, row.row.slope),
        net=asked.net,
    )


def own_demands(demand: RowDemand, row: TrellisRow) -> tuple[RowDemand, ...]:
    """Demand of a group in each length of wire of one of its rows, with the tree places there."""
    return tuple(
        replace(demand, length=part.length, tree_spacing=row.row.tree_spacing, first_tree=part.first_tree)
        for part in row.lengths
    )


def like_rows(asked: TrellisQuestion, rows: Sequence[TrellisRow]) -> list[LikeRows]:
    """Rows in groups, each taken at its longest, heaviest and windiest.

    Where posts are chosen by cost there are two at most, outer and inner rows, so that no more than two kits have to be
    bought and told apart; else rows are together that differ by no more than a step of length and crop.
    """
    groups: dict[tuple[object, ...], list[TrellisRow]] = {}
    for row in rows:
        key: tuple[object, ...] = (row.row.outer,)
        if not asked.by_cost:
            key = (
                row.row.outer,
                round(row.row.tree_spacing, 3),
                round(row.row.row_spacing, 3),
                round(pressure_at_1(asked.storm, row.row.slope), 5),
                int(np.ceil(row.part / LENGTH_STEP)),
                int(np.ceil(max(row.crop, 0.1) / CROP_STEP)),
            )
        groups.setdefault(key, []).append(row)
    made = []
    for members in groups.values():
        heaviest = max(row.crop for row in members)
        longest = max(members, key=lambda row: row.part)
        demand = demand_of(asked, longest, length=longest.part, crop=heaviest)
        windiest = max(pressure_at_1(asked.storm, row.row.slope) for row in members)
        made.append(LikeRows(tuple(members), replace(demand, pressure_at_1=windiest), longest.row.outer))
    return made
