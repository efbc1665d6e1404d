"""A first plan out of a few answers: the starter, with what was said in its place."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from topwire.plan.meant import as_meant
from topwire.plan.rewritten import as_value, as_written, rewritten
from topwire.plan.starter import starter_text
from topwire.values.terms import CiderStyle
from topwire.values.units import Kind, UnitSystem, parse

Answers = Mapping[str, str]
WHERE, GROUND, GUESTS, TASTE = "where", "ground", "guests", "taste"


@dataclass(frozen=True)
class Eaten:
    """A dish guests eat week by week: its name in the kitchen table, use, season, and what a missing pound counts."""

    dish: str
    use: str
    start: str
    end: str
    weight: int


@dataclass(frozen=True)
class Made:
    """What is made once a year and put by."""

    use: str
    start: str
    end: str


# Seasons and weights are those of the starter.
EATEN = (
    Eaten("table apple", "fresh", "15 Jul", "31 May", 3),
    Eaten("slice of pie", "pie", "1 Aug", "30 Apr", 2),
    Eaten("baked apple", "baked", "1 Sep", "31 Mar", 2),
)
MADE = (
    Made("sauce", "1 Aug", "15 Dec"),
    Made("butter", "1 Sep", "30 Nov"),
    Made("dried", "15 Aug", "15 Dec"),
    Made("juice", "15 Aug", "15 Dec"),
)
_SETTINGS = {
    "latitude": "place.latitude", "longitude": "place.longitude", "elevation": "place.elevation",
    "exposure": "place.exposure", "texture": "place.soil.texture", "planting": "years.planting",
    "rootstock": "trees.rootstock", "most": "taste.most_cultivars", "fewest": "taste.fewest_cultivars",
    "heritage": "taste.heritage_share", "trees": "trees.total", "flow": "water.flow", "currency": "money.currency",
}  # fmt: skip
_LISTS = {
    "must_have": "taste.must_have", "favourites": "taste.favourites", "dislikes": "taste.dislikes",
    "must_not_have": "taste.must_not_have",
}  # fmt: skip

_SECTION = re.compile(r"([^\n])\n(?=\w+:\n)")  # an empty line before each section, as in the starter


def units_of(answers: Answers) -> UnitSystem:
    return UnitSystem.METRIC if answers.get("units") == "metric" else UnitSystem.US


def meant(answers: Answers) -> dict[str, str]:
    """The answers with places and quantities as a plan says them."""
    return as_meant(answers, *(("ft", "gal") if units_of(answers) is UnitSystem.US else ("m", "L")))


def wanted(answers: Answers) -> bool:
    """Whether anybody eats or drinks anything."""
    eaten = any(answers.get(f"share_{one.use}", "").strip() for one in EATEN)
    made = any(answers.get(f"made_{one.use}", "").strip() for one in MADE)
    return bool(answers.get("guests", "").strip() and eaten) or made or bool(answers.get("cider", "").strip())


def first_plan(answers: Answers) -> str:
    """The plan's text from what was answered; what was not stays as the starter has it.

    Raises
    ------
    Faults
        Where an answer cannot stand in a plan at all.
    """
    units = units_of(answers)
    answers = meant(answers)
    changes: dict[str, str | None] = {
        setting: as_value(answers[name]) for name, setting in _SETTINGS.items() if answers.get(name)
    }
    if answers.get("name"):
        changes["name"] = as_written(answers["name"].strip())
    for name, setting in _LISTS.items():
        if answers.get(name):
            told = [as_written(part.strip()) for part in answers[name].split(",") if part.strip()]
            changes[setting] = f"[{', '.join(told)}]"
    if answers.get("weather"):
        files = [as_written(name.strip()) for name in answers["weather"].split(",")]
        changes["weather.files"] = f"[{', '.join(files)}]"
    changes["ground.blocks"] = f"- {_block(answers)}"
    changes |= _small(answers)
    needs = _needs(answers, "lb" if units is UnitSystem.US else "kg")
    cider = answers.get("cider", "")
    if cider:
        style = answers.get("cider_style", CiderStyle.STILL_DRY)
        changes["kitchen.cider"] = f"[{{style: {as_value(style)}, amount: {as_value(cider)}}}]"
    if needs or cider:
        changes["kitchen.needs"] = needs or "[]"
    return _SECTION.sub(r"\1\n\n", rewritten(starter_text(units), changes))


def _block(answers: Answers) -> str:
    parts = ["name: South"]
    if answers.get("outline"):
        parts.append(f"outline: {as_written(answers['outline'])}")
    else:
        length, width = (answers.get(name, "").strip() for name in ("length", "width"))
        parts.append(
            f"rectangle: {{length: {as_value(length or '300 ft')}, width: {as_value(width or '150 ft')}}}"
        )
    bearing = answers.get("row_bearing", "").strip()
    slope = answers.get("slope", "").strip()
    parts += [f"row_bearing: {as_value(bearing or 'choose')}"]
    if slope:
        falls = answers.get("slope_bearing", "").strip()
        parts += [f"slope: {as_value(slope)}", f"slope_bearing: {as_value(falls or '180')}"]
    return f"{{{', '.join(parts)}}}"


# [m2] of ground, and trees, below which the starter's numbers of cultivars and trees would not fit
SMALL, FEW = 1500.0, 300
TINY, A_ROW = 300.0, 60  # a garden's row or two


def _small(answers: Answers) -> dict[str, str | None]:
    """Fewer cultivars, and fewer trees of each, on small ground or of few trees: planning figures, no source. Where one
    bound of their number is answered the other gives way to it."""
    try:
        ground = parse(answers.get("length", ""), Kind.LENGTH) * parse(answers.get("width", ""), Kind.LENGTH)
    except ValueError:
        ground = float("inf")
    wanted = answers.get("trees", "").strip()
    number = int(wanted) if wanted.isdecimal() else FEW
    found: dict[str, str | None] = {}
    usual = fewest, most = 15, 30  # the starter's
    if ground < SMALL or number < FEW:
        fewest, most, trees = (3, 8, 1) if ground < TINY or number < A_ROW else (6, 15, 3)
        found |= {"taste.fewest_trees": str(trees), "trees.shortest_run": str(min(trees, 5))}
    asked = [answers.get(name, "").strip() for name in ("fewest", "most")]
    least, limit = (int(one) if one.isdecimal() else None for one in asked)
    fewest, most = min(fewest, limit or fewest), max(most, least or most)
    if not asked[0] and fewest != usual[0]:
        found["taste.fewest_cultivars"] = str(fewest)
    if not asked[1] and most != usual[1]:
        found["taste.most_cultivars"] = str(most)
    if ground < TINY:
        room = "1 m" if units_of(answers) is UnitSystem.METRIC else "3 ft"
        found |= {"ground.headland": room, "ground.margin": room, "ground.machine_width": room}
    return found


def _needs(answers: Answers, mass: str) -> str:
    """The kitchen's needs in lines, as a grower would write them."""
    lines = []
    guests = answers.get("guests", "").strip()
    for one in EATEN:
        share = answers.get(f"share_{one.use}", "").strip()
        if share and guests:
            eats = (
                f"dishes: {{guests_per_week: {as_value(guests)}, share: {as_value(share)}, dish: {one.dish}}}"
            )
            lines += [f"- use: {one.use}", f"  {eats}", f"  from: {one.start}", f"  to: {one.end}"]
            lines.append(f"  weight: {one.weight}")
    for made in MADE:
        amount = answers.get(f"made_{made.use}", "").strip()
        if amount:
            said = amount if any(sign.isalpha() for sign in amount) else f"{amount} {mass}"
            said = said if "/" in said else f"{said}/season"
            lines.append(
                f"- {{use: {made.use}, amount: {as_value(said)}, from: {made.start}, to: {made.end}}}"
            )
    return "\n".join(lines)
