"""Orchards drawn at random: a small kitchen each, and any ground, trellis, water, nursery, own tables and records.

Most can be planned, some ask for what cannot be had. Each is a whole folder, as a grower would have it.
"""

import csv
import json
from io import StringIO
from pathlib import Path
from random import Random
from typing import Any

from engine.small import EXAMPLES
from ruamel.yaml import YAML

from topwire.catalogue.schema import Sort
from topwire.catalogue.schemas import SCHEMAS
from topwire.catalogue.tables import read_tables
from topwire.plan.kitchen import PRODUCTS
from topwire.values.terms import (
    CiderClass,
    EndAssembly,
    Exposure,
    Fertility,
    Hill,
    Resistance,
    Skill,
    Texture,
    Training,
    Use,
    WaterSource,
)

Tree = dict[str, Any]
PLACES = {
    "garden-fence": (39.18, -78.16),
    "ridge-cider": (40.71, -77.93),
}  # where the examples' weather is from
WEATHER_YEARS = 2
DEGREE = 111_320.0  # [m] of a degree of latitude


def draw_orchard(folder: Path, draw: Random) -> Path:
    """One orchard in `folder`."""
    example = draw.choice(sorted(PLACES))
    _weather(folder, example, draw)
    catalogue = _catalogue(folder, draw)
    latitude, longitude = PLACES[example]
    plan: Tree = {
        "name": "Drawn orchard",
        "units": draw.choice(("us", "metric")),
        "place": _place(draw, latitude, longitude),
        "ground": _ground(folder, draw, latitude, longitude),
        "kitchen": _kitchen(draw),
        "taste": _taste(draw, catalogue),
        "trees": _trees(draw),
        "years": _years(draw),
        "trellis": _trellis(draw),
        "water": _water(draw),
        "nursery": _nursery(draw),
        "money": _some(draw, {"wage": draw.choice((0, 18, 60)), "interest": draw.choice((0, 0.05, 0.3)),
                              "hands": draw.choice((0.5, 3)), "currency": draw.choice(("USD", "EUR"))}),
    }  # fmt: skip
    if draw.random() < 0.1:
        plan["weather"] = {"invented_years": 10} if draw.random() < 0.5 else {"warming": "4 C"}
    _records(folder, draw, catalogue)
    with (folder / "plan.yaml").open("w", encoding="utf-8") as stream:
        YAML(typ="safe", pure=True).dump(plan, stream)
    return folder


def _some(draw: Random, settings: Tree, share: float = 0.5) -> Tree:
    """Each of the settings, or not."""
    return {name: value for name, value in settings.items() if draw.random() < share}


def _metres(draw: Random, low: float, high: float) -> str:
    value = draw.uniform(low, high)
    return f"{value:.2f} m" if draw.random() < 0.7 else f"{value / 0.3048:.1f} ft"


