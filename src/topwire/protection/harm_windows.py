"""Nights of frost by bud stage, days that burn fruit, wind before picking and on the trellis."""

from collections.abc import Iterator

import numpy as np

from topwire.phenology import frost, stages
from topwire.phenology.stages import SeasonStage
from topwire.protection import weather_harm
from topwire.protection.asked import Guarded
from topwire.protection.findings import Danger, Exposed, FrostLine, Threat, ThreatWindow
from topwire.protection.situation import LOOKED_BACK, Situation, on
from topwire.values.arrays import Booleans, Floats, Integers
from topwire.values.notice import Measured, remark
from topwire.values.units import Kind

WORTH_TELLING = 0.05  # share of buds killed, were the low wrong by its usual error
TOLD_BEFORE = 0.005  # share of buds by which the nights before have to add to one's own to be told with it
MEASURED_ERROR, FORECAST_ERROR = 1.0, 2.0  # [K] of a night's low at the trees: planning figures, no source
BROWN_HEARTS = (1.0, 7.0)  # [d] after a frost in which dead buds are counted: planning figure, no source
SMALL_FRUIT = 30.0  # [d] after petal fall from which fruit can burn: planning figure, no source
FROST_CROP = (
    0.85,
    0.5,
    0.1,
)  # shares killed from which danger is severe, moderate, light (USU-IPM012: 15 % suffice)


def frost_lines(now: Situation) -> tuple[FrostLine, ...]:
    """Every cultivar on every night that may kill, of the past fortnight and of the forecast."""
    found = []
    spring = _Spring(now)
    for day in range(max(now.today - LOOKED_BACK, 1), now.year.days):
        low = float(spring.low[day])
        if not np.isfinite(low) or low > 2.0:
            continue
        for row in now.guarded:
            share = float(spring.evening(row.name)[day])
            if not np.isfinite(share) or share < stages.SILVER_TIP:
                continue
            if day > now.reached(SeasonStage.PETAL_FALL, row.name) + SMALL_FRUIT:
                continue
            ten, ninety = (float(one) for one in frost.critical_temperatures(share, row.hardier))
            error = float(spring.error[day])
            worst, killed, best, colder, warmer = (
                float(one)
                for one in frost.kill_share(low + np.array([-error, 0.0, error, -1.0, 1.0]), ten, ninety)
            )
            if worst >= WORTH_TELLING:
                so_far = spring.killed(row, day)
                left_low, left, left_high = (float(one) for one in frost.crop_left(so_far))
                found.append(
                    FrostLine(
                        cultivar=row.name,
                        night=now.year.day(day),
                        stage=_stage(share),
                        low=low,
                        ten=ten,
                        ninety=ninety,
                        killed_low_error=worst,
                        killed=killed,
                        killed_high_error=best,
                        killed_colder=colder,
                        killed_warmer=warmer,
                        killed_so_far=float(so_far[1]),
                        left_low=left_low,
                        left=left,
                        left_high=left_high,
                        rows=row.rows,
                        trees=row.trees,
                    )
                )
    return tuple(found)


class _Spring:
    """Nights of this year as far as known or forecast, and how far buds were on the evening before each."""

    def __init__(self, now: Situation) -> None:
        self._now = now
        self.low = now.year.tmin - now.asked.basis.colder
        self.error = np.where(np.arange(now.year.days) >= now.year.known, FORECAST_ERROR, MEASURED_ERROR)
        self._evenings: dict[str, Floats] = {}

    def evening(self, cultivar: str) -> Floats:
        if cultivar not in self._evenings:
            days = np.arange(self._now.year.days) - 1
            self._evenings[cultivar] = self._now.bud_shares(cultivar, days)
        return self._evenings[cultivar]

    def killed(self, row: Guarded, last: int) -> Floats:
        """(3,) Share of its buds killed in all nights up to one: were every low too high by its usual error, as they
        stand, and too low. Nights not known kill none."""
        nights = slice(0, last + 1)
        low = np.where(np.isfinite(self.low), self.low, np.inf)[nights]
        ways = low + self.error[nights] * np.array([-1.0, 0.0, 1.0])[:, None]
        share = self.evening(row.name)[None, nights, None]
        return frost.killed(ways[:, None], share, row.hardier)[:, 0, 0]


def _stage(share: float) -> SeasonStage:
    reached = [stage for stage, at in stages.SHARES.items() if share >= at - 1e-9]
    return reached[-1] if reached else SeasonStage.DORMANT


def frost_windows(now: Situation) -> list[ThreatWindow]:
    """A window a night, told by the cultivar it hurts most."""
    nights: dict[int, list[FrostLine]] = {}
    for line in frost_lines(now):
        nights.setdefault(now.year.index(line.night), []).append(line)
    found = []
    for day, lines in nights.items():
        worst = max(lines, key=lambda line: (line.killed, line.killed_low_error))
        steps = [worst.killed >= share for share in FROST_CROP]
        danger = (
            Danger.SEVERE
            if steps[0]
            else Danger.MODERATE
            if steps[1]
            else Danger.LIGHT
            if steps[2]
            else Danger.WATCH
        )
        reason = remark(
            "protection.frost",
            source="EB0419",
            night=on(now.year.day(day)),
            low=Measured(worst.low, Kind.TEMPERATURE),
            cultivar=worst.cultivar,
            stage=str(worst.stage),
            ten=Measured(worst.ten, Kind.TEMPERATURE),
            ninety=Measured(worst.ninety, Kind.TEMPERATURE),
            killed=worst.killed,
            least=worst.killed_high_error,
            most=worst.killed_low_error,
            colder=worst.killed_colder,
            warmer=worst.killed_warmer,
            degree=Measured(1.0, Kind.TEMPERATURE_STEP, 0),
            alone=float(frost.crop_left(worst.killed)),
            before=worst.killed_so_far - worst.killed >= TOLD_BEFORE,
            so_far=worst.killed_so_far,
            left=worst.left,
            left_low=worst.left_low,
            left_high=worst.left_high,
            passed=day < now.year.known,
            tonight=day == now.today + 1,
        )
        ranked = sorted(lines, key=lambda line: (-line.killed, line.cultivar))
        exposed = tuple(
            Exposed(line.cultivar, None, True, line.rows, line.trees, now.in_bloom(line.cultivar, day, day))
            for line in ranked
        )
        look = (day + BROWN_HEARTS[0], day + BROWN_HEARTS[1])
        found.append(now.window(Threat.FROST, danger, (day, day), reason, exposed, look))
    return found


