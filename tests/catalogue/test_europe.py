"""A plan in Europe: cultivars to be had there, and every shipped price in its money."""

import pytest

from topwire.catalogue.price_levels import LEVELS, at_level
from topwire.catalogue.tables import read_tables
from topwire.values.where import in_europe


@pytest.mark.parametrize(
    ("place", "latitude", "longitude", "there"),
    [("Cologne", 50.9, 7.0, True), ("Caen", 49.1, 0.2, True), ("Malaga", 36.7, -4.4, True), ("Crete", 35.3, 25.1, True),
     ("Tunis", 36.8, 10.2, False), ("Algiers", 36.8, 3.1, False), ("Virginia", 39.2, -78.2, False),
     ("Tasmania", -42.9, 147.3, False)],
)  # fmt: skip
def test_which_places_lie_in_europe(place: str, latitude: float, longitude: float, there: bool) -> None:
    assert in_europe(latitude, longitude) == there, place


def test_the_list_for_europe_is_a_marked_proposal_wide_enough_for_garden_and_press() -> None:
    tables = read_tables()
    rows = tables["sold_in_europe"].rows
    assert {row.cells["mark"] for row in rows.values()} == {"proposal"}
    cultivars = tables["cultivars"].rows
    kinds = [cultivars[name].cells["kind"] for name in rows]
    assert kinds.count("cider") > 20
    assert kinds.count("dessert") > 30


@pytest.mark.parametrize("currency", LEVELS)
def test_every_shipped_price_is_at_the_level_of_the_currency(currency: str) -> None:
    """Water goods and drinking water too, whose tables name no currency."""
    shipped = read_tables()
    found = at_level(shipped, currency)
    seen = 0
    for name, table in shipped.items():
        for key, row in table.rows.items():
            for column in ("price", "price_per_m"):
                if row.cells.get(column) and row.cells.get("currency", "USD") == "USD":
                    there = found[name].rows[key].cells[column]
                    assert float(there) == pytest.approx(
                        LEVELS[currency] * float(row.cells[column]), rel=1e-3
                    )
                    seen += 1
    assert seen > 150
