"""The layout that stands in out/: from it trees are moved only for good reason, for its labels may be out already."""

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from topwire.layout.asked import LastLayout

FILE = Path("out") / "orchard.json"
_UNREADABLE = (OSError, ValueError, KeyError, TypeError, IndexError)


def last_layout(folder: Path, catalogue_name: Callable[[str], str] = str) -> LastLayout | None:
    """Who stood where when out/ was written; None where there is nothing to read."""
    try:
        found = _written(folder)
        ground, layout = found["ground"], found["layout"]
        names = [*layout["cultivars"], ""]  # -1, an empty place, is the last
        blocks = ground["blocks"]
        return LastLayout(
            block=tuple(blocks[block]["name"] for block in ground["block"]),
            row=np.array(
                [
                    blocks[block]["rows"][row]["number"]
                    for block, row in zip(ground["block"], ground["row"], strict=True)
                ],
                dtype=np.int64,
            ),
            place=np.array(ground["place"], dtype=np.int64),
            cultivar=tuple(catalogue_name(names[kind]) for kind in layout["cultivar"]),
            asked=str(layout["asked"]),
            itself_from_last=bool(layout["from_last"]),
        )
    except _UNREADABLE:
        return None  # no plan was written yet, or by another version


def last_bloom(folder: Path) -> Mapping[str, float]:
    """Middle day of full bloom of each cultivar over the years of the plan in out/; none where there is nothing."""
    try:
        place = _written(folder)["place"]
        by_cultivar = zip(place["cultivars"], zip(*place["full_bloom"], strict=True), strict=True)
        days = {name: [day for day in years if day is not None] for name, years in by_cultivar}
        return {name: float(np.median(known)) for name, known in days.items() if known}
    except _UNREADABLE:
        return {}


def _written(folder: Path) -> Any:
    return json.loads((folder / FILE).read_text(encoding="utf-8"))
