"""What the choice learnt of the weather years, kept beside the plan so that a what-if need not learn it again."""

from io import BytesIO
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from topwire.choice.master import Cuts
from topwire.engine.store import FOLDER
from topwire.files.safely import write_safely

NAME = "choice-learnt.npz"


def keep_learnt(folder: Path, key: str, cuts: Cuts) -> None:
    """Under the key of the years. A folder that cannot be written is no fault: it will be learnt again."""
    held = BytesIO()
    np.savez_compressed(
        held,
        key=np.array(key),
        year=cuts.year,
        at_nothing=cuts.at_nothing,
        of_trees=cuts.of_trees,
        of_planted=cuts.of_planted,
    )
    try:
        write_safely(folder / FOLDER / NAME, held.getvalue())
    except OSError:
        return


def learnt(folder: Path, key: str) -> Cuts | None:
    """None where nothing is kept under this key, or it is damaged."""
    try:
        with np.load(folder / FOLDER / NAME, allow_pickle=False) as held:
            if str(held["key"]) != key:
                return None
            return Cuts(held["year"], held["at_nothing"], held["of_trees"], held["of_planted"])
    except (OSError, KeyError, ValueError, BadZipFile):
        return None
