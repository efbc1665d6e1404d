"""What notes tell the protection, and weather files joined for it."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from protection_support import by_the_hour, weather

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.protection.question import clocks_of
from topwire.season.days_ahead import laid_over
from topwire.season.seen import PestNoted, Seen
from topwire.season.threats import Noted, noted_in

CLOCKS = clocks_of(Catalogue(read_tables()))
DAY = date(2026, 6, 20)


def test_notes_of_hail_traps_and_last_autumns_scab_are_understood() -> None:
    seen = Seen(
        DAY,
        pests=(
            PestNoted(date(2025, 10, 20), "Scab", "leaves", None, 0.03),
            PestNoted(date(2026, 5, 9), "codling moths", "traps", 3, None),
            PestNoted(date(2026, 5, 2), "Codling moth", "trap", 1, None),
            PestNoted(date(2026, 4, 28), "codling moth", "trap", 0, None),
            PestNoted(date(2026, 4, 20), "codling moth", "fruit", 2, None),
            PestNoted(date(2026, 6, 12), "hail", "fruit", None, 0.2),
        ),
    )
    noted = noted_in(seen, CLOCKS)
    assert noted.hail == (date(2026, 6, 12),)
    assert noted.caught == {"codling moth": date(2026, 5, 2)}
    assert not noted.unwatched  # a trap hung empty before
    assert noted.scabbed


@pytest.mark.parametrize("before", [(), (PestNoted(date(2026, 6, 8), "codling moth", "trap", 0, None),)])
def test_a_catch_without_an_empty_trap_before_it_is_unwatched(before: tuple[PestNoted, ...]) -> None:
    seen = Seen(DAY, pests=(PestNoted(date(2026, 6, 1), "codling moth", "trap", 8, None), *before))
    assert noted_in(seen, CLOCKS).unwatched == {"codling moth"}


def test_what_was_not_there_or_only_sounds_so_is_no_threat() -> None:
    spring = date(2026, 5, 2)
    absent = (
        PestNoted(spring, "hail", "", 0, None),
        PestNoted(spring, "no hail", "", None, None),
        PestNoted(spring, "hail net", "", None, None),
        PestNoted(spring, "hail", "fruit", None, 0.0),
        PestNoted(spring, "no codling moth", "trap", None, None),
        PestNoted(spring, "codling moth", "trap", None, 0.0),
        PestNoted(date(2025, 10, 20), "no scab", "leaves", None, 0.2),
    )
    assert noted_in(Seen(DAY, pests=absent), CLOCKS) == Noted((), {}, scabbed=False)


@pytest.mark.parametrize("what", ["Hail", "heavy hail", "hail smashed apples", "wind and hail", "hail tore"])
def test_hail_is_known_by_its_name_whatever_stands_beside(what: str) -> None:
    assert noted_in(Seen(DAY, pests=(PestNoted(DAY, what, "", None, None),)), CLOCKS).hail == (DAY,)


def test_a_few_scabbed_leaves_or_those_of_this_year_do_not_count() -> None:
    for row in (
        PestNoted(date(2025, 10, 20), "scab", "leaves", None, 0.005),
        PestNoted(date(2026, 5, 20), "scab", "leaves", None, 0.2),
    ):
        assert not noted_in(Seen(DAY, pests=(row,)), CLOCKS).scabbed


def test_a_further_file_lies_over_the_record_hour_by_hour() -> None:
    record = weather(8.0, 16.0, days=100)
    more = by_the_hour(weather(days=60), {30: (0, 5)})
    later = replace(more, day=more.day + 70)  # from day 70 to 129
    joined = laid_over(record, later)
    assert joined.day.size == 130
    assert joined.tmin[69] == 8.0
    assert joined.tmin[70] == 14.0
    assert joined.hourly is not None
    assert np.isnan(joined.hourly[69]).all()
    assert joined.hourly_rain is not None
    assert joined.hourly_rain[100].sum() == 2.5
