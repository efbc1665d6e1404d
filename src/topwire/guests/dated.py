"""When a fact of a cultivar happened, as its source writes it: “1748”, “1830s”, “by 1867”, “late 18th century”."""

import re
from dataclasses import dataclass
from enum import StrEnum

_FROM_MEMORY = re.compile(r"\s*\((?:year )?MEMORY\)$")
_YEAR = re.compile(r"(by|before|about)? ?(\d{4})(?:-(\d{4}))?")
_DECADE = re.compile(r"(early|mid|late)? ?(\d{3}0)s")
_CENTURY = re.compile(r"(early|mid|late)? ?(\d{1,2})(?:st|nd|rd|th) century")


class Span(StrEnum):
    """TimeBound long a time is named."""

    YEAR = "year"
    DECADE = "decade"
    CENTURY = "century"


class TimeBound(StrEnum):
    """TimeBound the time stands to what happened."""

    IN = "in"
    BY = "by"  # the source describes it then; it may be older
    BEFORE = "before"
    ABOUT = "about"
    EARLY = "early"
    MID = "mid"
    LATE = "late"


@dataclass(frozen=True)
class ToldTime:
    """A time in words a machine can order.

    Attributes
    ----------
    year : the year, or the first of the decade or century
    to : last year where a stretch of years is named
    sure : False where the year is from memory
    """

    year: int
    span: Span
    how: TimeBound
    sure: bool
    to: int | None = None

    @property
    def ends(self) -> int:
        """The last year it may have been."""
        long = {Span.YEAR: 0, Span.DECADE: 9, Span.CENTURY: 99}[self.span]
        return self.to or self.year + long

    @property
    def century(self) -> int | None:
        """Number of the century; None where the time is only a bound, or a year that two centuries share."""
        if self.how in (TimeBound.BY, TimeBound.BEFORE) or (
            self.how is TimeBound.ABOUT and self.year % 100 == 0
        ):
            return None
        return (self.year - 1) // 100 + 1


def dated(text: str) -> ToldTime | None:
    """The time a table's cell names; None where it is empty or not understood."""
    bare = _FROM_MEMORY.sub("", text.strip())
    sure = bare == text.strip()
    found = _YEAR.fullmatch(bare)
    if found:
        how, year, to = found.groups()
        return ToldTime(int(year), Span.YEAR, TimeBound(how or "in"), sure, int(to) if to else None)
    found = _DECADE.fullmatch(bare)
    if found:
        how, year = found.groups()
        return ToldTime(int(year), Span.DECADE, TimeBound(how or "in"), sure)
    found = _CENTURY.fullmatch(bare)
    if found:
        how, number = found.groups()
        return ToldTime(100 * (int(number) - 1) + 1, Span.CENTURY, TimeBound(how or "in"), sure)
    return None


def era_ends(cell: str) -> int | None:
    """The last year of an era as the catalogue writes it: “1774”, “1770s”, “1700s” (all of them), “pre-1806”."""
    found = re.fullmatch(r"(?:pre-)?(\d{4})(s?)", cell)
    if found is None:
        return None
    year = int(found[1])
    if not found[2]:
        return year
    return year + (9 if year % 100 else 100)
