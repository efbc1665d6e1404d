"""Infection, warmth, flight and burn held against published tables, worked examples and cases worked out apart.

Classes as numbers: scab 0 none to 3 severe; quince rust 0 none to 3 severe; an insect's event 0 to come, 1 under way,
2 over; yes and no as 1 and 0. Each case stands with its inputs in data/protection_cases.csv.
"""

from collections.abc import Callable, Mapping
from datetime import date
from functools import cache, partial

import numpy as np

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.tables import read_tables
from topwire.checks import Check, table
from topwire.phenology.degree_days import degree_days
from topwire.phenology.disease_weather import BLIGHT_HEAT, FLOWER_LIFE, degree_hours
from topwire.phenology.heat import mean_above
from topwire.protection import blight_windows, insects, rusts, scab, summer, weather_harm, wetness
from topwire.protection.insects import InsectClock
from topwire.protection.question import clocks_of
from topwire.values.arrays import Floats
from topwire.values.insect_clock import CutOff, DayCurve

Inputs = Mapping[str, str]
_F = 1.8  # degrees Fahrenheit in a kelvin
_NEVER = 1e6  # stands for no infection at all
_FIRST_CATCH = date(2020, 4, 1)  # made up, of the station's year


def checks() -> list[Check]:
    found = []
    for row in table("protection_cases.csv"):
        inputs = dict(part.split("=", 1) for part in row["inputs"].split())
        published = _NEVER if row["published"] == "inf" else float(row["published"])
        found.append(
            Check(
                "Protection",
                f"{row['model'].replace('_', ' ')}: {', '.join(f'{key} {value}' for key, value in inputs.items())}",
                row["source"],
                published,
                partial(_ours, row["model"], inputs),
                float(row["tolerance"]),
                Mark(row["mark"]),
            )
        )
    return found


def _ours(model: str, inputs: Inputs) -> float:
    return min(float(np.asarray(_MODELS[model](inputs))), _NEVER)


def _number(inputs: Inputs, name: str) -> float:
    return float(inputs[name])


def _day(inputs: Inputs) -> float:
    ends = [_number(inputs, "tmin"), float(inputs["next"] or inputs["tmin"])]
    found = degree_days(
        np.array(ends),
        np.full(2, _number(inputs, "tmax")),
        _number(inputs, "lower"),
        float(inputs["upper"]) if inputs["upper"] else None,
        curve=DayCurve(inputs["curve"].replace("_", " ")),
        cut_off=CutOff(inputs["cut"]),
    )
    return float(found[0])


@cache
def _station() -> tuple[Floats, Floats]:
    """Lowest and highest of the 366 days of Esparto A, 2020 [F] (ESPARTO2020)."""
    rows = table("station_2020.csv")
    low, high = (np.array([float(row[name]) for row in rows]) for name in ("tmin_f", "tmax_f"))
    return low, high


def _year(inputs: Inputs) -> float:
    low, high = _station()
    curve = DayCurve(inputs["curve"].replace("_", " "))
    return float(
        degree_days(low, high, _number(inputs, "lower"), _number(inputs, "upper"), curve=curve).sum()
    )


@cache
def _clocks() -> Mapping[str, InsectClock]:
    """The shipped clocks by the names of the table's rows."""
    catalogue = Catalogue(read_tables())
    return dict(zip(catalogue.tables["insect_clocks"].rows, clocks_of(catalogue), strict=True))


def _moth(inputs: Inputs) -> tuple[float, float]:
    """Day of the year on which the codling moth's clock passes a sum in the station's year, and the sum then [F d]."""
    low, high = ((ends - 32.0) / _F for ends in _station())
    daily = insects.warmth(_clocks()["codling moth"], low, high)[None, :]
    start = (_FIRST_CATCH - date(2020, 1, 1)).days
    day = int(insects.day_reached(daily, start, _number(inputs, "sum") / _F)[0])
    return day + 1.0, float(daily[0, start : day + 1].sum()) * _F


def _event(inputs: Inputs) -> int:
    clock, name = (inputs[key].replace("_", " ") for key in ("clock", "event"))
    (event,) = [one for one in _clocks()[clock].events if one.event == name]
    return insects.progress(event, _number(inputs, "sum") / _F)


def _flight(inputs: Inputs) -> bool:
    highs = [float(one) for one in inputs["highs"].split(",")]
    return bool(insects.warm_days(highs)[-1] >= insects.FLIGHT_DAYS)


