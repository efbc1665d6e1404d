"""Chill, heat, bloom, frost and ripening held against published figures."""

from collections.abc import Callable, Mapping
from functools import partial

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Mark
from topwire.checks import Check, table
from topwire.phenology import frost, heat, injury, ripening, stages
from topwire.phenology.chill import chilling_hours, utah_units

Array = npt.NDArray[np.float64]

_EDGES = (("base", 1), ("upper", -1))


def checks() -> list[Check]:
    return [*_degree_days(), *_chill(), *_frost(), *_ripening()]


def _degree_days() -> list[Check]:
    found = []
    for row in table("degree_days.csv"):
        text = f"{row['method']}, {row['tmin']} to {row['tmax']}"
        text += (
            f", thresholds {row['base']} and {row['upper']} F [F d]"
            if row["upper"]
            else " deg C, base 0 [K d]"
        )
        found.append(
            Check(
                "Place",
                f"Degree-days by {text}",
                row["source"],
                float(row["published"]),
                partial(_degree_days_of, row),
                float(row["tolerance"]),
                Mark(row["mark"]),
            )
        )
    return found


def _degree_days_of(row: Mapping[str, str]) -> float:
    low, high = np.array([float(row["tmin"])]), np.array([float(row["tmax"])])
    if row["method"] == "mean":
        return float(heat.mean_above(low, high, float(row["base"]))[0])
    # horizontal cut-off: what lies above the upper threshold is taken off again
    return float(sum(sign * heat.sine_above(low, high, float(row[edge]))[0] for edge, sign in _EDGES))


def _chill() -> list[Check]:
    utah = [(1.4, 0.0), (2.4, 0.5), (9.1, 1.0), (12.4, 0.5), (15.9, 0.0), (18.0, -0.5), (18.1, -1.0)]
    hours = [(-0.1, 0.0), (0.0, 1.0), (7.2, 1.0), (7.3, 0.0)]
    return [
        Check(
            "Place",
            f"Utah weight of an hour at {air} deg C",
            "UTAH1974, table of weights",
            weight,
            partial(_first, utah_units, air),
            0.0,
            Mark.READ,
        )
        for air, weight in utah
    ] + [
        Check(
            "Place",
            f"Chilling hours of an hour at {air} deg C",
            "WEINBERGER1950",
            counted,
            partial(_first, chilling_hours, air),
            0.0,
            Mark.READ,
        )
        for air, counted in hours
    ]


def _frost() -> list[Check]:
    """The kill table in degrees F, at the share of heat each stage stands for."""
    published = {
        "silver tip": (stages.SILVER_TIP, 15, 2),
        "green tip": (stages.GREEN_TIP, 18, 10),
        "half-inch green": (stages.HALF_INCH_GREEN, 23, 15),
        "tight cluster": (stages.TIGHT_CLUSTER, 27, 21),
        "first pink": (stages.PINK, 28, 24),
        "first bloom": (stages.FIRST_BLOOM, 28, 25),
        "full bloom": (stages.FULL_BLOOM, 28, 25),
        "post bloom": (stages.PETAL_FALL, 28, 25),
    }
    found = []
    for stage, (share, ten, ninety) in published.items():
        for part, fahrenheit in ((0.1, ten), (0.9, ninety)):
            found.append(
                Check(
                    "Place",
                    f"Share of buds killed at {stage} by {fahrenheit} F",
                    "EB0419",
                    part,
                    partial(_killed_at, share, fahrenheit),
                    1e-9,
                    Mark.READ,
                )
            )
    found.append(
        Check(
            "Place",
            "Share of a full crop on 15 % of the buds",
            "USU-IPM012",
            1.0,
            lambda: float(frost.crop_left(0.85)),
            1e-9,
            Mark.READ,
        )
    )
    return found


def _killed_at(share: float, fahrenheit: float) -> float:
    kill_10, kill_90 = frost.critical_temperatures(share)
    return float(frost.kill_share((fahrenheit - 32.0) / 1.8, kill_10, kill_90))


def _ripening() -> list[Check]:
    """The rule for Delicious, 143 days; a page misprints its second case, of which the arithmetic is held."""
    return [
        Check(
            "Place",
            "First pick of Delicious, bloom 29 March 2012, nights 8 F under 50 F [day of year]",
            "BEAUDRY1993",
            240.0,
            lambda: float(ripening.rule_date(89.0, 10.0 - 8.0 / 1.8, days_from_bloom=143.0)),
            1e-6,
            Mark.READ,
        ),
        Check(
            "Place",
            "Air at which sunlit fruit browns, 14 K over air [deg C]",
            "SUNBURN2001",
            32.0,
            lambda: injury.SUNBURN_SURFACE - injury.SURFACE_OVER_AIR,
            1e-9,
            Mark.READ,
        ),
        *(
            Check(
                "Place",
                f"Hardiness zone just above {bound} deg C, as half zones from 3a",
                "USDA-ZONES",
                float(number),
                partial(_zone_number, bound + 0.05),
                0.0,
                Mark.READ,
            )
            for number, bound in enumerate(
                (-40.0, -37.2, -34.4, -31.7, -28.9, -26.1, -23.3, -20.6, -17.8, -15.0, -12.2, -9.4, -6.7)
            )
        ),
    ]


def _zone_number(coldest: float) -> float:
    zone = injury.hardiness_zone([coldest])
    return (int(zone[:-1]) - 3) * 2.0 + (zone[-1] == "b")


def _first(function: Callable[[npt.ArrayLike], Array], air: float) -> float:
    return float(function(np.array([air]))[0])
