"""What came from where: fetched.json beside the bytes a service sent, which are kept as they came.

One entry a file: who made it, under which licence, the line of credit that is printed wherever its figures are used,
the address asked, when, and the hash by which a change by hand is seen.
"""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from topwire.files.safely import write_safely
from topwire.values.fault import Faults, fault

SIDECAR = "fetched.json"
_ABOUT = "Written by topwire weather: where the files beside it come from. Keep it with them."


@dataclass(frozen=True)
class Fetched:
    """Where one file comes from.

    Attributes
    ----------
    file : its name in the folder
    service : short name of the service, or “own” for a file the grower gave
    source : who made it, in words
    licence : under which it may be used
    credit : the line printed wherever its figures are used; empty where none is asked for
    address : what was asked, coordinates and all; the grower's file's name
    at : moment it came or was last found unchanged, ISO 8601 in universal time
    sha256 : of its bytes
    earlier : of the bytes they replaced; where these still stand, the exchange was cut off in the middle
    etag, last_modified : as the service sent them, to ask next time whether it has changed
    expires : moment until which it need not be asked for again, ISO 8601 in universal time; empty where not said
    utc_offset : of a forecast, the place's standard time less universal time [h]
    """

    file: str
    service: str
    source: str
    licence: str
    credit: str
    address: str
    at: str
    sha256: str
    etag: str = ""
    last_modified: str = ""
    expires: str = ""
    utc_offset: int | None = None
    earlier: str = ""

    def changed_by_hand(self, folder: Path) -> bool:
        """True where the file is there but its bytes are none that came."""
        return self._hash(folder) not in ("", self.sha256, self.earlier)

    def stands(self, folder: Path) -> bool:
        """True where the very bytes that came last are there."""
        return self._hash(folder) == self.sha256

    def _hash(self, folder: Path) -> str:
        try:
            return hash_of((folder / self.file).read_bytes())
        except OSError:
            return ""


def hash_of(body: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(body).hexdigest()


def read_fetched(folder: Path) -> tuple[Fetched, ...]:
    """The entries of the folder's sidecar; none where there is no sidecar.

    Raises
    ------
    Faults
        The sidecar is there and cannot be read: who gets credit is then not known.
    """
    path = folder / SIDECAR
    if not path.exists():
        return ()
    try:
        entries = json.loads(path.read_text(encoding="utf-8"))["files"]
        return tuple(_entry(one) for one in entries)
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        says = f"cannot be read ({type(error).__name__}); it says where the weather files come from."
        remedy = f"Mend it, or take it away and fetch again: {path.parent.name}/{SIDECAR} is written anew."
        raise Faults([fault(str(path.parent.name) + "/" + SIDECAR, says, remedy)]) from None


def _entry(told: dict[str, Any]) -> Fetched:
    names = {field.name for field in fields(Fetched)}
    known = {name: value for name, value in told.items() if name in names}
    made = Fetched(**known)
    if not all(isinstance(getattr(made, name), str) for name in names - {"utc_offset"}):
        raise TypeError("an entry holds something that is no text")
    return made


def keep_fetched(folder: Path, entry: Fetched, body: bytes) -> Fetched:
    """The sidecar, then the bytes as they came; each wholly there or not at all, and a cut between the two is seen.

    Raises
    ------
    OSError
        The folder cannot be written; what stood there still stands.
    """
    folder.mkdir(parents=True, exist_ok=True)
    others = [one for one in read_fetched(folder) if one.file != entry.file]
    path = folder / entry.file
    earlier = hash_of(path.read_bytes()) if path.exists() else ""
    made = replace(entry, sha256=hash_of(body), earlier=earlier)
    write_entries(folder, (*others, made))
    write_safely(path, body)
    return made


def write_entries(folder: Path, entries: Iterable[Fetched]) -> None:
    """The sidecar anew. Raises OSError."""
    told = [
        {
            field.name: getattr(one, field.name)
            for field in fields(one)
            if getattr(one, field.name) != field.default
        }
        for one in sorted(entries, key=lambda one: one.file)
    ]
    text = json.dumps({"about": _ABOUT, "files": told}, ensure_ascii=False, indent=1)
    write_safely(folder / SIDECAR, text.encode() + b"\n")
