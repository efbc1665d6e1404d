"""What is spoiled, and how the spoiled file is read: one kind for every file a grower brings."""

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from random import Random
from typing import Any

from engine import small
from fuzz.mutate import spoil_cells, spoil_json, spoil_text, spoil_tree
from ruamel.yaml import YAML

from topwire.catalogue.schemas import SCHEMAS
from topwire.catalogue.tables import read_tables
from topwire.engine.check import check_folder
from topwire.engine.department import Earlier
from topwire.engine.inputs import gather
from topwire.engine.steps import GROUND
from topwire.values.fault import Faults
from topwire.values.notice import CannotAnswer
from topwire.values.progress import silent
from topwire.weather.plausible import held_against
from topwire.weather.read import read_file, read_weather

WEATHER = Path(__file__).parents[1] / "weather/data"
RECORDS = {
    "bloom": "entry,cultivar,event,date,remark\n1,Gala,full bloom,2020-04-28,\n2,Gala,first pick,2020-09-01,early\n",
    "takes": "lot,cultivar,year,started,good,remark\na,Gala,2020,60,39,\nb,,2021,50,34,cold spring\n",
    "fruitlets": "fruitlet,cultivar,leaf,cluster,clusters_per_tree,first_mm,second_mm,remark\n1,Gala,5,a,120,8.1,11,\n",
}
PLAN = small.PLAN.replace("machine_width: 1 m", "machine_width: 1 m\n  obstacles: pond.geojson").replace(
    "row_spacing: 3.5 m}", "row_spacing: 3.5 m, standing: standing.csv}"
)
POND = {
    "type": "Polygon",
    "coordinates": [[[-78.1599, 39.18002], [-78.15988, 39.18002], [-78.15988, 39.18004]]],
}
STANDING = "cultivar,rootstock,block,row,place,year\nGala,G.41,Yard,1,1,2010\nGoldRush,G.41,Yard,1,2,2011\n"


@dataclass(frozen=True)
class Case:
    """A spoiled file: its name in the orchard's folder, and what stands in it."""

    kind: str
    name: str
    content: bytes


@dataclass(frozen=True)
class Kind:
    make: Callable[[Random], tuple[str, str]]  # name of the file, its spoiled text
    read: Callable[[Path, Path], None]  # the folder, the file


def prepare(folder: Path) -> Path:
    """An orchard that has one of everything."""
    small.make(folder, years=2)
    (folder / "plan.yaml").write_text(PLAN, encoding="utf-8")
    (folder / "pond.geojson").write_text(json.dumps(POND), encoding="utf-8")
    (folder / "standing.csv").write_text(STANDING, encoding="utf-8")
    for name in ("records", "catalogue"):
        (folder / name).mkdir()
    return folder


def _read_ground(folder: Path, _: Path) -> None:
    found = gather(folder)
    if found.inputs is not None:
        GROUND.pose(found.inputs, Earlier({})).answer(silent)


def _read_all(folder: Path, _: Path) -> None:
    for told in check_folder(folder).faults:
        str(told)


def _read_weather(_: Path, path: Path) -> None:
    reading = read_file(path, path.name)
    if reading.day.size >= 330:
        held_against(read_weather([path]), latitude=39.0, longitude=-78.0, planting=2028)


def _plan(draw: Random) -> tuple[str, str]:
    if draw.random() < 0.4:
        return "plan.yaml", spoil_text(PLAN, draw)
    tree = spoil_tree(YAML(typ="safe", pure=True).load(PLAN), draw)
    stream = StringIO()
    try:
        YAML(typ="safe", pure=True).dump(tree, stream)
    except Exception:  # what the writer cannot write is no file
        return "plan.yaml", "[" * 3000
    return "plan.yaml", stream.getvalue()


