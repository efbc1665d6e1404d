"""Two people who hold only the printed cards: staked by tapes and planted by the lines, every tree stands right.

Nothing but the words and figures of the cards is used: lengths, bearings, sides on which tapes cross, distances and
codes. Corners are found by circles about corners that are known, as with two tapes.
"""

import re
from collections.abc import Callable
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
import pytest
from layout.worlds import laid_out, survey

from topwire.book.sheets import sheets_data
from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Choice
from topwire.engine.orchard import Origin, gathered
from topwire.layout.findings import Ground, Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.values.units import UnitSystem

Point = tuple[float, float]
BLOCKS = [
    {
        "name": "South", "corners": [["0 m", "0 m"], ["30 m", "5 m"], ["34 m", "60 m"], ["-4 m", "70 m"]],
        "row_bearing": 20.0, "tree_spacing": "1.2 m", "row_spacing": "3.6 m", "slope": "0 %",
    },
    {
        "name": "Pentagon", "row_bearing": 110.0, "tree_spacing": "1 m", "row_spacing": "3.5 m", "slope": "0 %",
        "corners": [["60 m", "20 m"], ["100 m", "20 m"], ["110 m", "60 m"], ["80 m", "80 m"], ["55 m", "60 m"]],
    },
]  # fmt: skip
SIDES = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@pytest.fixture(scope="module", params=[UnitSystem.METRIC, UnitSystem.US])
def orchard(
    request: pytest.FixtureRequest,
    make_plan: Callable[..., Plan],
    make_seasons: Callable[[], PlaceSeasons],
    make_choice: Callable[..., Choice],
    catalogue: Catalogue,
) -> tuple[Ground, Layout, dict[str, list[dict]]]:  # type: ignore[type-arg]
    plan = make_plan(BLOCKS, ground={"headland": "4 m"})
    ground = survey(plan, catalogue)
    trees = {"Gala": 150, "Golden Delicious": 120, "Fuji": 90, "Liberty": 160, "Empire": 130}
    layout = laid_out(plan, catalogue, make_seasons(), ground, make_choice(trees))
    origin = Origin("Paper", "0", "", "", "", 39.2, -78.2, 220, request.param, 2028, "USD", ())
    whole = gathered(origin, {"ground": ground, "layout": layout}, (), ())
    chapters = sheets_data(whole)["chapters"]
    return ground, layout, {chapter["title"]: chapter["blocks"] for chapter in chapters}


def metres(said: str) -> float:
    """“12.21 m”, “40 ft 0 3/4 in”."""
    said = said.replace("\u00a0", " ")
    if said.endswith(" m"):
        return float(said.removesuffix(" m").replace(",", ""))
    feet = re.search(r"([\d,]+) ft", said)
    inches = re.search(r"(?:^|ft )(\d+)?(?: ?(\d+)/(\d+))? in", said)
    total = 12.0 * float(feet[1].replace(",", "")) if feet else 0.0
    if inches:
        total += float(inches[1] or 0) + (float(inches[2]) / float(inches[3]) if inches[2] else 0.0)
    return total * 0.0254


def circles(a: Point, long_a: float, b: Point, long_b: float) -> list[Point]:
    apart = hypot(b[0] - a[0], b[1] - a[1])
    foot = (apart**2 + long_a**2 - long_b**2) / (2 * apart)
    off = max(long_a**2 - foot**2, 0.0) ** 0.5
    ux, uy = (b[0] - a[0]) / apart, (b[1] - a[1]) / apart
    return [(a[0] + foot * ux - k * off * uy, a[1] + foot * uy + k * off * ux) for k in (1, -1)]


def bearing(a: Point, b: Point) -> float:
    return degrees(atan2(b[0] - a[0], b[1] - a[1])) % 360


def turned(a: float, b: float) -> float:
    return abs((a - b + 180) % 360 - 180)


def tables(blocks: list[dict], name: str) -> dict[str, list[list[str]]]:  # type: ignore[type-arg]
    """A block's tables by the end of their titles."""
    return {
        block["title"].partition(": ")[2]: block["rows"]
        for block in blocks
        if block["kind"] == "table" and block["title"].startswith(f"{name}: ")
    }


