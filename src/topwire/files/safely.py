"""A file written so that nobody ever sees half of it, and an old one is never lost to a new one that fails."""

import os
from errno import EEXIST
from pathlib import Path
from tempfile import mkstemp

BESIDE = ".new"  # ending of files that are still being written

_TELLS = 5  # first bytes that tell a kind of file: %PDF-, BEGIN


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


def write_where_asked(path: Path, content: bytes) -> None:
    """The same in a place the grower named: what stands there of another kind, plan or records say, is left as it is.

    Raises
    ------
    FileExistsError
        When such a file stands there.
    """
    if path.exists() and not path.is_file():  # a pipe: there is nothing to lose
        path.write_bytes(content)
        return
    if path.is_file():
        with path.open("rb") as there:
            if there.read(_TELLS) != content[:_TELLS]:
                raise FileExistsError(EEXIST, "a file of another kind is there and stays as it is", str(path))
    write_safely(path, content)