def _outline(draw: Random) -> tuple[str, str]:
    document: Any = json.loads(json.dumps(small.YARD))
    what = draw.random()
    if what < 0.3:
        ring = document["geometry"]["coordinates"][0]
        for _ in range(draw.randint(1, 12)):
            corner = [draw.uniform(-78.1605, -78.1595), draw.uniform(39.1798, 39.1803)]
            ring.insert(draw.randrange(len(ring)), corner)
        return "yard.geojson", json.dumps(document)
    if what < 0.5:
        document["units"] = "metres"
        size = draw.choice((1, 10, 50, 200, 20_000, 90_000, 1e9))
        document["geometry"]["coordinates"] = [
            [[draw.uniform(0, size), draw.uniform(0, size)] for _ in range(draw.randint(3, 9))]
        ]
        return "yard.geojson", json.dumps(document)
    if what < 0.65:
        return "pond.geojson", spoil_json(json.dumps(POND), draw)
    return "yard.geojson", spoil_json(json.dumps(document), draw)


def _standing(draw: Random) -> tuple[str, str]:
    return "standing.csv", draw.choice((spoil_cells, spoil_text))(STANDING, draw)


def _table(draw: Random) -> tuple[str, str]:
    name = draw.choice(sorted(SCHEMAS))
    table = read_tables()[name]
    rows = draw.sample(list(table.rows.values()), min(3, len(table.rows)))
    lines = [",".join(table.columns)]
    lines += [
        ",".join(row.cells.get(column, "").replace(",", " ") for column in table.columns) for row in rows
    ]
    return f"catalogue/{name}.csv", draw.choice((spoil_cells, spoil_cells, spoil_text))(
        "\n".join(lines), draw
    )


def _record(draw: Random) -> tuple[str, str]:
    name = draw.choice(sorted(RECORDS))
    return f"records/{name}.csv", draw.choice((spoil_cells, spoil_text))(RECORDS[name], draw)


def _weather(draw: Random) -> tuple[str, str]:
    path = draw.choice([path for path in sorted(WEATHER.iterdir()) if path.is_file()])
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".json":
        return f"weather/{path.name}", spoil_json(text, draw)
    return f"weather/{path.name}", draw.choice((spoil_cells, spoil_text))(text, draw)


def _daily(draw: Random) -> tuple[str, str]:
    """Two years of the orchard's own record."""
    text = (small.EXAMPLES / "garden-fence/weather/daily.csv").read_text(encoding="utf-8")
    lines = text.split("\n")
    kept = "\n".join([lines[0], *lines[-400:]])
    return "weather/daily.csv", draw.choice((spoil_cells, spoil_text))(kept, draw)


KINDS: dict[str, Kind] = {
    "plan": Kind(_plan, _read_ground),
    "outline": Kind(_outline, _read_ground),
    "standing": Kind(_standing, _read_ground),
    "table": Kind(_table, lambda folder, _: gather(folder) and None),
    "record": Kind(_record, lambda folder, _: gather(folder) and None),
    "weather": Kind(_weather, _read_weather),
    "daily": Kind(_daily, _read_weather),
    "whole plan": Kind(_plan, _read_all),
}


def make(kind: str, draw: Random) -> Case:
    try:
        name, text = KINDS[kind].make(draw)
    except RecursionError:  # nested deeper than the writer of the case can go
        kind = kind if "plan" in kind else "outline"
        name, text = ("plan.yaml", "a: " + "[" * 3000) if "plan" in kind else ("yard.geojson", "[" * 90_000)
    return Case(kind, name, text.encode("utf-8", "surrogatepass"))


def read(case: Case, whole: Path, work: Path) -> None:
    """Read the case in a copy of the orchard `whole`; a fault told is what is wanted, any other exception is not."""
    path = work / case.name
    path.parent.mkdir(parents=True, exist_ok=True)
    before = whole / case.name
    path.write_bytes(case.content)
    try:
        KINDS[case.kind].read(work, path)
    except (Faults, CannotAnswer) as told:
        str(told)
    finally:
        if before.is_file():
            shutil.copyfile(before, path)
        else:
            path.unlink()
