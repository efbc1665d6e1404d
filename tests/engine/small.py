"""An invented orchard small enough to be planned in seconds, and one change of each setting that a plan may hold."""

import json
from collections.abc import Iterator
from copy import deepcopy
from enum import Enum
from io import StringIO
from itertools import pairwise
from pathlib import Path
from typing import Any, Literal, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from ruamel.yaml import YAML

from topwire.plan.fields import MonthDay
from topwire.plan.model import Plan

EXAMPLES = Path(__file__).parents[2] / "examples"
PLAN = """\
name: Small yard
units: metric
place:
  latitude: 39.18
  longitude: -78.16
  elevation: 220 m
  exposure: sheltered
  gust: 38 m/s
  soil: {texture: loam, depth: 0.9 m, fertility: fertile}
ground:
  headland: 2 m
  margin: 1 m
  machine_width: 1 m
  blocks:
    - {name: Yard, outline: yard.geojson, row_bearing: 90}
kitchen:
  different_on_the_board: 1
  cellar: {temperature: 4 C, capacity: 60 kg}
  press: {weekly_capacity: 200 kg, from: 1 Sep, to: 30 Nov}
  needs:
    - {use: fresh, amount: 3 kg/week, from: 1 Aug, to: 31 Jan, weight: 2}
    - {use: pie, amount: 25 kg/season, from: 1 Sep, to: 30 Nov}
    - {use: juice, amount: 30 kg/season, from: 1 Sep, to: 30 Nov}
taste: {fewest_cultivars: 4, most_cultivars: 6, fewest_trees: 1, most_trees: 5, disease_resistance: strong,
        own_grafts_only: true}
trees: {rootstock: G.41, total: 12, tree_spacing: 1.2 m, row_spacing: 3.5 m}
years: {planting: 2028, horizon: 15}
trellis: {wire_heights: [0.8 m, 1.5 m, 2.1 m, 2.6 m]}
water: {source: drinking water, flow: 1 m3/h, pressure: 300 kPa, distance: 15 m, hours_per_day: 4}
nursery: {skill: beginner, seasons: 1}
"""
YARD = {
    "type": "Feature",
    "properties": {"name": "Yard"},
    "geometry": {
        "type": "Polygon",
        "coordinates": [
            [[-78.16, 39.18], [-78.15975, 39.18], [-78.15975, 39.1801], [-78.16, 39.1801], [-78.16, 39.18]]
        ],
    },
}


def make(folder: Path, *, years: int = 6) -> Path:
    """The small orchard in `folder`, with the last `years` of a real record."""
    (folder / "weather").mkdir(parents=True)
    (folder / "plan.yaml").write_text(PLAN, encoding="utf-8")
    (folder / "yard.geojson").write_text(json.dumps(YARD), encoding="utf-8")
    lines = (
        (EXAMPLES / "garden-fence/weather/daily.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    )
    first = int(lines[-1].split(",")[1][:4]) - years
    kept = [line for line in lines[1:] if line.split(",")[1] >= f"{first}-10-01"]
    (folder / "weather/daily.csv").write_text(lines[0] + "".join(kept), encoding="utf-8")
    return folder


def plan_changes() -> Iterator[tuple[str, str]]:
    """Every setting that can be changed alone: its path, and the whole text of the plan with it changed."""
    tree = YAML(typ="safe", pure=True).load(PLAN)
    base = Plan.model_validate(tree)
    for path, field, value in _leaves(Plan, base, ()):
        for other in _others(path, field, value):
            changed = _with(tree, path, other)
            try:
                if Plan.model_validate(changed) != base:
                    yield ".".join(map(str, path)), _text(changed)
                    break
            except ValidationError:
                continue


def _leaves(
    model: type[BaseModel], value: Any, path: tuple[str | int, ...]
) -> Iterator[tuple[tuple[str | int, ...], FieldInfo, Any]]:
    for name, field in model.model_fields.items():
        here = (*path, field.alias or name)
        inner = getattr(value, name)
        if isinstance(inner, BaseModel):
            yield from _leaves(type(inner), inner, here)
        elif isinstance(inner, list | tuple) and inner and isinstance(inner[0], BaseModel):
            for index, item in enumerate(inner):
                yield from _leaves(type(item), item, (*here, index))
        else:
            yield here, field, inner


# What a setting that is empty, or is more than a number, may become.
_STATED: dict[str, list[Any]] = {
    "name": ["Another yard", "Yard of others"],
    "wind_from": [250],
    "declination": [-9.5],
    "frozen": [["Yard 1"]],
    "frost_depth": ["0.6 m", "0.9 m"],
    "gust": ["41 m/s"],
    "must_have": [["GoldRush"]],
    "must_not_have": [["GoldRush"]],
    "wood": [{"GoldRush": 3}],
    "pull_test": [
        {"ground": "soaked", "post_load": "1.2 kN", "post_depth": "0.9 m", "post_diameter": "100 mm"}
    ],
    "rootstock_for": [{"GoldRush": "G.11"}],
    "rootstock": ["M.9 NAKBT337"],
    "total": [11],
    "trees_per_year": [40],
    "take_rate": [0.7],
    "warming": ["2 C"],
    "currency": ["EUR"],
    "closed": [[{"from": "1 Jan", "to": "15 Feb"}]],
    "use": ["sauce"],
    "blend": ["none"],
    "amount": ["4 kg/week", "35 kg/season"],
    "longitude": [-78.3],
    "latitude": [39.3],
    "wire_heights": [["0.8 m", "1.5 m", "2.1 m", "2.7 m"]],
    "seasons": [2],
}


def _others(path: tuple[str | int, ...], field: FieldInfo, value: Any) -> Iterator[Any]:
    yield from _STATED.get(str(path[-1]), [])
    for annotation in (field.annotation, *get_args(field.annotation)):
        if isinstance(annotation, type) and issubclass(annotation, Enum):
            yield from (item.value for item in annotation if item != value)
        for literal in get_args(annotation) if getattr(annotation, "__origin__", None) is Literal else ():
            if literal != value:
                yield literal
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, MonthDay):
        yield str(MonthDay(value.month, value.day + 7 if value.day < 20 else value.day - 7))
    elif isinstance(value, int | float):
        for factor in (1.05, 0.95, 1.3, 0.7):
            number = value * factor if value else factor - 0.9
            yield number
            yield round(number) if round(number) != value else round(value) + 1
            for unit in ("m", "kg", "m2", "C", "m/s", "m3/h", "Pa", "N", "mm", "m3", "%"):
                yield f"{number:.6g} {unit}"
    elif value is None:
        for number in ("1.2", "3", "30"):
            yield float(number)
            for unit in ("m", "kg", "m2", "C", "m/s", "m3/h", "Pa", "N", "mm", "m3", "%"):
                yield f"{number} {unit}"


def _with(tree: Any, path: tuple[str | int, ...], value: Any) -> Any:
    """The plan's tree with one value changed; sections that do not stand there are made."""
    made = deepcopy(tree)
    node: Any = made
    for part, following in pairwise(path):
        if isinstance(node, dict) and part not in node:
            node[part] = [] if isinstance(following, int) else {}
        node = node[part]
    node[path[-1]] = value
    return made


def _text(tree: Any) -> str:
    stream = StringIO()
    YAML(typ="safe", pure=True).dump(tree, stream)
    return stream.getvalue()
