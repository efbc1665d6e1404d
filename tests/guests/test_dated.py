"""Times as sources write them."""

import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.guests.dated import Span, TimeBound, ToldTime, dated, era_ends
from topwire.guests.question import StoryRow
from topwire.tell.guests import when


@pytest.mark.parametrize(
    ("cell", "year", "span", "how", "sure", "century", "said"),
    [
        ("1748", 1748, Span.YEAR, TimeBound.IN, True, 18, "1748"),
        ("1800", 1800, Span.YEAR, TimeBound.IN, True, 18, "1800"),  # the last year of its century
        ("about 1900", 1900, Span.YEAR, TimeBound.ABOUT, True, None, "about 1900"),
        ("by 1867", 1867, Span.YEAR, TimeBound.BY, True, None, "by 1867"),
        ("before 1400", 1400, Span.YEAR, TimeBound.BEFORE, True, None, "before 1400"),
        ("1830s", 1830, Span.DECADE, TimeBound.IN, True, 19, "1830s"),
        ("late 1960s", 1960, Span.DECADE, TimeBound.LATE, True, 20, "late 1960s"),
        ("late 18th century", 1701, Span.CENTURY, TimeBound.LATE, True, 18, "late eighteenth century"),
        ("1942 (year MEMORY)", 1942, Span.YEAR, TimeBound.IN, False, 20, "1942, or so we think"),
        ("17th century (MEMORY)", 1601, Span.CENTURY, TimeBound.IN, False, 17, "seventeenth century, or so we think"),
        ("1901-1913", 1901, Span.YEAR, TimeBound.IN, True, 20, "1901 to 1913"),
    ],
)  # fmt: skip
def test_a_time_is_read_and_said(
    cell: str, year: int, span: Span, how: TimeBound, sure: bool, century: int | None, said: str
) -> None:
    found = dated(cell)
    assert found is not None
    assert (found.year, found.span, found.how, found.sure, found.century) == (year, span, how, sure, century)
    assert when(found) == said


def test_what_is_no_time_is_none() -> None:
    assert dated("") is None
    assert dated("long ago") is None


@pytest.mark.parametrize(
    ("era", "ends"),
    [("1774", 1774), ("1770s", 1779), ("1700s", 1800), ("pre-1806", 1806), ("", None), ("long ago", None)],
)
def test_an_era_ends(era: str, ends: int | None) -> None:
    assert era_ends(era) == ends


def test_every_era_of_the_catalogue_is_understood() -> None:
    assert all(era_ends(row.era) for row in Catalogue(read_tables()).cultivar.values() if row.era)


def test_every_time_of_the_shipped_stories_is_understood() -> None:
    rows = Catalogue(read_tables()).rows("cultivar_stories", StoryRow)
    lost = [row.when for row in rows if row.when and not isinstance(dated(row.when), ToldTime)]
    assert not lost
    assert all(row.source for row in rows if row.mark == "READ")
