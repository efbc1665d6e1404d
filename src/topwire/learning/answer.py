"""From the grower's dates to what they teach."""

from topwire.learning.asked import LearningQuestion
from topwire.learning.findings import CultivarLearnt, LearntDates
from topwire.learning.telling import learning_notices
from topwire.phenology.own_dates import Learned, dates_of, error_of, learn, unused, used_in
from topwire.phenology.seasons import cut
from topwire.phenology.traits import Traits
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
        return LearntDates(asked.used_until, (), (), ())
    progress(f"learning from {len(asked.own_dates)} dates")
    seasons = cut(asked.weather, asked.latitude)
    if seasons.years.size == 0:
        raise CannotAnswer([refusal("place.no_year", setting="weather.files")])
    traits, found, learned = learn(seasons, asked.traits, asked.own_dates, colder=asked.colder)
    taught_nothing = unused(asked.own_dates, seasons, traits, found)
    silent_rows = {row.entry for row, _ in taught_nothing}
    teaching = [row for row in asked.own_dates if row.entry not in silent_rows]
    lines: list[CultivarLearnt] = []
    for item in learned:
        error = error_of(item.what, asked.traits, found, learned)
        lines += _cultivars(item, error, traits, teaching)
    return LearntDates(
        used_until=asked.used_until,
        learned=tuple(used_in(item, traits) for item in learned),
        cultivars=tuple(lines),
        notices=tuple(learning_notices(asked, taught_nothing)),
    )


def _cultivars(item: Learned, error: Floats, traits: Traits, dates: list[OwnDate]) -> list[CultivarLearnt]:
    own = dates_of(dates, item.what)
    shift = item.shift.place + item.shift.cultivar
    lines = []
    for name in sorted({row.cultivar for row in own}):
        at = traits.names.index(name)
        count = sum(row.cultivar == name for row in own)
        lines.append(CultivarLearnt(name, item.what, count, float(shift[at]), float(error[at])))
    return lines
