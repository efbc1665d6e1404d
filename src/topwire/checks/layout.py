"""Outside checks of the Ground department: projection, spacing, light, pollen.

A finding that gives a bound (“more than 80 %”) stands as the bound itself; our value counts as the bound when it keeps
to it, and is shown in the quantity.
"""

from collections.abc import Callable

import numpy as np

from topwire.catalogue.model import Grade, Mark
from topwire.checks import Check
from topwire.layout.bearing import mixed_light
from topwire.layout.light import (
    Wall,
    beam_light,
    diffuse_caught,
    diffuse_light,
    season_caught,
)
from topwire.layout.pollen import ROWS_ACROSS, TREES_ALONG
from topwire.layout.projection import Ellipsoid, to_metres
from topwire.layout.spacing import height_after_five, row_bounds
from topwire.layout.sunpath import season_sun

GROUND = "Ground"
JUNE, JULY, DECEMBER = 172, 196, 355  # days of the year
EVEN = Wall(0.0, 1.0, 1.0, 2.0)  # half the ground covered, as high as the alley is wide
SPINDLE = Wall(0.5, 3.3, 1.0, 3.6)

HEIGHTS = (
    ("B.9", 2.16, 0.68), ("G.11", 2.67, 0.96), ("G.41", 2.65, 1.05), ("B.10", 2.56, 1.04), ("G.202", 2.79, 1.12),
    ("G.214", 2.99, 1.20), ("G.814", 2.80, 1.41),
)  # fmt: skip


def checks() -> list[Check]:
    """All of them."""
    return [*_projection(), *_spacing(), *_light(), *_pollen()]


def _projection() -> list[Check]:
    clarke = Ellipsoid(6378206.4, 0.00676866)

    def at(axis: int) -> Callable[[], float]:
        return lambda: float(
            to_metres(-73.5, 40.5, origin=(-75.0, 0.0), scale=0.9996, ellipsoid=clarke)[axis]
        )

    where = "SNYDER87, appendix A, transverse Mercator, ellipsoid"
    point = "of 40.5 N 73.5 W on the Clarke 1866 ellipsoid, 75 W, scale 0.9996 [m]"
    return [
        Check(GROUND, f"east {point}", where, 127_106.5, at(0), 0.1, Mark.MEMORY),
        Check(GROUND, f"north {point}", where, 4_484_124.4, at(1), 0.1, Mark.MEMORY),
    ]


def _spacing() -> list[Check]:
    found = [
        Check(
            GROUND,
            f"height of Honeycrisp on {stock} after five seasons, by the power fitted to the trial [m]",
            "ROOT-S1, table 5",
            published,
            lambda area=area: height_after_five(None, area, Grade.LOW),  # type: ignore[misc]
            0.25,
            Mark.READ,
        )
        for stock, published, area in HEIGHTS
    ]
    found += [
        Check(
            GROUND,
            f"roomy row spacing of 3.7 m trees, rows {name} [m]",
            "PH",
            published,
            lambda bearing=bearing: row_bounds(3.7, 1.0, bearing, 1.6).roomy,  # type: ignore[misc]
            0.02,
            Mark.READ,
        )
        for name, bearing, published in (("north-south", 0.0, 4.81), ("east-west", 90.0, 5.55))
    ]
    return found