def sun_windows(now: Situation) -> list[ThreatWindow]:
    """Runs of days that brown fruit in full sun."""
    year = now.year
    if not year.days:
        return []
    hottest = np.nanargmax(np.where(np.isfinite(year.temperature), year.temperature, -99.0), axis=1)
    row = np.arange(year.days)
    wind = np.where(np.isfinite(year.hourly_wind[row, hottest]), year.hourly_wind[row, hottest], year.wind)
    damp = np.where(year.damp, year.humidity[row, hottest], np.nan)
    skin = year.tmax + weather_harm.skin_over_air(wind, damp)
    fruit = np.array([_fruit(now, one.name, row) for one in now.guarded]).reshape(len(now.guarded), year.days)
    threshold = np.array([weather_harm.browns_at(one.name) for one in now.guarded])
    with np.errstate(invalid="ignore"):
        hot = (skin[None, :] >= threshold[:, None]) & fruit
    at = np.flatnonzero(hot.any(axis=0) & (row >= now.today - LOOKED_BACK))
    found = []
    for run in np.split(at, np.flatnonzero(np.diff(at) > 1) + 1):
        if run.size:
            found.append(_sun(now, hot, skin, int(run[0]), int(run[-1])))
    return found


def _fruit(now: Situation, cultivar: str, day: Integers) -> Booleans:
    begin = now.reached(SeasonStage.PETAL_FALL, cultivar) + SMALL_FRUIT
    end = now.reached(SeasonStage.OVER, cultivar)
    return np.asarray((day >= begin) & ~(day > end))


def _sun(now: Situation, hot: Booleans, skin: Floats, first: int, last: int) -> ThreatWindow:
    span = slice(first, last + 1)
    worst = first + int(np.argmax(skin[span]))
    rows = [row for row, its in zip(now.guarded, hot, strict=True) if its[span].any()]
    rows.sort(key=lambda row: weather_harm.browns_at(row.name))
    reached = int(weather_harm.burn(skin[worst], weather_harm.browns_at(rows[0].name)))
    reason = remark(
        "protection.sunburn",
        source="SUNBURN2001",
        air=Measured(float(now.year.tmax[worst]), Kind.TEMPERATURE),
        skin=Measured(float(skin[worst]), Kind.TEMPERATURE),
        browns=Measured(weather_harm.browns_at(rows[0].name), Kind.TEMPERATURE),
        necrosis=Measured(weather_harm.NECROSIS, Kind.TEMPERATURE),
        day=on(now.year.day(worst)),
        days=last - first + 1,
        reached=reached,
    )
    exposed = tuple(Exposed(row.name, None, True, row.rows, row.trees) for row in rows)
    danger = Danger.MODERATE if reached > 1 else Danger.LIGHT
    return now.window(Threat.SUNBURN, danger, (first, last), reason, exposed, (first + 1.0, last + 7.0))


def wind_windows(now: Situation) -> Iterator[ThreatWindow]:
    """Strong wind in the three weeks before a pick, and gusts ahead near what the weakest row bears."""
    year = now.year
    hourly = np.isfinite(year.hourly_wind).any(axis=1)
    strongest = np.where(
        hourly, np.nanmax(np.where(np.isfinite(year.hourly_wind), year.hourly_wind, -1.0), axis=1), year.wind
    )
    strongest = strongest * weather_harm.TEN_OVER_TWO
    for day in range(max(now.today - LOOKED_BACK, 0), year.days):
        gust = now.asked.gusts.get(year.day(day))
        weakest = now.asked.basis.weakest
        if weakest is not None and gust is not None and gust >= 0.8 * weakest.low:
            yield _gust(now, day, gust)
        if not strongest[day] >= weather_harm.DROP_WIND:
            continue
        rows = [
            row
            for row in now.guarded
            if now.reached(SeasonStage.RIPE, row.name) - weather_harm.DROP_DAYS
            <= day
            <= now.reached(SeasonStage.OVER, row.name)
        ]
        if rows:
            reason = remark(
                "protection.drop",
                source="",
                wind=Measured(float(strongest[day]), Kind.SPEED),
                least=Measured(weather_harm.DROP_WIND, Kind.SPEED),
                day=on(year.day(day)),
            )
            exposed = tuple(Exposed(row.name, None, True, row.rows, row.trees) for row in rows)
            yield now.window(Threat.WIND, Danger.LIGHT, (day, day), reason, exposed)


def _gust(now: Situation, day: int, gust: float) -> ThreatWindow:
    weakest = now.asked.basis.weakest
    assert weakest is not None
    reason = remark(
        "protection.gust",
        source="",
        gust=Measured(gust, Kind.SPEED),
        low=Measured(weakest.low, Kind.SPEED),
        middle=Measured(weakest.middle, Kind.SPEED),
        rows=weakest.rows,
        day=on(now.year.day(day)),
    )
    danger = Danger.SEVERE if gust >= weakest.low else Danger.MODERATE
    return now.window(Threat.WIND, danger, (day, day), reason, ())
