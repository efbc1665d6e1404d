"""Two folders change places in one step, so that a reader never finds neither."""

import ctypes
import os
import sys
from pathlib import Path

_AT_CWD = -100  # "from the working folder" of Linux
_EXCHANGE = 2  # RENAME_EXCHANGE of renameat2 (Linux), RENAME_SWAP of renamex_np (macOS)


def exchange(new: Path, standing: Path) -> None:
    """Put `new` in the place of `standing`, and what stood there, if anything, in the place of `new`.

    One call of the system where it has one (Linux, macOS). Elsewhere two renames: the old folder stays beside under
    the name of `new` with “-before”, from where `recover` brings it back after a crash between them.

    Raises
    ------
    OSError
        When the system refuses; both folders are then where they were.
    """
    if not standing.exists():
        os.rename(new, standing)
    elif not _swapped(new, standing):
        before = new.with_name(f"{new.name}-before")
        os.rename(standing, before)
        try:
            os.rename(new, standing)
        except OSError:
            os.rename(before, standing)
            raise
        os.rename(before, new)


def recover(room: Path, standing: Path) -> None:
    """Bring back a folder that a crash left between two renames."""
    if not standing.exists():
        for before in room.glob("*-before"):
            os.rename(before, standing)
            return


def _swapped(one: Path, other: Path) -> bool:
    """Whether the system exchanged them in one step; False where it cannot."""
    paths = os.fsencode(one), os.fsencode(other)
    try:
        library = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "darwin":
            return bool(library.renamex_np(*paths, _EXCHANGE) == 0)
        if sys.platform == "linux":
            return bool(library.renameat2(_AT_CWD, paths[0], _AT_CWD, paths[1], _EXCHANGE) == 0)
    except (OSError, AttributeError):
        return False
    return False