def found_corners(rows: list[list[str]], known: dict[str, Point], name: str) -> dict[str, Point]:
    """From what is known go round by lengths; bearings only say to which side, but for the first of all lines."""
    lines = [
        (start if " " in start else f"{name} {start}", f"{name} {end}", metres(length), float(angle))
        for _, start, end, length, angle, _ in rows
    ]
    here = dict(known)
    if not known:
        start, end, length, angle = lines[0]
        here[start] = (0.0, 0.0)
        here[end] = (length * sin(radians(angle)), length * cos(radians(angle)))
    for start, end, length, angle in lines:
        if start in known and end not in here:  # a further block: by length and bearing
            x, y = here[start]
            here[end] = (x + length * sin(radians(angle)), y + length * cos(radians(angle)))
    letters = {end for _, end, _, _ in lines} | {start for start, *_ in lines}
    while letters - set(here):
        for corner in sorted(letters - set(here)):
            seen = [
                (a if b == corner else b, long, angle if b == corner else (angle + 180) % 360)
                for a, b, long, angle in lines
                if corner in (a, b) and (a in here or b in here)
            ]
            if len(seen) >= 2:
                (first, long, angle), (second, other, _) = seen[:2]
                both = circles(here[first], long, here[second], other)
                here[corner] = min(both, key=lambda at: turned(bearing(here[first], at), angle))
                break
        else:
            raise AssertionError(f"{name}: no two tapes to {letters - set(here)}")
    return here


def staked(blocks: list[dict]) -> dict[str, Point]:  # type: ignore[type-arg]
    """Every row end by its two tapes, checked by the distances that have to come out."""
    corners: dict[str, Point] = {}
    posts: dict[str, Point] = {}
    for name in ("South", "Pentagon"):
        own = tables(blocks, name)
        corners = found_corners(own["from corner to corner, around and across"], corners, name)
        for _, point, first, one, second, other, side, _ in own["two tapes to every end post"]:
            if point.startswith("corner"):
                continue
            a, b = corners[f"{name} {first}"], corners[f"{name} {second}"]
            wanted = SIDES.index(side.partition(" of the line")[0]) * 45
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)

            def away(
                at: Point, a: Point = a, b: Point = b, middle: Point = middle, to: float = wanted
            ) -> float:
                along = bearing(a, b)
                square = min((along + 90, along - 90), key=lambda angle: turned(angle, bearing(middle, at)))
                return turned(square, to)

            posts[f"{name} {point}"] = min(circles(a, metres(one), b, metres(other)), key=away)
        for start, end, length, _ in own["distances that have to come out"]:
            a, b = posts[f"{name} {start}"], posts[f"{name} {end}"]
            assert hypot(a[0] - b[0], a[1] - b[1]) == pytest.approx(metres(length), abs=0.05), (
                name,
                start,
                end,
            )
    return posts


def test_every_tree_stands_where_it_was_planned(orchard) -> None:  # type: ignore[no-untyped-def]
    ground, layout, chapters = orchard
    posts = staked(chapters["Staking out"])
    planted: dict[str, tuple[Point, str]] = {}
    for card in chapters["Planting, row by row"]:
        if card["kind"] != "sheet":
            continue
        row = card["row"].partition(", page")[0]
        block, _, number = row.rpartition(" ")
        start, end = (posts[f"{block} row {number} {which}"] for which in ("start", "end"))
        long = hypot(end[0] - start[0], end[1] - start[1])
        code = ""
        for line in (line for column in card["columns"] for line in column):
            if len(line) == 3:
                code = line[0].partition(",")[0].partition(" ")[0]
                continue
            share = metres(line[1]) / long
            at = (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
            planted[f"{row}, tree {line[0]}"] = (at, code)
    there = np.flatnonzero(layout.cultivar >= 0)
    assert len(planted) == there.size
    for tree in there:
        (x, y), code = planted[str(ground.address(int(tree)))]
        assert code == layout.codes[layout.cultivar[tree]]
        assert hypot(x - ground.x[tree], y - ground.y[tree]) < 0.1, ground.address(int(tree))
