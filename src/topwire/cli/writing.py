"""Writing out/, unless everything in it is already what this plan would write."""

from pathlib import Path

from topwire.engine.orchard import Orchard
from topwire.engine.run import fingerprint
from topwire.engine.store import FOLDER, write_safely
from topwire.notices import Notice
from topwire.values.progress import Progress

STAMP = "written.txt"


def write_out(orchard: Orchard, folder: Path, progress: Progress) -> tuple[list[str], tuple[Notice, ...]]:
    """Names of the files that stand in out/, and what went wrong in writing."""
    out, stamp, mark = folder / "out", folder / FOLDER / STAMP, fingerprint(orchard)
    names = _standing(out, stamp, mark)
    if names:
        return names, ()
    from topwire.export import write_all

    progress("writing out/")
    written, notices = write_all(orchard, out)
    names = [str(path.relative_to(out)) for path in written]
    if not notices:
        try:
            write_safely(stamp, "\n".join([mark, *names]).encode())
        except OSError:
            return names, tuple(notices)  # it will be written again
    return names, tuple(notices)


def _standing(out: Path, stamp: Path, mark: str) -> list[str]:
    """The files of the last writing, if it was of the same plan and all are still there."""
    try:
        head, *names = stamp.read_text(encoding="utf-8").split("\n")
    except (OSError, UnicodeDecodeError):
        return []
    return names if head == mark and all((out / name).is_file() for name in names) else []
