"""Distances between trees and rows."""

import pytest

from topwire.catalogue.model import Catalogue
from topwire.layout.spacing import (
    SpacingRow,
    TrainingRow,
    height_after_five,
    row_bounds,
    stock_row,
    tree_distance,
)
from topwire.values.traits import Grade


@pytest.fixture(scope="module")
def grid(catalogue: Catalogue) -> tuple[SpacingRow, ...]:
    return catalogue.rows("tree_spacing", SpacingRow)


@pytest.fixture(scope="module")
def spindle(catalogue: Catalogue) -> TrainingRow:
    return next(
        row for row in catalogue.rows("training_spacing", TrainingRow) if row.training == "tall spindle"
    )


PLAIN = {"fertility": "medium", "sandy": False, "replant": False}


def test_every_stock_of_the_catalogue_has_a_row(catalogue: Catalogue, grid: tuple[SpacingRow, ...]) -> None:
    named = [name for row in grid for name in row.rootstocks]
    assert len(named) == len(set(named))
    assert set(named) <= {stock.name for stock in catalogue.rootstocks}
    for stock in catalogue.rootstocks:
        assert stock_row(grid, stock.name, stock.vigour) in grid


def test_an_unnamed_stock_goes_by_its_vigour(grid: tuple[SpacingRow, ...]) -> None:
    assert stock_row(grid, "own selection", 0.55).stock_class == "very weak"
    assert stock_row(grid, "own selection", 1.4).stock_class == "strong dwarf"
    assert stock_row(grid, "own selection", None).stock_class == "dwarf"


def test_vigour_and_soil_ask_for_room(grid: tuple[SpacingRow, ...], spindle: TrainingRow) -> None:
    row = stock_row(grid, "G.41", 1.27)
    weak, medium, strong = (tree_distance(row, strength, spindle, **PLAIN) for strength in Grade)  # type: ignore[arg-type]
    assert weak < medium < strong
    assert 0.91 <= medium <= 1.22  # the range read for a tall spindle
    assert tree_distance(row, Grade.MEDIUM, spindle, fertility="poor", sandy=False, replant=False) < medium
    assert tree_distance(row, Grade.MEDIUM, spindle, fertility="fertile", sandy=False, replant=False) > medium


def test_a_weak_scion_on_a_weak_stock_stays_below_the_wire() -> None:
    assert height_after_five(2.16, 0.68, Grade.LOW) == pytest.approx(2.16)  # the trial's own pair
    assert height_after_five(None, 1.27, Grade.HIGH) > 3.0


def test_tight_is_below_roomy_and_east_west_wants_more() -> None:
    north = row_bounds(3.3, 1.0, 0.0, 1.6)
    east = row_bounds(3.3, 1.0, 90.0, 1.6)
    assert north.tight < north.roomy < east.roomy
    assert north.roomy == pytest.approx(1.3 * 3.3)
    assert north.machine == pytest.approx(3.2)
