"""What every threat is judged by: this year's days, its wet spells, the season of each cultivar, the years before."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from topwire.choice.disease import Disease
from topwire.phenology import stages
from topwire.phenology.stages import SeasonStage
from topwire.protection.asked import Guarded, ProtectionQuestion
from topwire.protection.findings import Danger, Exposed, Threat, ThreatWindow
from topwire.protection.wetness import ERROR_DAILY, ERROR_HOURLY, Spell
from topwire.protection.year import YearSoFar
from topwire.values.arrays import Floats, Integers
from topwire.values.notice import Measured, Notice
from topwire.values.quantities import Plain

LOOKED_BACK = 14  # [d]
LONGEST_DUE = 60  # [d] after which no sign of a spell is waited for
LEAST_STEP = 1.5  # of the scale, below which a cultivar counts as resistant and is left out
LATE_BLOOM = 7.0  # [d] after petal fall in which single late flowers are about: planning figure, no source


@dataclass(frozen=True)
class Situation:
    """Days are counted as indices from 1 January of the year, 0 the first."""

    asked: ProtectionQuestion
    year: YearSoFar
    spells: tuple[Spell, ...]

    @property
    def today(self) -> int:
        return self.year.index(self.asked.today)

    @property
    def recent(self) -> tuple[Spell, ...]:
        """Wet spells whose signs may still be due."""
        return tuple(spell for spell in self.spells if spell.last_day >= self.today - LONGEST_DUE)

    @property
    def guarded(self) -> tuple[Guarded, ...]:
        return self.asked.basis.guarded

    def reached(self, stage: SeasonStage, cultivar: str) -> float:
        """Index of the day on which a cultivar comes to a stage; NaN where not known."""
        found = self.asked.stages.get(cultivar)
        return float("nan") if found is None else found.day.get(stage, float("nan")) - 1

    def margin(self, cultivar: str) -> float:
        """[d] of error of its bloom dates."""
        found = self.asked.stages.get(cultivar)
        return 0.0 if found is None else found.margin

    def bud_shares(self, cultivar: str, day: Integers) -> Floats:
        """How far its buds are on each of the days, as a share of the heat to full bloom; linear in days between
        stages."""
        known = [
            (when, share)
            for stage, share in stages.SHARES.items()
            if np.isfinite(when := self.reached(stage, cultivar))
        ]
        if not known:
            return np.full(day.shape, np.nan)
        days, shares = (np.array(one) for one in zip(*known, strict=True))
        return np.asarray(np.interp(day, np.maximum.accumulate(days), shares, left=0.0))

    def exposed(
        self,
        disease: Disease | None,
        first: int,
        last: int,
        grown: Iterable[Guarded] | None = None,
        *,
        least: float = LEAST_STEP,
    ) -> tuple[Exposed, ...]:
        """Cultivars the disease can take, from step `least` on, the most susceptible first; all where it is no rated
        disease."""
        found = []
        for row in self.guarded if grown is None else grown:
            rating = None if disease is None else row.ratings[disease]
            if rating is not None and rating.middle < least:
                continue
            found.append(
                Exposed(
                    row.name,
                    None if rating is None else rating.middle,
                    rating is None or rating.known,
                    row.rows,
                    row.trees,
                    self.in_bloom(row.name, first, last),
                )
            )
        return tuple(sorted(found, key=lambda one: (-(one.step or 0.0), -one.trees, one.cultivar)))

    def in_bloom(self, cultivar: str, first: int, last: int) -> bool:
        """It has open flowers on one of the days, late ones included."""
        begin = self.reached(SeasonStage.FIRST_BLOOM, cultivar)
        end = self.reached(SeasonStage.PETAL_FALL, cultivar) + LATE_BLOOM
        return bool(begin - 0.5 <= last and first <= end)

    def window(
        self,
        threat: Threat,
        danger: Danger,
        days: tuple[int, int],
        reason: Notice,
        exposed: tuple[Exposed, ...],
        look: tuple[float, float] | None = None,
    ) -> ThreatWindow:
        """A window of the days, first and last."""
        first, last = days
        inside = self.year.measured[max(first, 0) : last + 1]
        return ThreatWindow(
            threat,
            danger,
            self.year.day(first),
            self.year.day(last),
            forecast=last >= self.year.known,
            estimated=not bool(inside.size and inside.all()),
            usual=last >= self.year.days,
            reason=reason,
            exposed=exposed,
            look_from=None if look is None else self.year.day(look[0]),
            look_to=None if look is None else self.year.day(look[1]),
            bees=any(self.in_bloom(row.name, first, last) for row in self.guarded),
        )

    def hours_error(self, spell: Spell) -> float:
        """[h] to which its wet hours are known."""
        days = slice(spell.first_day, spell.last_day + 1)
        daily = ~self.year.measured[days]
        return float(np.sqrt(ERROR_DAILY**2 * daily.sum() + ERROR_HOURLY**2 * (~daily).any()))

    @cached_property
    def middle_year(self) -> tuple[Floats, Floats]:
        """(366,) lowest and highest: known or forecast days, then those of the middle of the years before."""
        return self._with_known(
            np.median(self.asked.before_min, axis=0), np.median(self.asked.before_max, axis=0)
        )

    @cached_property
    def ways(self) -> tuple[Floats, Floats]:
        """(years, 366) the same, gone on with as in each of the years before."""
        return self._with_known(self.asked.before_min.copy(), self.asked.before_max.copy())

    def _with_known(self, low: Floats, high: Floats) -> tuple[Floats, Floats]:
        for there, here in ((low, self.year.tmin), (high, self.year.tmax)):
            known = np.flatnonzero(np.isfinite(here))
            there[..., known] = here[known]
        return low, high

    def mean_from(self, day: int, days: int) -> float:
        """[deg C] mean of so many days from one on, as far as known, and as in the middle of years from there."""
        low, high = self.middle_year
        span = slice(day, min(day + days, low.size))
        return float((low[span] + high[span]).mean() / 2.0)


def on(day: date) -> Measured:
    """A date as a fact, told as “3 May”."""
    common = day if (day.month, day.day) != (2, 29) else day - timedelta(days=1)
    return Measured(float(common.replace(year=2001).timetuple().tm_yday), Plain.DAY_OF_YEAR)
