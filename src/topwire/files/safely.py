"""A file written so that nobody ever sees half of it, and an old one is never lost to a new one that fails."""

import os
from pathlib import Path
from tempfile import mkstemp

BESIDE = ".new"  # ending of files that are still being written


def write_safely(path: Path, content: bytes) -> None:
    """Write beside, flush to the disk, rename: a half-written file is never seen."""
    path.parent.mkdir(
        exist_ok=True
    )  # its own folder at the most: an orchard that was taken away is not made again
    handle, name = mkstemp(prefix=f".{path.name}.", suffix=BESIDE, dir=path.parent)  # one name a writer
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(name, 0o644)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
