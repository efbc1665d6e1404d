"""What threatens on a day: the protection asked with the season's stages, the record and the forecast of that day."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from topwire.phenology.bloom import DAYS_BEFORE_NEW_YEAR
from topwire.phenology.seasons import Seasons
from topwire.protection.answer import answer
from topwire.protection.asked import ProtectionQuestion, StageDays
from topwire.protection.findings import ProtectionFindings
from topwire.protection.insects import InsectClock
from topwire.season.dates import SeasonDates
from topwire.season.days_ahead import gusts_ahead, laid_over
from topwire.season.kept import OpenedFolder
from topwire.season.outlook import Outlook, outlook_on
from topwire.season.seen import PestNoted, Seen
from topwire.season.standing import guarded_in
from topwire.season.telling import left_out_notices
from topwire.values.arrays import Floats
from topwire.values.fault import Faults, fault
from topwire.values.insect_clock import ClockStart
from topwire.weather.forecast import WeatherForecast
from topwire.weather.record import Weather

# What may stand beside a name: how much, when, and what it did.
_BESIDE = (
    r"\b(?:heavy|light|small|large|bad|severe|slight|some|few|many|first|stones|storm|last|night|this|morning|"
    r"afternoon|evening|in|on|of|the|at|a|caught|damaged?|hit|tore|torn|cut|hurt|bruised|wounds|lesions|spots)\b"
)
# Hail in whatever words (“hail smashed apples”), but for none of it and for a net against it.
_HAIL = re.compile(r"(?<!\bno )(?<!\bnot )\bhail(?:ed|stones?)?\b(?!\s+nets?\b)", re.IGNORECASE)
_SCABBED = 0.01  # of the leaves of autumn, from which scab is taken to be much about (WV-SCAB)


@dataclass(frozen=True)
class Noted:
    """What was noted of pests: hail, the first catch of this year by insect, scab on the leaves of last autumn.

    Attributes
    ----------
    unwatched : of those caught the insects of which no empty trap was noted before
    """

    hail: tuple[date, ...]
    caught: Mapping[str, date]
    scabbed: bool
    unwatched: frozenset[str] = frozenset()


def noted_in(seen: Seen, clocks: Sequence[InsectClock]) -> Noted:
    """The same out of the records: “hail”, “codling moth in trap”, “scab on 3 % of leaves” in autumn."""
    this_year = [row for row in seen.pests if row.day.year == seen.day.year]
    caught: dict[str, date] = {}
    watched: set[str] = set()
    for row in sorted(this_year, key=lambda row: (row.day, row.count or 0)):
        for name in {clock.insect for clock in clocks if clock.starts is ClockStart.FIRST_CATCH}:
            if not row.on.startswith("trap") or not _names(row, name):
                continue
            if _is_of(row, name):
                caught.setdefault(name, row.day)
            elif name not in caught:
                watched.add(name)
    return Noted(
        hail=tuple(
            row.day for row in this_year if _HAIL.search(row.what) and row.count != 0 and row.share != 0.0
        ),
        caught=caught,
        scabbed=any(
            (_is_of(row, "scab") or _is_of(row, "apple scab")) and (row.share or 0.0) > _SCABBED
            for row in seen.pests
            if row.day.year < seen.day.year
        ),
        unwatched=frozenset(caught) - watched,
    )


def _is_of(row: PestNoted, name: str) -> bool:
    """Whether a row says that a thing of this very name was there: “no codling moth” does not."""
    return _names(row, name) and row.count != 0 and row.share != 0.0


def _names(row: PestNoted, name: str) -> bool:
    words = re.sub(_BESIDE, " ", row.what.lower())
    named = {" ".join(part.split()) for part in re.split(r"[,;&+]|\band\b|\bwith\b", words)}
    return bool(named & {name.lower(), f"{name.lower()}s"})


def threats_on(
    opened: OpenedFolder,
    day: date,
    seen: Seen,
    *,
    weather: Weather | None = None,
    forecast: WeatherForecast | None = None,
    hail: Sequence[date] = (),
    caught: Mapping[str, date] | None = None,
    scabbed: bool = False,
) -> ProtectionFindings:
    """What threatened in the fortnight before `day` and threatens in the days ahead, with what was known then.

    Parameters
    ----------
    weather : a further record, of this year so far; where both have a day, its hours and days win
    forecast : in place of the one kept in the folder
    caught : first catch of an insect, by its name

    Raises
    ------
    Faults
        No year of the record is whole, a forecast cannot be read, or the one given is not of these days.
    """
    record = opened.weather if weather is None else laid_over(opened.weather, weather)
    outlook = outlook_on(opened, day, seen, record=record, issued=forecast)
    if forecast is not None and outlook.ahead is None:
        says = f"says nothing of {day} on: it tells {forecast.day[0]} to {forecast.day[-1]}."
        raise Faults([fault("the forecast", says, "Bring one that begins on that day, or leave it out.")])
    noted = noted_in(seen, opened.basis.protection.clocks)
    noted = Noted(
        hail=(*noted.hail, *hail),
        caught={**noted.caught, **(caught or {})},
        scabbed=noted.scabbed or scabbed,
        unwatched=noted.unwatched - set(caught or {}),
    )
    found = threats_by(opened, day, outlook, noted)
    return replace(found, notices=(*found.notices, *left_out_notices(outlook.dates.left_out)))


def threats_by(opened: OpenedFolder, day: date, outlook: Outlook, noted: Noted) -> ProtectionFindings:
    """The same, of a season that is known as it stood."""
    low, high = _years_before(outlook.known.others)
    dates = outlook.dates
    return answer(
        ProtectionQuestion(
            today=day,
            basis=guarded_in(opened.basis.protection, outlook.standing),
            record=outlook.record.since(date(day.year, 1, 1)),
            forecast=outlook.ahead,
            stages={name: _stage_days(dates, at) for at, name in enumerate(dates.names)},
            before_min=low,
            before_max=high,
            gusts={} if outlook.issued is None else gusts_ahead(outlook.issued, day),
            hail=tuple(sorted({when for when in noted.hail if when <= day})),
            caught={name: when for name, when in noted.caught.items() if when <= day},
            scabbed=noted.scabbed,
            unwatched=noted.unwatched,
        )
    )


def _stage_days(dates: SeasonDates, at: int) -> StageDays:
    return StageDays(
        {stage: float(days[at]) for stage, days in dates.middles.items()},
        float(dates.bloom_error[at]),
        bool(np.isfinite(dates.bloom_seen[at])),
    )


def _years_before(seasons: Seasons) -> tuple[Floats, Floats]:
    """Lowest and highest of the days of the years before, (years, 366) from 1 January; the last stands twice."""
    low, high = (
        np.concatenate([days, np.repeat(days[:, -1:], 366 - days.shape[1], axis=1)], axis=1)
        for days in (seasons.tmin[:, DAYS_BEFORE_NEW_YEAR:], seasons.tmax[:, DAYS_BEFORE_NEW_YEAR:])
    )
    return low, high
