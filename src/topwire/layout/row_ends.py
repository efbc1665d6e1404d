"""Free places brought to the far ends of rows, where a row can be closed before them."""

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from topwire.layout.stand import EMPTY, FreePlaces

Index = npt.NDArray[np.int64]


def toward_starts(stand: FreePlaces, kind: Index) -> Iterator[tuple[int, Index, float]]:
    """Rows, each with the planting whose trees are moved up to its start, and the trellis [m] that saves.

    `kind` (places,). Rows on which trees stand already keep theirs; so do rows without a free place before a tree.
    """
    standing = set(stand.standing_row.tolist())
    for row in np.unique(stand.row).tolist():
        here = np.flatnonzero(stand.row == row)
        here = here[np.argsort(stand.along[here], kind="stable")]
        planted = np.flatnonzero(kind[here] != EMPTY)
        if row in standing or not planted.size or planted[0] == 0:
            continue
        if np.ptp(stand.step[here]) != here.size - 1:
            continue  # places of the row are kept as they are
        moved = kind.copy()
        moved[here] = np.roll(kind[here], -int(planted[0]))
        yield row, moved, float(stand.along[here[planted[0]]] - stand.along[here[0]])
