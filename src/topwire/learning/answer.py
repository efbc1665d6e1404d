"""From the grower's dates to what they teach."""

import numpy as np

from topwire.learning.asked import LearningQuestion
from topwire.learning.findings import CultivarLearnt, EventLearnt, LearntDates
from topwire.learning.telling import learning_notices
from topwire.learning.this_year import this_year
from topwire.phenology.calibration import DateSpread, learn_shift
from topwire.phenology.own_dates import Learned, Unused, error_of, learn, spread_of, unused, used_in
from topwire.phenology.seasons import begun, cut
from topwire.phenology.traits import Traits
from topwire.phenology.warming import today_from
from topwire.values.arrays import Floats
from topwire.values.notice import CannotAnswer, refusal
from topwire.values.own_date import OwnDate
from topwire.values.progress import Progress, silent


def answer(asked: LearningQuestion, progress: Progress = silent) -> LearntDates:
    """What all dates teach, whether or not the plan rests on them.

    Raises
    ------
    CannotAnswer
        When no year of the record can be used.
    """
    if asked.weather is None:
        return LearntDates(asked.used_until, (), (), (), None, ())
    progress(f"learning from {len(asked.own_dates)} dates")
    seasons = cut(asked.weather, asked.latitude)
    if seasons.years.size == 0:
        raise CannotAnswer([refusal("place.no_year", setting="weather.files")])
    traits, found, learned = learn(seasons, asked.traits, asked.own_dates, colder=asked.colder)
    season = begun(asked.weather, asked.latitude)
    now, far = None, list[OwnDate]()
    if season is not None:
        others = seasons.since(today_from(seasons.years))
        now, far = this_year(season, others, traits, found, learned, asked.own_dates, colder=asked.colder)
    under_way = None if season is None else season.year
    taught_nothing = [
        line for line in unused(asked.own_dates, seasons, traits, found) if line[0].date.year != under_way
    ]
    taught_nothing += [(row, Unused.FAR_OFF) for row in far]
    lines: list[CultivarLearnt] = []
    for item in learned:
        spread = spread_of(item.what, found)
        last = _last_year(item, asked.traits, spread)
        lines += _cultivars(item, error_of(item.what, asked.traits, found, learned), traits, last)
    return LearntDates(
        used_until=asked.used_until,
        learned=tuple(used_in(item, traits) for item in learned),
        events=tuple(_event(item) for item in learned),
        cultivars=tuple(lines),
        this_year=now if now is not None and now.seen else None,
        notices=tuple(learning_notices(asked, taught_nothing, learned)),
    )


def _event(item: Learned) -> EventLearnt:
    step = item.step
    return EventLearnt(
        item.what,
        item.shift.stage,
        item.shift.slope,
        step.year if step else None,
        step.days if step else None,
    )


def _last_year(item: Learned, traits: Traits, spread: DateSpread) -> Floats:
    """What is left of the last year's dates once the earlier ones are known, (dates taken,); NaN elsewhere."""
    dates = item.departures.only(item.taken)
    rest = np.full(dates.days.size, np.nan)
    last = dates.year == dates.year.max()
    if not last.all():
        shift = learn_shift(
            dates.only(~last),
            cultivars=len(traits.names),
            spread=spread,
            reference=traits.reference,
            stage=item.shift.stage,
            at=int(dates.year.max()),
        )
        held = dates.only(last)
        rest[last] = held.days - shift.of(held)
    return rest


def _cultivars(item: Learned, error: Floats, traits: Traits, last: Floats) -> list[CultivarLearnt]:
    dates = item.departures.only(item.taken)
    several = np.unique(dates.year).size > 1
    lines = []
    for at in np.unique(dates.cultivar).tolist():
        own = dates.cultivar == at
        year = int(dates.year[own].max())
        newest = own & (dates.year == year)
        after = last[newest]
        lines.append(
            CultivarLearnt(
                cultivar=traits.names[at],
                event=item.what,
                dates=int(own.sum()),
                shift=float(item.shift.place + item.shift.cultivar[at]),
                error=float(error[at]),
                before=_rms(dates.days[own]) if several else None,
                after=_rms(item.rest[own]) if several else None,
                last_year=year,
                last_before=float(dates.days[newest].mean()),
                last_after=float(after.mean()) if np.isfinite(after).all() else None,
            )
        )
    return sorted(lines, key=lambda line: line.cultivar)


def _rms(values: Floats) -> float:
    return float(np.sqrt(np.mean(values**2)))
