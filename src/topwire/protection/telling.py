"""What the Protection has to tell beside its windows: what was missing, what is assumed."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from topwire.protection.findings import ProtectionFindings
from topwire.protection.situation import Situation
from topwire.values.notice import Notice, assumption, caution, warning


def protection_notices(now: Situation, found: ProtectionFindings) -> ProtectionFindings:
    """The findings with their notices."""
    return replace(found, notices=tuple(_notices(now, found)))


def about_bees(open_bloom: Sequence[str]) -> tuple[Notice, ...]:
    """That bees fly, wherever flowers are open: on every page that may send somebody into the rows."""
    return (caution("protection.bees", concerns=open_bloom),) if open_bloom else ()


def _notices(now: Situation, found: ProtectionFindings) -> list[Notice]:
    year, asked = now.year, now.asked
    told = [caution("protection.law")]
    told += about_bees(found.open_bloom)
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