def _light() -> list[Check]:
    def caught(
        latitude: float, bearing: float, days: tuple[int, ...] | None = None, wall: Wall = EVEN
    ) -> float:
        sun = season_sun(latitude) if days is None else season_sun(latitude, days)
        return season_caught(wall, *sun, bearing)

    def lost_to_rows() -> float:
        sun = season_sun(51.3, (JULY,))
        rows, whole = Wall(0.5, 2.5, 1.5, 3.5, 1.5), Wall(0.5, 2.5, 3.5, 3.5, 1.5)
        mean = [
            (beam_light(wall, *sun, 0.0).caught + diffuse_light(wall).caught) / 2 for wall in (rows, whole)
        ]
        return 1 - mean[0] / mean[1]

    def north_over_east(latitude: float) -> float:
        return caught(latitude, 0.0) - caught(latitude, 90.0)

    whole_year = tuple(range(15, 365, 30))
    steady = caught(51.3, 0.0, (JUNE,)) - caught(51.3, 0.0, (264,))
    checks = [
        _at_least("direct light caught in season, half covered, height = alley, rows N-S, 51.3 N", "JP72", 0.80,
                  lambda: caught(51.3, 0.0)),
        _at_most("change of the catch of N-S rows from June to September, 51.3 N", "JP72", 0.03,
                 lambda: abs(steady)),
        _at_least("rise of the catch of E-W rows from June to September, 51.3 N", "JP72", 0.10,
                  lambda: caught(51.3, 90.0, (264,)) - caught(51.3, 90.0, (JUNE,))),
        _at_least("loss of E-W rows from 51.3 N to 34 N over that of N-S rows", "JP72", 0.0,
                  lambda: north_over_east(34.0) - north_over_east(51.3)),
        _at_most("gain of catch from height/alley 1 to 2, over proportion (1 = in proportion)", "JP72", 1.0,
                 lambda: caught(45.0, 0.0, wall=Wall(0.0, 2.0, 1.0, 2.0)) / caught(45.0, 0.0) / 2.0),
        Check(GROUND, "light lost by growing in rows of usual size, mid-July, 51.3 N, leaf area index 1.5, up to",
              "P77", 0.20, lost_to_rows, 0.03, Mark.READ),
        _at_least("direct light of the year, N-S over E-W rows, 38 N", "TCG15", 0.0,
                  lambda: caught(38.0, 0.0, whole_year) - caught(38.0, 90.0, whole_year)),
        _at_least("direct light of the year, NE-SW over E-W rows, 38 N", "TCG15", 0.0,
                  lambda: caught(38.0, 45.0, whole_year) - caught(38.0, 90.0, whole_year)),
        _at_least("catch of E-W rows, winter over summer, 30 N", "OL07", 0.2,
                  lambda: caught(30.0, 90.0, (DECEMBER,)) - caught(30.0, 90.0, (JUNE,))),
        Check(GROUND, "light caught in season, N-S over E-W rows, 42.3 N (pear yield over 11 years beside it)",
              "KH93", 1.214, lambda: caught(42.3, 0.0, wall=Wall(0.5, 3.5, 1.5, 5.0))
              / caught(42.3, 90.0, wall=Wall(0.5, 3.5, 1.5, 5.0)), 0.06, Mark.READ),
        _at_most("ray by ray through dense leaves against geometry alone, share of light", "OY07, daily error", 0.0447,
                 lambda: abs(beam_light(Wall(0.5, 3.3, 1.0, 3.6, 500.0), *season_sun(40.0), 0.0).caught
                             - season_caught(SPINDLE, *season_sun(40.0), 0.0))),
        Check(GROUND, "light at the base of a spindle wall 3.3 m high, rows 3.6 m, share of open sky (20-30 %)",
              "CO06", 0.25, lambda: (beam_light(SPINDLE, *season_sun(40.0), 0.0).zones[2]
                                     + diffuse_light(SPINDLE).zones[2]) / 2, 0.05, Mark.READ),
        Check(GROUND, "light under three leaf layers at the tree's centre, share of open sky (about 10 %)",
              "JA70", 0.10, lambda: float(np.exp(-0.6 * 3.0)), 0.07, Mark.READ),
        Check(GROUND, "light caught by 12 ft trees with an alley of 0.9 x height, 42.9 N (70-75 % aimed at)",
              "FW", 0.70, lambda: mixed_light(Wall(0.5, 3.7, 1.2, 0.9 * 3.7 + 1.2), *season_sun(42.9), 0.0)[1],
              0.05, Mark.READ),
        Check(GROUND, "light caught, leaf area index 1.6 in a spindle wall: ray by ray beside Fmax(1-exp(-KL/Fmax))",
              "J81", _jackson(diffuse_caught(SPINDLE), 1.6),
              lambda: diffuse_light(SPINDLE).caught, 0.06, Mark.READ),
    ]  # fmt: skip
    return checks


def _jackson(greatest: float, leaf_area_index: float) -> float:
    """Share of light a wall of leaves takes, out of the share an opaque one of that shape would (J81)."""
    return float(greatest * (1 - np.exp(-0.6 * leaf_area_index / greatest)))


def _pollen() -> list[Check]:
    def mean_distance(scale: float) -> float:
        steps = np.arange(-200, 201)
        return float(np.average(np.abs(steps), weights=np.exp(-np.abs(steps) / scale)))

    return [
        Check(GROUND, "mean siring distance along the row [trees]", "KRON2001B", 2.7,
              lambda: mean_distance(TREES_ALONG), 0.8, Mark.READ),
        Check(GROUND, "mean siring distance across rows [rows]", "KRON2001B", 3.6,
              lambda: mean_distance(ROWS_ACROSS), 0.7, Mark.READ),
        Check(GROUND, "share of seeds a donor sires at 18 rows, beside the nearest", "KRON2001A", 0.01,
              lambda: float(np.exp(-17 / ROWS_ACROSS)), 0.01, Mark.READ),
    ]  # fmt: skip


def _at_least(quantity: str, source: str, bound: float, ours: Callable[[], float]) -> Check:
    says = f"{quantity}: at least (ours {ours():.3f})"
    return Check(GROUND, says, source, bound, lambda: min(ours(), bound), 0.0, Mark.READ)


def _at_most(quantity: str, source: str, bound: float, ours: Callable[[], float]) -> Check:
    says = f"{quantity}: at most (ours {ours():.3f})"
    return Check(GROUND, says, source, bound, lambda: max(ours(), bound), 0.0, Mark.READ)
