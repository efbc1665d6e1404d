"""What the Protection has to tell beside its windows: what was missing, what is assumed."""

from dataclasses import replace

import numpy as np

from topwire.protection.findings import ProtectionFindings
from topwire.protection.situation import Situation
from topwire.values.notice import Notice, assumption, caution, warning


def protection_notices(now: Situation, found: ProtectionFindings) -> ProtectionFindings:
    """The findings with their notices."""
    return replace(found, notices=tuple(_notices(now, found)))


def _notices(now: Situation, found: ProtectionFindings) -> list[Notice]:
    year, asked = now.year, now.asked
    told = [caution("protection.law")]
    if found.open_bloom:
        told.append(caution("protection.bees", concerns=found.open_bloom))
    known = year.tmin[: year.known]
    if not np.isfinite(known).any() and year.known:
        told.append(warning("protection.no_weather", setting="weather.files", year=year.year))
    elif np.isnan(known).any():
        told.append(
            warning(
                "protection.gaps", setting="weather.files", days=int(np.isnan(known).sum()), year=year.year
            )
        )
    if found.forecast_to is None:
        told.append(warning("protection.no_forecast"))
    if not year.measured.all():
        told.append(
            assumption(
                "protection.daily" if not year.damp.any() else "protection.daily_dew",
                source="GREENSBORO-TMY3",
            )
        )
    if asked.today.year <= asked.basis.planting:
        told.append(
            assumption("protection.not_planted", setting="years.planting", year=str(asked.basis.planting))
        )
    told.append(assumption("protection.present"))
    return told
