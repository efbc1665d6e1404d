"""Trees that already stand: a CSV the grower keeps, one line a tree; trees.csv of a plan is read as one."""

import csv
import io
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from topwire.notices import Faults, Notice, fault

COLUMNS = ("cultivar", "rootstock", "block", "row", "place", "year")


@dataclass(frozen=True)
class StandingTree:
    cultivar: str
    rootstock: str
    block: str
    row: int
    place: int
    year: int  # planted


def parse_standing(
    text: str,
    where: str,
    *,
    cultivars: Collection[str],
    rootstocks: Collection[str],
    blocks: Collection[str],
    synonyms: Mapping[str, str],
) -> tuple[StandingTree, ...]:
    """Standing trees from the CSV's text.

    Raises
    ------
    Faults
        With file, line and column of every fault: missing column, unknown cultivar, rootstock or block, a place
        that is no number, two trees at one place. A line without a cultivar is a place left empty.
    """
    reader = csv.DictReader(io.StringIO(text))
    columns = [name.strip().lower() for name in reader.fieldnames or ()]
    missing = [name for name in COLUMNS if name not in columns]
    if missing:
        says = f"these columns are missing: {', '.join(missing)}."
        raise Faults([fault(f"{where}, line 1", says, f"The first line is: {','.join(COLUMNS)}")])
    reader.fieldnames = columns
    faults: list[Notice] = []
    trees: list[StandingTree] = []
    taken: dict[tuple[str, int, int], int] = {}
    known = {"cultivar": cultivars, "rootstock": rootstocks, "block": blocks}
    for row in reader:
        line = f"{where}, line {reader.line_num}"
        cells = {name: _bare((row.get(name) or "").strip()) for name in COLUMNS}
        if not cells["cultivar"]:
            continue  # a place left empty
        cells["cultivar"] = synonyms.get(cells["cultivar"].lower(), cells["cultivar"])
        found = [_named(f"{line}, {name}", cells[name], names) for name, names in known.items()]
        found += [
            _number(f"{line}, {name}", cells[name], low)
            for name, low in (("row", 1), ("place", 1), ("year", 1900))
        ]
        wrong = [notice for notice in found if notice is not None]
        faults.extend(wrong)
        if wrong:
            continue
        tree = StandingTree(
            cells["cultivar"],
            cells["rootstock"],
            cells["block"],
            int(cells["row"]),
            int(cells["place"]),
            int(cells["year"]),
        )
        place = (tree.block, tree.row, tree.place)
        if place in taken:
            faults.append(
                fault(
                    line, f"{tree.block} {tree.row}, tree {tree.place} already stands in line {taken[place]}."
                )
            )
        taken[place] = reader.line_num
        trees.append(tree)
    if faults:
        raise Faults(faults)
    return tuple(trees)


def _bare(cell: str) -> str:
    """A cell without the apostrophe that keeps spreadsheets from taking it for a formula."""
    return cell[1:] if cell[:1] == "'" and cell[1:2] in ("=", "+", "-", "@") else cell


def _named(where: str, name: str, names: Collection[str]) -> Notice | None:
    if name in names:
        return None
    near = get_close_matches(name, names, n=1)
    return fault(where, f"“{name}” is not known.", f"Did you mean {near[0]}?" if near else "")


def _number(where: str, text: str, low: int) -> Notice | None:
    if text.isdecimal() and int(text) >= low:
        return None
    return fault(where, f"“{text}” is not a whole number from {low} up.")
