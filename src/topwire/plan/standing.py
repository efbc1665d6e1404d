"""Trees that already stand: a CSV the grower keeps, one line a tree; trees.csv of a plan is read as one."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from topwire.files.cells import read_cells
from topwire.values.fault import Faults, FileNotice, fault
from topwire.values.terms import MOST_TREES

MOST_FAULTS = 40
COLUMNS = ("cultivar", "rootstock", "block", "row", "place", "year")


@dataclass(frozen=True)
class StandingTree:
    cultivar: str
    rootstock: str
    block: str
    row: int
    place: int
    year: int  # planted
    longitude: float | None = None  # [deg] where it was surveyed
    latitude: float | None = None


def parse_standing(
    text: str,
    where: str,
    *,
    cultivars: Collection[str],
    rootstocks: Collection[str],
    blocks: Collection[str],
    catalogue_name: Callable[[str], str],
    latest: int = 2100,
) -> tuple[StandingTree, ...]:
    """Standing trees from the CSV's text; `catalogue_name` gives the catalogue's name of a cultivar's other name.

    Raises
    ------
    Faults
        With file, line and column of every fault: missing column, unknown cultivar, rootstock or block, a place
        that is no number, a year after `latest` (the planting), two trees at one place. A line without a cultivar is a
        place left empty.
    """
    columns, lines = read_cells(text, where)
    columns = tuple(name.lower() for name in columns)
    missing = [name for name in COLUMNS if name not in columns]
    if missing:
        says = f"these columns are missing: {', '.join(missing)}."
        raise Faults([fault(f"{where}, line 1", says, f"The first line is: {','.join(COLUMNS)}")])
    if len(lines) > MOST_TREES:
        says = f"has {len(lines):,} trees; up to {MOST_TREES:,} are planned."
        raise Faults([fault(where, says, "List those of this orchard only.")])
    faults: list[FileNotice] = []
    trees: list[StandingTree] = []
    taken: dict[tuple[str, int, int], int] = {}
    known = {"cultivar": cultivars, "rootstock": rootstocks, "block": blocks}
    for number, row in lines:
        line = f"{where}, line {number}"
        lowered = {name.lower(): cell for name, cell in row.items()}
        cells = {name: _bare(lowered.get(name, "")) for name in COLUMNS}
        if not cells["cultivar"]:
            continue  # a place left empty
        cells["cultivar"] = catalogue_name(cells["cultivar"])
        found = [_named(f"{line}, {name}", cells[name], names) for name, names in known.items()]
        found += [
            _number(f"{line}, {name}", cells[name], low, high)
            for name, low, high in (("row", 1, 9_999), ("place", 1, 9_999), ("year", 1700, latest))
        ]
        surveyed, off = _surveyed(line, lowered)
        wrong = [notice for notice in (*found, *off) if notice is not None]
        faults.extend(wrong)
        if len(faults) > MOST_FAULTS:
            raise Faults([*faults, fault(where, "has more such lines; mend these first.")])
        if wrong:
            continue
        tree = StandingTree(
            cells["cultivar"],
            cells["rootstock"],
            cells["block"],
            int(cells["row"]),
            int(cells["place"]),
            int(cells["year"]),
            *surveyed,
        )
        place = (tree.block, tree.row, tree.place)
        if place in taken:
            faults.append(
                fault(
                    line, f"{tree.block} {tree.row}, tree {tree.place} already stands in line {taken[place]}."
                )
            )
        taken[place] = number
        trees.append(tree)
    if faults:
        raise Faults(faults)
    return tuple(trees)


def _bare(cell: str) -> str:
    """A cell without the apostrophe that keeps spreadsheets from taking it for a formula."""
    return cell[1:] if cell[:1] == "'" and cell[1:2] in ("=", "+", "-", "@") else cell


def _named(where: str, name: str, names: Collection[str]) -> FileNotice | None:
    if name in names:
        return None
    near = get_close_matches(name[:60], names, n=1)
    return fault(where, f"“{name[:60]}” is not known.", f"Did you mean {near[0]}?" if near else "")


def _number(where: str, text: str, low: int, high: int) -> FileNotice | None:
    if text.isdecimal() and len(text) <= 9 and low <= int(text) <= high:
        return None
    return fault(where, f"“{text[:60]}” is not a whole number from {low} to {high}.")


def _surveyed(
    line: str, cells: Mapping[str, str]
) -> tuple[tuple[float | None, float | None], list[FileNotice]]:
    """Longitude and latitude [deg] where the file has both; captions may name their unit."""
    found: list[float | None] = []
    wrong: list[FileNotice] = []
    for name, most in (("longitude", 180.0), ("latitude", 90.0)):
        caption = next((key for key in cells if key.partition(" ")[0] == name), None)
        text = cells[caption] if caption is not None else ""
        try:
            value = float(text) if text else None
        except ValueError:
            value = float("nan")
        if value is not None and not abs(value) <= most:
            wrong.append(fault(f"{line}, {name}", f"“{text[:60]}” is no {name} in degrees."))
        found.append(value)
    return ((found[0], found[1]) if None not in found else (None, None)), wrong
