"""The layout that stands in out/: from it trees are moved only for good reason, for its labels may be out already."""

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np

from topwire.layout.asked import LastLayout

FILE = Path("out") / "orchard.json"


def last_layout(folder: Path, catalogue_name: Callable[[str], str] = str) -> LastLayout | None:
    """Who stood where when out/ was written; None where there is nothing to read."""
    try:
        found = json.loads((folder / FILE).read_text(encoding="utf-8"))
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
    except (OSError, ValueError, KeyError, TypeError, IndexError):
        return None  # no plan was written yet, or by another version
