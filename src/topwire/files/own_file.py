"""A file of the grower's to text: only a plain file, only of a size that can be meant, only text in UTF-8."""

import stat
from pathlib import Path

from topwire.values.fault import Faults, FileNotice, fault, hindrance


def looked_at(path: Path, where: str, name: str, most: int) -> None:
    """Nothing where the file can be opened and has at most `most` bytes.

    Parameters
    ----------
    where : place in messages
    name : the file as the grower wrote it

    Raises
    ------
    Faults
        Not there, a folder, a pipe or a device, too large, not to be looked at, or a name that is none.
    """
    try:
        found = path.stat()
    except (FileNotFoundError, NotADirectoryError):
        raise Faults([fault(where, f"there is no file “{name}” in {path.parent}.")]) from None
    except OSError as error:
        raise Faults([_unread(where, name, error)]) from None
    except ValueError:  # a zero byte or half a character in the name
        raise Faults([fault(where, f"{name[:80]!r} is no name a file can have.")]) from None
    if stat.S_ISDIR(found.st_mode):
        raise Faults([fault(where, f"“{name}” is a folder, not a file.", "Name a file in it.")])
    if not stat.S_ISREG(found.st_mode):
        raise Faults([fault(where, f"“{name}” is a pipe or a device, not a file.", "Name a file.")])
    if found.st_size > most:
        says = f"“{name}” is {_size(found.st_size)}; files up to {_size(most)} are read here."
        raise Faults([fault(where, says, "Leave out what is not wanted.")])


def own_bytes(path: Path, where: str, name: str, most: int) -> bytes:
    """The bytes of a file of at most `most` bytes, looked at before it is opened. Raises Faults as `looked_at`."""
    looked_at(path, where, name, most)
    try:
        with path.open("rb") as stream:
            raw = stream.read(most + 1)
    except OSError as error:
        raise Faults([_unread(where, name, error)]) from None
    if len(raw) > most:
        raise Faults([fault(where, f"“{name}” is larger than the {_size(most)} that are read here.")])
    return raw


def own_text(path: Path, where: str, name: str, most: int, remedy: str = "") -> str:
    """The text of a file, a byte order mark taken off. Raises Faults as :func:`own_bytes`, and where it is no UTF-8."""
    try:
        return own_bytes(path, where, name, most).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Faults([fault(where, f"“{name}” is not a text file in UTF-8.", remedy)]) from None


def _unread(where: str, name: str, error: OSError) -> FileNotice:
    """Rights are the machine's to give; a name too long is the grower's."""
    tell = hindrance if isinstance(error, PermissionError) else fault
    return tell(where, f"“{name[:80]}” cannot be read: {error.strerror}.")


def _size(count: int) -> str:
    if count >= 1_000_000:
        return f"{count / 1e6:,.0f} MB"
    return f"{count / 1e3:,.0f} kB"
