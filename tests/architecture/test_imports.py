"""Rooms import only from floors below their own, and nothing imports a face."""

import ast
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "topwire"
ZERO = ["notices", "sources"]
ONE = ["plan", "catalogue", "weather", "records"]
# Floor 3 has an order of its own, that of the journey: a room may look back, never ahead.
THREE = [
    "cellar",
    "choice",
    "press",
    "layout",
    "growth",
    "nursery",
    "trellis",
    "water",
    "protection",
    "soil",
    "ledger",
]
FACES = ["book", "export", "web", "cli"]
RANK: dict[str, float] = (
    dict.fromkeys(ZERO, 0.5)
    | {"files": 0.7}
    | {"values": 0}
    | dict.fromkeys(ONE, 1)
    | {"phenology": 2, "learning": 2.5}
    | {room: 3 + number / 100 for number, room in enumerate(THREE)}
    | {"engine": 4, "season": 4.2, "guests": 4.3, "checks": 4.5, "tell": 4.7, "many": 4.8, "show": 5}
    | dict.fromkeys(FACES, 6)
)
# Allowed beside the ranks: the catalogue's rows use the plan's enumerations; records are typed as its tables are;
# export writes the book among its files; the command line runs the exports and the server; the page's CSV is export's.
SAME_FLOOR = {
    ("catalogue", "plan"),
    ("records", "catalogue"),
    ("export", "book"),
    ("cli", "export"),
    ("cli", "book"),
    ("cli", "web"),
    ("web", "export"),
}
MODULES = sorted(SOURCE.rglob("*.py"))


def room_of(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def imports(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if (
            isinstance(node, ast.ImportFrom)
            and node.level == 0
            and (node.module or "").startswith("topwire.")
        ):
            found.add(room_of(node.module or ""))
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name} imports relatively; write the whole name"
        elif isinstance(node, ast.Import):
            found.update(room_of(name.name) for name in node.names if name.name.startswith("topwire."))
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_looks_only_down(path: Path) -> None:
    relative = path.relative_to(SOURCE)
    room = relative.parts[0].removesuffix(".py")
    if room.startswith("__"):
        return
    assert room in RANK, f"{room} has no floor"
    for other in imports(path) - {room}:
        allowed = RANK[other] < RANK[room] or (room, other) in SAME_FLOOR
        assert allowed, f"{relative} (floor {RANK[room]:g}) imports {other} (floor {RANK[other]:g})"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_is_small(path: Path) -> None:
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= 500, f"{path.name} has {lines} lines: is it one idea?"


# Lines of Python in the telling and the faces together; they may only become fewer. What they had when the contract was
# drawn up was 8,121, without field cards, map layers, disease, blends and learning: shorten towards that.
TOLD_AND_SHOWN = ("tell", "show", "book", "export", "cli")
MOST_LINES = sum(
    {
        "the plan": 12_100,
        "weather on request: one command of four parts, its sheets": 600,
        "protection: its windows in words, their sheets and command": 560,
        "season: the week and the cellar": 1_400,
        "learning: water, scores by year, a figure tried on the plan; forecasts scored": 340,
        "the pages in the browser": 300,
        "scarce wood: its sheet, three notices": 60,
        "the calendar as a graph, whips drawn, soil and capital goods": 700,
        "phones let in: options of one command": 65,
        "the book's parts by reader, printed alone": 120,
        "the book for reading, one idea a page; grafts drawn; sums as formulas": 600,
        "a run looked on: a bar a step; tables that fit the window": 115,
        "guests: cards, board and walk in words, printed and as pages": 900,
        "lines of equal height, setbacks and paths on the map": 130,
        "what the grower asks of the optimum: limits and remedies, the smallest orchard, losses, hands": 420,
        "a garden: its book, its sheets in place of a field's, its row and its trees drawn": 1_800,
        "the trellis beside others: one picture, its cost by parts; nets, a stamped design, storms by season": 340,
        "the first years: tools and yearly bills, where a watering goes": 130,
        "records: each kind of entry in words, noting and listing them": 700,
        "many places: one command, its sheets, map and files": 650,
        "what gives first as a chart; the kitchen’s weeks as wide as a phone": 100,
        "charts drawn, files made and works beside begun, while the program is at work": 232,
        "the press: litres, weeks, lots, vessels and cautions in words and sheets; blends with how sure they are": 640,
    }.values()
)


def test_telling_and_faces_grow_no_longer() -> None:
    lines = sum(
        len(path.read_text(encoding="utf-8").splitlines())
        for room in TOLD_AND_SHOWN
        for path in (SOURCE / room).rglob("*.py")
    )
    assert lines <= MOST_LINES, (
        f"{lines:,} lines; say a column once, where a line holds it (docs/how-to-add.md)"
    )


def test_no_module_is_called_utils() -> None:
    assert not [path for path in MODULES if path.stem in ("utils", "util", "helpers", "misc", "common")]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_run_time_needs_no_test_library(path: Path) -> None:
    banned = {
        "pandas",
        "xarray",
        "pvlib",
        "pyet",
        "pyfao56",
        "wntr",
        "Pynite",
        "pyproj",
        "aquacrop",
        "pytest",
    }
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = []
        if isinstance(node, ast.Import):
            names = [name.name for name in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [node.module or ""]
        assert not {name.split(".")[0] for name in names} & banned
