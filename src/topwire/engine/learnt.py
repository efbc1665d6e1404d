"""What the choice learnt of the weather years, kept beside the plan so that a what-if need not learn it again."""

from io import BytesIO
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from topwire.choice.master import Cuts
from topwire.engine.store import FOLDER
from topwire.files.safely import write_safely

NAME = "choice-learnt.npz"


def keep_learnt(folder: Path, key: str, cuts: Cuts, searched: int) -> None:
    """Under the key of the years; the first `searched` cuts are the search's own. A folder that cannot be written is no
    fault: it will be learnt again."""
    held = BytesIO()
    np.savez_compressed(
        held,
        key=np.array(key),
        searched=np.array(searched),
        year=cuts.year,
        at_nothing=cuts.at_nothing,
        of_trees=cuts.of_trees,
        of_planted=cuts.of_planted,
    )
    try:
        write_safely(folder / FOLDER / NAME, held.getvalue())
    except OSError:
        return


def learnt(folder: Path, key: str, *, searched: bool = False) -> Cuts | None:
    """None where nothing is kept under this key, or it is damaged. `searched`: of the search alone."""
    try:
        with np.load(folder / FOLDER / NAME, allow_pickle=False) as held:
            if str(held["key"]) != key:
                return None
            cuts = Cuts(held["year"], held["at_nothing"], held["of_trees"], held["of_planted"])
            return cuts.some(np.arange(int(held["searched"]))) if searched else cuts
    except (OSError, KeyError, ValueError, BadZipFile):
        return None
