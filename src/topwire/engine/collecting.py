"""How often the interpreter looks for objects that hold one another alone: a plan makes millions that do not."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager

_SELDOM = (
    400_000,
    20,
    20,
)  # objects made between two looks; looks to one of the older, and of those to one at all


@contextmanager
def seldom_collected() -> Iterator[None]:
    """Look seldom meanwhile: looking every few hundred objects takes a tenth of the layout's search."""
    before = gc.get_threshold()
    gc.set_threshold(*_SELDOM)
    try:
        yield
    finally:
        gc.freeze()
        gc.unfreeze()  # all that has come counts as old: it is not looked through at once
        gc.set_threshold(*before)
