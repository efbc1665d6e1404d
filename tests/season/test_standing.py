"""Who stands in the rows once trees have died, were replaced or grafted over."""

from dataclasses import replace

import numpy as np

from topwire.protection.asked import Guarded, ProtectionBasis
from topwire.season.asked import GrownCultivar, RowTrees
from topwire.season.seen import TreeNoted
from topwire.season.standing import bearing_in, guarded_in, standing_in
from topwire.values.address import TreeAddress
from topwire.values.traits import Grade

ROWS = ("South 1", "South 2")


def _line(name: str, *rows: RowTrees) -> GrownCultivar:
    kg = np.array([[0, 0, 0], [0, 0, 0], [2, 4, 6.0]])
    return GrownCultivar(
        name, rows, ((2028, sum(row.trees for row in rows)),), kg, np.zeros(0), np.zeros(0), 0, 0.0, None, 6.0,
        Grade.LOW, None, None, 0.0, False,
    )  # fmt: skip


LINES = (
    _line("Gala", RowTrees("South 1", 10, 1, 10), RowTrees("South 2", 5, 1, 5)),
    _line("Empire", RowTrees("South 2", 5, 6, 10)),
)


def _tree(row: int, place: int, cultivar: str = "", *, planted: int | None = None) -> TreeNoted:
    at = TreeAddress("South", row, place)
    return TreeNoted(at, planted is not None, cultivar, planted or 2033, True)


def test_the_dead_are_left_out_of_rows_and_counts() -> None:
    dead = [_tree(1, place) for place in range(1, 11)] + [_tree(2, 3)]
    gala, empire = standing_in(LINES, dead, ROWS)
    assert gala.rows == (RowTrees("South 2", 4, 1, 5, ((1, 2), (4, 5))),)
    assert gala.bearing(2034) == 4
    assert empire is LINES[1]
    assert standing_in(LINES, [_tree(2, place) for place in range(6, 11)], ROWS)[1].rows == ()


def test_what_was_set_or_grafted_over_counts_as_what_it_is_from_when_it_bears() -> None:
    noted = [
        _tree(1, 4, "Empire", planted=2033),
        _tree(1, 5, planted=2033),
        _tree(1, 6, "Dolgo", planted=2033),
    ]
    gala, empire = standing_in(LINES, noted, ROWS)
    assert gala.rows[0].runs == ((1, 3), (5, 5), (7, 10))
    assert gala.planted == ((2028, 12), (2033, 1))
    assert [row.row for row in empire.rows] == ["South 1", "South 2"]
    assert empire.planted == ((2028, 5), (2033, 1))
    young, old = (bearing_in(LINES, noted, ROWS, year)[1] for year in (2034, 2036))
    assert [row.row for row in young.rows] == ["South 2"]
    assert [row.row for row in old.rows] == ["South 1", "South 2"]


def test_what_threatens_is_told_of_rows_that_stand() -> None:
    guarded = tuple(Guarded(line.name, ROWS, 9, {}, 0.0) for line in LINES)
    basis = ProtectionBasis(39.0, 0.0, 2028, guarded, (), None)
    dead = [_tree(1, place) for place in range(1, 11)] + [_tree(2, place) for place in range(6, 11)]
    (gala,) = guarded_in(basis, standing_in(LINES, dead, ROWS)).guarded
    assert (gala.name, gala.rows, gala.trees) == ("Gala", ("South 2",), 5)


def test_a_tree_of_the_plan_noted_when_it_was_planted_changes_nothing() -> None:
    own = replace(_tree(1, 4, "Gala", planted=2027), anew=False)
    assert standing_in(LINES, [own], ROWS) == LINES