def _weather(folder: Path, example: str, draw: Random) -> None:
    """The last years of a measured record, with gaps in some."""
    (folder / "weather").mkdir(parents=True)
    lines = (EXAMPLES / example / "weather/daily.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    years = draw.choice((WEATHER_YEARS, WEATHER_YEARS, 4))
    first = int(lines[-1].split(",")[1][:4]) - years
    kept = [line for line in lines[1:] if line.split(",")[1] >= f"{first}-10-01"]
    for _ in range(draw.choice((0, 0, 0, 0, 1, 3))):
        at = draw.randrange(len(kept))
        del kept[at : at + draw.choice((1, 3, 30))]
    if draw.random() < 0.05:
        kept = [",".join([*line.split(",")[:4], "\n"]) for line in kept]  # no rain known
    (folder / "weather/daily.csv").write_text(lines[0] + "".join(kept), encoding="utf-8")


def _place(draw: Random, latitude: float, longitude: float) -> Tree:
    place: Tree = {"latitude": latitude, "longitude": longitude, "elevation": _metres(draw, 50, 600)}
    place["exposure"] = draw.choice([word.value for word in Exposure])
    if draw.random() < 0.8:
        place[draw.choice(("gust", "mean_wind"))] = f"{draw.uniform(20, 45):.0f} m/s"
    place["soil"] = {
        "texture": draw.choice([word.value for word in Texture]),
        "depth": _metres(draw, 0.3, 1.5),
        "fertility": draw.choice([word.value for word in Fertility]),
        "replant": draw.random() < 0.2,
    }
    more = {
        "frost_depth": _metres(draw, 0, 1.4),
        "wind_from": draw.randrange(360),
        "colder_than_station": f"{draw.uniform(-1, 3):.1f} C",
        "bloom_stretch": round(draw.uniform(0.6, 1.6), 2),
    }
    return place | _some(draw, more, 0.3)


def _ground(folder: Path, draw: Random, latitude: float, longitude: float) -> Tree:
    blocks = []
    for number in range(draw.choice((1, 1, 2))):
        block: Tree = {"name": f"Block {number + 1}"}
        length, width = draw.uniform(8, 40), draw.uniform(4, 14)
        kind = draw.choice(("rectangle", "corners", "degrees", "metres", "fence"))
        if kind in ("rectangle", "fence"):
            block["rectangle"] = {"length": f"{length:.1f} m", "width": f"{width:.1f} m"}
            if kind == "fence":
                block["rectangle"]["width"] = "1 m"
                block["along_fence"] = True
        else:
            ring = [
                (0.0, 0.0),
                (length, draw.uniform(-2, 2)),
                (length * draw.uniform(0.7, 1.1), width),
                (0.0, width),
            ]
            if draw.random() < 0.3:
                ring.insert(draw.randrange(4), (draw.uniform(0, length), draw.uniform(0, width)))
            ring = [(east, north + 30.0 * number) for east, north in ring]
            if kind == "corners":
                block["corners"] = [[f"{east:.2f} m", f"{north:.2f} m"] for east, north in ring]
            else:
                block["outline"] = f"block{number}.geojson"
                _outline(folder / block["outline"], ring, latitude, longitude, degrees=kind == "degrees")
        more = {
            "row_bearing": draw.choice((0, 45, 90, 137, "choose")),
            "slope": f"{draw.choice((0, 4, 15, 35))} %",
            "slope_bearing": draw.randrange(360),
            "headland": _metres(draw, 0, 4),
            "row_spacing": draw.choice(("choose", _metres(draw, 2.5, 5))),
            "tree_spacing": draw.choice(("choose", _metres(draw, 0.6, 3))),
        }
        blocks.append(block | _some(draw, more, 0.4))
    return {
        "blocks": blocks,
        "headland": _metres(draw, 0, 4),
        "margin": _metres(draw, 0, 1.5),
        "machine_width": _metres(draw, 0.6, 1.8),
    } | ({"gate": ["0 m", "0 m"]} if draw.random() < 0.3 else {})


def _outline(
    path: Path, ring: list[tuple[float, float]], latitude: float, longitude: float, *, degrees: bool
) -> None:
    corners = [*ring, ring[0]]
    if degrees:
        corners = [(longitude + east / DEGREE / 0.77, latitude + north / DEGREE) for east, north in corners]
    document: Tree = {"type": "Polygon", "coordinates": [corners]}
    if not degrees:
        document["units"] = "metres"
    path.write_text(json.dumps(document), encoding="utf-8")


def _kitchen(draw: Random) -> Tree:
    needs = []
    for _ in range(draw.choice((1, 1, 2, 3))):
        use = draw.choice(list(Use))
        first = draw.randint(7, 10)
        need: Tree = {"use": use.value, "from": f"{draw.randint(1, 28)} {_MONTHS[first - 1]}",
                      "to": f"{draw.randint(1, 28)} {_MONTHS[(first + draw.randint(1, 5)) % 12]}"}  # fmt: skip
        if use in PRODUCTS or draw.random() < 0.4:
            need["amount"] = f"{draw.uniform(5, 120):.0f} kg/season"
            if use in PRODUCTS and draw.random() < 0.3:
                need |= {"used_from": "1 Nov", "used_to": "30 Jun"} | _some(
                    draw, {"keeps": draw.choice((4, 26, 80))}
                )
        elif use is Use.PIE and draw.random() < 0.5:
            need["dishes"] = {"guests_per_week": 20, "share": 0.2, "dish": "apple pie"}
            if "apple pie" not in read_tables()["kitchen_dishes"].rows:
                need["dishes"]["dish"] = next(iter(read_tables()["kitchen_dishes"].rows))
        else:
            need["amount"] = f"{draw.uniform(1, 8):.1f} lb/week"
        if use is Use.CIDER and draw.random() < 0.5:
            need["cider_class"] = draw.choice([word.value for word in CiderClass])
        elif use is Use.CIDER and draw.random() < 0.5:
            need["blend"] = "usual"
        if use is Use.FRESH and draw.random() < 0.2:
            need["picked_by_guests"] = True
        needs.append(need | _some(draw, {"weight": draw.choice((0.5, 1, 3))}))
    more = {
        "cellar": _some(
            draw, {"temperature": f"{draw.uniform(0, 12):.0f} C", "capacity": f"{draw.choice((5, 200))} kg"}
        ),
        "press": {"weekly_capacity": f"{draw.choice((3, 300))} kg", "from": "1 Sep", "to": "30 Nov"},
        "closed_weeks": sorted(draw.sample(range(1, 53), draw.choice((2, 10, 40)))),
        "different_on_the_board": draw.choice((0, 1, 3)),
    }
    return {"needs": needs, "different_on_the_board": 1} | _some(draw, more, 0.3)


_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def _taste(draw: Random, cultivars: list[str]) -> Tree:
    """Few enough cultivars are left that the choice is quick."""
    left = draw.sample(cultivars, draw.choice((12, 16, 24)))
    fewest = draw.choice((1, 2, 4))
    most_trees = draw.choice((3, 6, 12))
    taste: Tree = {
        "must_not_have": [name for name in cultivars if name not in left],
        "fewest_cultivars": fewest,
        "most_cultivars": fewest + draw.choice((2, 4, 8)),
        "fewest_trees": draw.choice((1, 1, 2)),
        "most_trees": most_trees,
    }
    more = {
        "must_have": draw.sample(left, draw.choice((1, 2))),
        "heritage_share": draw.choice((0.1, 0.4)),
        "disease_resistance": draw.choice([word.value for word in Resistance]),
        "own_grafts_only": True,
    }
    return taste | _some(draw, more, 0.25)


def _trees(draw: Random) -> Tree:
    stocks = sorted(read_tables()["rootstocks"].rows)
    trees: Tree = {
        "rootstock": draw.choice(("G.41", "G.11", "M.9 NAKBT337", draw.choice(stocks))),
        "training": draw.choice([word.value for word in Training]),
        "total": draw.choice((8, 12, 16, "as the ground holds")),
        "tree_spacing": draw.choice(("choose", _metres(draw, 0.6, 2.5))),
        "row_spacing": draw.choice(("choose", _metres(draw, 2.5, 5))),
    }
    return trees | _some(draw, {"shortest_run": draw.choice((1, 3))}, 0.3)


def _years(draw: Random) -> Tree:
    years = {"planting": draw.choice((2024, 2028)), "horizon": draw.choice((5, 12, 20))}
    if draw.random() < 0.2:
        years |= {"autumns": draw.choice((2, 3))} | _some(draw, {"trees_per_year": draw.choice((4, 30))})
    return years


def _trellis(draw: Random) -> Tree:
    top = draw.uniform(1.6, 3.4)
    wires = draw.choice((1, 2, 3, 4))
    heights = [top - 0.6 * step for step in reversed(range(wires))]
    trellis: Tree = {"wire_heights": [f"{height:.2f} m" for height in heights if height > 0.5]}
    tables = read_tables()
    more = {
        "low_wire": _metres(draw, 0.2, 0.45),
        "post_spacing": draw.choice(("choose", _metres(draw, 3, 12))),
        "end_assembly": draw.choice([word.value for word in EndAssembly]),
        "near_end": draw.choice([word.value for word in EndAssembly]),
        "far_room": _metres(draw, 0, 6),
        "posts": draw.sample(sorted(tables["posts"].rows), draw.choice((1, 3, 8))),
        "wires": draw.sample(sorted(tables["wires"].rows), draw.choice((1, 2))),
        "pretension": f"{draw.uniform(200, 1100):.0f} N",
        "choose_by": draw.choice(("cost", "storm")),
        "return_period": draw.choice((10, 50, 300)),
        "post_depth": _metres(draw, 0.6, 1.5),
        "crop_on_wires": draw.choice((0.0, 0.5, 1.0)),
        "budget_per_tree": draw.choice((5, 60)),
    }
    trellis |= _some(draw, more, 0.2)
    if draw.random() < 0.15:
        trellis |= {
            "hill": draw.choice([word.value for word in Hill]),
            "hill_height": "12 m",
            "hill_half_length": "60 m",
        }
    if draw.random() < 0.3:
        trellis |= {"fence_post": "0.1 m", "fence_post_spacing": "2.4 m"}
    return trellis


def _water(draw: Random) -> Tree:
    more = {
        "flow": f"{draw.choice((0.2, 1, 6))} m3/h",
        "pressure": f"{draw.choice((60, 150, 300))} kPa",
        "height": f"{draw.uniform(-15, 10):.1f} m",
        "distance": _metres(draw, 0, 200),
        "hours_per_day": draw.choice((1, 8, 20)),
        "storage": f"{draw.choice((1, 40))} m3",
        "emitter": draw.choice(sorted(read_tables()["emitters"].rows)),
        "mulch": True,
        "grassed_alley": False,
        "salt": draw.choice((0.3, 1.5, 6)),
        "iron": draw.choice((0.1, 3)),
    }
    return {"source": draw.choice([word.value for word in WaterSource])} | _some(draw, more, 0.3)


def _nursery(draw: Random) -> Tree:
    more = {
        "chance": draw.choice((0.6, 0.95, 0.999)),
        "jointly": True,
        "take_rate": draw.choice((0.1, 0.7, 1.0)),
        "seasons": draw.choice((1, 2)),
    }
    return {"skill": draw.choice([word.value for word in Skill])} | _some(draw, more, 0.3)


def _catalogue(folder: Path, draw: Random) -> list[str]:
    """Own tables: figures of shipped rows moved, a cultivar of one's own. All cultivars' names come back."""
    tables = read_tables()
    names = list(tables["cultivars"].rows)
    own = draw.sample(sorted(tables), draw.choice((0, 0, 1, 3)))
    if own:
        (folder / "catalogue").mkdir()
    for name in own:
        lines = _moved_rows(name, draw)
        if name == "cultivars":
            names.append("House Seedling")
        if lines:
            (folder / "catalogue" / f"{name}.csv").write_text(lines, encoding="utf-8")
    return names


def _moved_rows(name: str, draw: Random) -> str:
    """One to three rows of a shipped table with one of their figures moved by up to a third, within its bounds."""
    table, schema = read_tables()[name], SCHEMAS[name]
    figures = [column for column in schema.columns[1:] if column.sort is Sort.NUMBER]
    if not figures:
        return ""
    column, key = draw.choice(figures), table.columns[0]
    written = StringIO()
    made = csv.writer(written)
    columns = [key, column.name]
    rows = []
    for row in draw.sample(list(table.rows.values()), min(len(table.rows), draw.randint(1, 3))):
        cell = row.cells.get(column.name, "")
        if cell:
            value = min(max(float(cell) * draw.uniform(0.8, 1.25), column.low), column.high)
            rows.append([row.cells[key], f"{value:.6g}"])
    if name == "cultivars":
        columns = [
            key,
            "kind",
            "uses",
            "propagation_right",
            *([column.name] if column.name not in (key,) else []),
        ]
        rows = [["House Seedling", "dual", "fresh|pie|cider", "free", ""]]
    made.writerow(columns)
    made.writerows(rows)
    return written.getvalue() if rows else ""


def _records(folder: Path, draw: Random, cultivars: list[str]) -> None:
    if draw.random() < 0.8:
        return
    (folder / "records").mkdir()
    name = draw.choice([one for one in cultivars if "," not in one])
    lines = (folder / "weather/daily.csv").read_text(encoding="utf-8").splitlines()
    year = int(lines[-1].split(",")[1][:4]) - 1
    written = {
        "bloom.csv": f"entry,cultivar,event,date\n1,{name},full bloom,{year}-04-{draw.randint(10, 28)}\n",
        "takes.csv": f"lot,cultivar,year,started,good\na,{name},{year},20,{draw.randint(0, 20)}\n",
        "fruitlets.csv": "fruitlet,cultivar,leaf,cluster,clusters_per_tree,first_mm,second_mm\n"
        f"1,{name},5,a,120,8.1,{draw.uniform(8, 13):.1f}\n2,{name},5,b,120,7.9,\n",
    }
    for file, text in _some(draw, written, 0.6).items():
        (folder / "records" / file).write_text(text, encoding="utf-8")