def _tree(inputs: Inputs) -> float:
    """How far beyond its threshold the regression tree is, as the figure it holds against it."""
    beyond = wetness.tree_value(*(_number(inputs, name) for name in ("air", "dew", "humidity", "wind")))
    return float(beyond) + (
        wetness.TREE_CALM if _number(inputs, "wind") < wetness.CALM else wetness.TREE_WINDY
    )


def _scab_hours(inputs: Inputs) -> float:
    return float(
        scab.hours_needed(_number(inputs, "celsius"))[("light", "moderate", "severe").index(inputs["class"])]
    )


def _james(inputs: Inputs) -> float:
    return float(scab.development(*([_number(inputs, name)] for name in ("celsius", "rain", "saturated")))[0])


def _james_days(inputs: Inputs) -> float:
    """The day, counted from 1, on which spores are ripe at one temperature, every day wet."""
    day = scab.ripe_day(
        scab.development(np.full(60, _number(inputs, "celsius")), np.full(60, 5.0), np.zeros(60))
    )
    return float("nan") if day is None else day + 1.0


def _met(inputs: Inputs) -> int:
    return sum(
        blight_windows.conditions(
            _number(inputs, "heat"), _number(inputs, "mean"), inputs["wet"] == "1", inputs["open"] == "1"
        )
    )


def _symptoms(inputs: Inputs) -> float:
    mean = np.full(60, _number(inputs, "mean"))
    return blight_windows.days_to_symptoms(mean, mean, 0)


_MODELS: Mapping[str, Callable[[Inputs], object]] = {
    "degree_days": _day,
    "degree_days_year": _year,
    "codling_moth_dates": lambda one: _moth(one)[0],
    "codling_moth_sums": lambda one: _moth(one)[1],
    "codling_moth_hatch_curve": lambda one: 100 * insects.hatched(_number(one, "sum") / _F),
    "insect_event": _event,
    "plum_curculio_daily": lambda one: mean_above(_number(one, "tmin"), _number(one, "tmax"), 50.0),
    "apple_maggot_emergence": lambda one: 100 * insects.maggots_out(_number(one, "heat")),
    "black_stem_borer_flight": _flight,
    "scab_hours": _scab_hours,
    "scab_infection_class": lambda one: scab.infection(_number(one, "celsius"), _number(one, "hours")),
    "scab_minimum_wetness": lambda one: scab.least_hours((_number(one, "fahrenheit") - 32.0) / _F),
    "scab_two_tables": lambda one: scab.hours_needed((_number(one, "fahrenheit") - 32.0) / _F)[0],
    "scab_incubation": lambda one: scab.lesion_days(_number(one, "celsius"))[int(one["end"])],
    "scab_ascospore_maturity": lambda one: 100 * scab.ripe_share(_number(one, "heat")),
    "ascospore_maturity_james_sutton": _james,
    "james_days": _james_days,
    "james_hour": lambda one: _james({**one, "rain": "5", "saturated": "0"}) / 24,
    "leaf_wet": lambda one: wetness.wet_by_tree(
        *(_number(one, name) for name in ("air", "dew", "humidity", "wind"))
    ),
    "leaf_wetness_value": _tree,
    "fire_blight_degree_hours": lambda one: degree_hours(_number(one, "tmin"), _number(one, "tmax")),
    "blight_heat": lambda _: BLIGHT_HEAT,
    "flower_life": lambda _: FLOWER_LIFE,
    "fire_blight_conditions": _met,
    "blight_symptoms": _symptoms,
    "cedar_rust_light": lambda one: rusts.leaf_hours(_number(one, "celsius"))[0],
    "cedar_rust_field": lambda one: _number(one, "hours") >= rusts.leaf_hours(_number(one, "celsius"))[0],
    "quince_rust_field": lambda one: (
        rusts.quince_infection(_number(one, "celsius"), _number(one, "hours")) >= 2
    ),
    "quince_class": lambda one: rusts.quince_infection(_number(one, "celsius"), _number(one, "hours")),
    "marssonina_min_wetness": lambda one: summer.marssonina_hours(_number(one, "celsius")),
    "glomerella": lambda one: _number(one, "hours") >= summer.glomerella_hours(_number(one, "celsius")),
    "black_rot_wetness": lambda one: summer.black_rot_hours(_number(one, "celsius"))[int(one["part"])],
    "sooty_blotch_wetness": lambda one: summer.sooty_band(_number(one, "hours")),
    "sooty_count": lambda one: summer.sooty_hours([float(hours) for hours in one["spells"].split(",")]),
    "mildew": lambda one: summer.mildew_days([_number(one, "mean")], [_number(one, "rain")])[0],
    "sunburn_fst": lambda one: weather_harm.burn(_number(one, "air") + _number(one, "over")),
}
