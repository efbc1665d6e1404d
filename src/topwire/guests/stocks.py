"""Cider, juice and preserves: from which day to which they are to be had, and of which year's fruit."""

from collections.abc import Mapping
from datetime import date, timedelta

from topwire.season.asked import KitchenNeed, MadeOnce, WeekBasis
from topwire.season.crop import by_age
from topwire.season.dates import day_of
from topwire.values.calendar import week_of_day

A_VINTAGE = 0.05  # share of a need that is worth a line on the board: planning figure


def stocks_on(basis: WeekBasis, day: date) -> tuple[int, ...]:
    """Numbers of the needs of which there is something on a day by the plan: on the shelf, or made in that week."""

    def there(number: int, need: KitchenNeed) -> bool:
        made = {year: _made(basis, number, year) for year in _years(day)}
        if need.stock is not None:
            return on_offer(need.stock, day, made)
        return need.season is not None and in_its_weeks(need, need.season, day, made)

    return tuple(number for number, need in enumerate(basis.needs) if there(number, need))


def in_its_weeks(need: KitchenNeed, season: float, day: date, made: Mapping[int, bool]) -> bool:
    """Whether it is served in that week, out of fruit of the season that began last: in the first year the weeks before
    are empty, since the jars that would fill them are of a year without a crop."""
    week = int(week_of_day(day_of(day))) - 1
    year = day.year if _on(day.year, season) <= day else day.year - 1
    return bool(need.wanted[week] > 0 and need.served[week] > 0 and made[year])


def on_offer(stock: MadeOnce, day: date, made: Mapping[int, bool]) -> bool:
    """Whether it is there: of what is ready, the newest; last year's until this year's is ready.

    Parameters
    ----------
    made : whether that year made any, for the year of the day and the two before
    """
    if stock.ripens is None:
        good = stock.last + (stock.keeps or 0.0)
        return any(made[year] and _on(year, stock.first) <= day <= _on(year, good) for year in _years(day))
    ready = [year for year in _years(day) if _on(year, stock.last + stock.ripens) <= day]
    return bool(ready) and made[max(ready)]


def _years(day: date) -> range:
    return range(day.year - 2, day.year + 1)


def _on(year: int, day_of_year: float) -> date:
    return date(year, 1, 1) + timedelta(days=round(day_of_year) - 1)


def _made(basis: WeekBasis, number: int, year: int) -> bool:
    """By the plan: of the years before full crop, those that serve some of it; of all others, those with a crop."""
    if basis.young and year <= max(basis.young):
        young = (
            basis.young.get(year) or basis.young[min(basis.young)]
        )  # before the first leaf only old trees bear
        return young[number] >= A_VINTAGE
    crops = [by_age(line, year) for line in basis.cultivars]
    return any(crop is not None and crop.middle > 0 for crop in crops)
