"""The ground map coloured by what was noted: which trees are gone, were noted, picked, or never looked at."""

from collections.abc import Iterable

import numpy as np

from topwire.layout.findings import Ground, Layout
from topwire.records.entries import EntryKind, TreeChanged, TreeEvent
from topwire.records.store import Touched
from topwire.show.ground_views import MapClass, ViewOfTrees

# Sign and name; the first that is true of a tree is shown.
CLASSES = (
    ("✕", "died or removed"),
    ("R", "replaced or re-grafted"),
    ("T", "a note of this very tree"),
    ("P", "picked: its row or cultivar"),
    ("N", "another note of its row or cultivar"),
    ("·", "nothing noted"),
)
_GONE = (TreeEvent.DIED, TreeEvent.REMOVED)
_ANEW = (TreeEvent.REPLACED, TreeEvent.REGRAFTED)


def noted_view(
    ground: Ground, layout: Layout, touched: Iterable[Touched], changes: Iterable[TreeChanged]
) -> ViewOfTrees:
    """Every tree's class by what holds of the records; `changes` by day, so that the last says how a tree stands."""
    event = {change.address: change.event for change in changes}
    trees: set[tuple[str, int | None, int | None]] = set()
    picked: set[tuple[str, int | None, str]] = set()
    noted: set[tuple[str, int | None, str]] = set()
    for one in touched:
        if one.place is not None:
            trees.add((one.block, one.row, one.place))
        elif one.block or one.cultivar:
            whose = (one.block, one.row, one.cultivar)
            (picked if one.kind is EntryKind.PICK else noted).add(whose)
    class_of = np.full(len(layout.cultivar), -1, dtype=np.int64)
    for index in np.flatnonzero(layout.cultivar >= 0):
        at = ground.address(int(index))
        name = layout.cultivars[layout.cultivar[index]]
        wide = {(b, r, c) for b, r in ((at.block, at.row), (at.block, None), ("", None)) for c in (name, "")}
        now = event.get(at)
        true = (
            now in _GONE,
            now in _ANEW,
            (at.block, at.row, at.place) in trees,
            bool(wide & picked),
            bool(wide & noted),
            True,
        )
        class_of[index] = true.index(True)
    used = [number for number in range(len(CLASSES)) if (class_of == number).any()]
    classes = tuple(MapClass(*CLASSES[number], int((class_of == number).sum())) for number in used)
    renumber = np.full(len(CLASSES) + 1, -1, dtype=np.int64)
    renumber[used] = np.arange(len(used))
    return ViewOfTrees("Records", classes, renumber[class_of], ordered=False)
