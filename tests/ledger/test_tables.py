"""The tables of nursery, years and ledger: what was read names where, and ranges hold their middle."""

import pytest
from nursery.invented import catalogue

from topwire.catalogue.prices import PriceRow
from topwire.catalogue.propagation import PropagationRow
from topwire.growth.rows import LeafRow, LoadRow
from topwire.ledger.labour import LabourRow

TABLES = (
    "propagation",
    "unions",
    "prices",
    "yield_by_leaf",
    "crop_load",
    "thinning_rules",
    "maturity",
    "crop_trials",
    "labour",
    "work_calendar",
)


@pytest.mark.parametrize("name", TABLES)
def test_what_was_read_names_its_source(name: str) -> None:
    for row in catalogue().tables[name].rows.values():
        mark, source = row.cells["mark"], row.cells["source"]
        assert mark in ("READ", "MEMORY", "proposal", "common practice"), row.where
        assert source or mark != "READ", row.where


@pytest.mark.parametrize(
    ("name", "kind", "middle"),
    [
        ("propagation", PropagationRow, "middle"),
        ("prices", PriceRow, "price"),
        ("crop_load", LoadRow, "load"),
        ("labour", LabourRow, "middle"),
    ],
)
def test_ranges_hold_their_middle(name: str, kind: type, middle: str) -> None:
    for row in catalogue().rows(name, kind):
        assert row.low <= getattr(row, middle) <= row.high, row


def test_the_curve_climbs_to_a_full_crop() -> None:
    shares = [row.share for row in catalogue().rows("yield_by_leaf", LeafRow)]
    assert shares == sorted(shares)
    assert (shares[0], shares[-1], len(shares)) == (0.0, 1.0, 15)


def test_every_currency_is_stated() -> None:
    assert {row.currency for row in catalogue().rows("prices", PriceRow)} == {"USD"}


def test_maturity_knows_the_catalogues_names() -> None:
    known = {row.name for row in catalogue().cultivars}
    named = {row.cells["cultivar"] for row in catalogue().tables["maturity"].rows.values()}
    assert {name for name in named - known if not name.startswith("any ")} == set()
