"""What is written after `topwire protect`, and how windows are laid out in a terminal."""

from datetime import date

import pytest
from protection_support import question, weather

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.cli.protect import _blocks, _caught
from topwire.protection.question import clocks_of
from topwire.show.table import Table
from topwire.values.fault import Faults

BASIS = question(weather(), date(2021, 5, 1), clocks=clocks_of(Catalogue(read_tables()))).basis


def test_a_first_catch_names_its_insect_and_day() -> None:
    assert _caught("codling moth = 2026-05-02", BASIS) == ("codling moth", date(2026, 5, 2))


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("codlin moth=2026-05-02", "Did you mean codling moth?"),
        ("aphid=2026-05-02", "Traps tell of"),
        ("codling moth=May 2", "is no day"),
        ("codling moth", "is no day"),
        ("codling moth=0001-05-02", "is out of bounds"),
    ],
)
def test_what_cannot_be_understood_is_told(written: str, says: str) -> None:
    with pytest.raises(Faults) as faults:
        _caught(written, BASIS)
    assert says in str(faults.value.notices[0])


def test_a_window_is_a_paragraph_of_its_columns() -> None:
    columns = ("danger", "threat", "from", "to", "known from", "why", "look from")
    table = Table(
        "What threatens", columns, (("severe", "scab", "3 May", "4 May", "hours", "19 h wet", "–"),), "Label."
    )
    assert list(_blocks(table)) == [
        "What threatens",
        "\nSEVERE: scab, 3 May to 4 May (hours)",
        "  why: 19 h wet",
        "\nLabel.\n",
    ]
    assert any("Nothing" in line for line in _blocks(Table("What threatens", columns, ())))
