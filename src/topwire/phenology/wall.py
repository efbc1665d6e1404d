"""What a wall in the sun does to bloom, ripening, frost and sunburn of the trees before it.

Nobody has published it for apples, so it is worked out over a range. A wall that takes up 65 % of the mean sun of a
spring day on it (130 W/m2 facing south at 50 degrees north) and gives it off at 14 W/m2 a kelvin stands 3 to 6 K above
the air, as it loses warmth on both sides or on one. A bud sees it with half of its view, at a twelfth to a tenth of
that difference, and lies in the air warmed by it, a tenth to a sixth of it: together 0.5 to 1.5 K over day and night.
The wall hides half of the cold sky as well, of which a bud on a clear night is 1 to 2 K colder than the air. These are
sums by hand with usual coefficients (common practice, no source); the days that follow of them are the plan's own.
"""

import numpy as np

from topwire.phenology import injury
from topwire.phenology.asked import WallFaced
from topwire.phenology.findings import WallSeasons
from topwire.phenology.forecast import Array, Forecast, forecast
from topwire.phenology.seasons import Seasons
from topwire.phenology.spring import running_chill
from topwire.phenology.traits import Traits
from topwire.values.terms import FenceColour, FenceKind

BRICK_WALL = (0.5, 1.5)  # [K] before brick that looks south (proposal, worked out above)
BOARDS = (0.2, 0.7)  # [K] before solid boards, which hold no warmth for the night (proposal)
TAKES = {FenceColour.PALE: 0.3, FenceColour.BRICK: 0.65, FenceColour.DARK: 0.9}  # of the sun; usual figures
LEAST_SUN = 0.4  # of a south wall's sun: below it a wall warms nothing worth telling


def wall_warmth(kind: FenceKind, colour: FenceColour, facing: float) -> tuple[float, float] | None:
    """Least and most it is warmer before a wall [K]; None where it does not matter.

    `facing` [deg from north] of the side the trees stand on; sun goes as half of one and its cosine from south.
    """
    sun = (1.0 - np.cos(np.radians(facing))) / 2.0
    if kind not in (FenceKind.SOLID, FenceKind.WALL) or sun < LEAST_SUN:
        return None
    part = float(sun) * TAKES[colour] / TAKES[FenceColour.BRICK]
    low, high = BRICK_WALL if kind is FenceKind.WALL else BOARDS
    return low * part, high * part


def before_wall(
    wall: WallFaced, seasons: Seasons, calendar: slice, traits: Traits, today: Forecast, *, colder: float
) -> WallSeasons:
    """The reference cultivar before a wall and in the open; `calendar` are the days of a year, `colder` [K]."""
    ways = [seasons.warmed(warmth, warmth) for warmth in (wall.low, wall.high)]
    then = [
        forecast(way, traits, colder=colder, today=today, chill=chill)
        for way, chill in zip(ways, running_chill(ways), strict=True)
    ]
    at = traits.reference

    def sooner(which: str) -> tuple[float, float]:
        found = [_sooner(getattr(today, which)[:, at], getattr(one, which)[:, at]) for one in then]
        return min(found), max(found)

    lost = [float(1.0 - np.nanmean(one.crop[:, at])) for one in (today, *then)]
    burnt = [float(injury.sunburn_days(one.tmax[:, calendar]).mean()) for one in (seasons, *ways)]
    return WallSeasons(
        wall=wall,
        bloom_sooner=sooner("full_bloom"),
        ripe_sooner=sooner("harvest_first"),
        frost_open=lost[0],
        frost=(min(lost[1:]), max(lost[1:])),
        sunburn_open=burnt[0],
        sunburn=(burnt[1], burnt[2]),
    )


def _sooner(open_ground: Array, walled: Array) -> float:
    """Middle number of days by which a date comes sooner; 0 where it never comes."""
    days = open_ground - walled
    return float(np.nanmedian(days)) if np.isfinite(days).any() else 0.0
