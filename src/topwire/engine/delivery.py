"""The folder out/ as one transaction: built beside, signed with a manifest, exchanged whole.

At every moment out/ is wholly the old one or wholly the new one. The manifest names the plan it belongs to and the hash
of every file, so that a file changed by hand, cut short or taken away is seen.
"""

import hashlib
import json
import os
import shutil
from collections.abc import Callable, Container, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from tempfile import mkdtemp

from topwire.engine.at_work import BUILDING
from topwire.engine.exchange import exchange
from topwire.engine.store import FOLDER

MANIFEST = "manifest.json"
Writer = Callable[[], bytes | None]
ASIDE = "set-aside"  # in the orchard's own folder of results: files of out/ that somebody had changed


class NotWritten(Exception):
    """out/ could not be made anew; it stays as it was.

    Attributes
    ----------
    name : the file it failed at, or out/ itself
    reason : why
    ours : True where the program is at fault, False where disk, rights or another program are
    """

    def __init__(self, name: str, reason: str, *, ours: bool) -> None:
        self.name, self.reason, self.ours = name, reason, ours
        super().__init__(f"{name}: {reason}")


@dataclass(frozen=True)
class Manifest:
    """What stands in out/: the plan and the findings it was made from, and the hash of every file."""

    version: str
    plan: str  # hash of plan.yaml
    key: str  # of everything the files are made from
    files: Mapping[str, str]


@dataclass(frozen=True)
class Delivery:
    """How a delivery went: files that stand in out/, whether they were written, and what was set aside."""

    names: tuple[str, ...]
    written: bool
    set_aside: tuple[str, ...] = ()


def read_manifest(out: Path) -> Manifest | None:
    """The manifest of `out`; None where there is none that can be read."""
    try:
        said = json.loads((out / MANIFEST).read_text(encoding="utf-8"))
        files = {str(name): str(digest) for name, digest in said["files"].items()}
        return Manifest(str(said["version"]), str(said["plan"]), str(said["key"]), files)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def changed_by_hand(out: Path, manifest: Manifest) -> tuple[str, ...]:
    """Files that are no longer as they were written, missing ones included."""
    return tuple(name for name, digest in manifest.files.items() if _digest(out / name) != digest)


def as_it_stands(folder: Path, key: str) -> Delivery | None:
    """The delivery that out/ is already: made of what this key says, and untouched; None where it has to be made."""
    manifest = read_manifest(folder / "out")
    if manifest is None or manifest.key != key or changed_by_hand(folder / "out", manifest):
        return None
    return Delivery(tuple(manifest.files), written=False)


def deliver(
    folder: Path,
    writers: Mapping[str, Writer],
    *,
    version: str,
    plan: str,
    key: str,
    here: Container[str] = (),
) -> Delivery:
    """Make out/ of the orchard in `folder`, unless what stands there is just that.

    Parameters
    ----------
    writers : what makes each file, by its name in out/; one that gives None has nothing to write
    version, plan, key : for the manifest
    here : files whose writers make them; those of the others may wait for what makes theirs

    Raises
    ------
    NotWritten
        When one file cannot be made or written; out/ is then as it was.
    """
    stands = as_it_stands(folder, key)
    if stands is not None:
        return stands
    out = folder / "out"
    manifest = read_manifest(out)
    touched = changed_by_hand(out, manifest) if manifest else ()
    building: Path | None = None
    try:
        (folder / FOLDER).mkdir(exist_ok=True)
        building = Path(mkdtemp(prefix=BUILDING, dir=folder / FOLDER))
        building.chmod(0o755)
        files = _all_put(building, writers, here)
        signed = {"version": version, "plan": plan, "key": key, "files": files}
        _write(building / MANIFEST, json.dumps(signed, indent=1).encode())
        aside = _set_aside(folder, touched)
        _carry_over(out, building, {MANIFEST, *writers, *(manifest.files if manifest else ())})
        exchange(building, out)
    except OSError as error:
        raise NotWritten("out", error.strerror or str(error), ours=False) from None
    finally:
        if building is not None:
            shutil.rmtree(building, ignore_errors=True)
    return Delivery(tuple(files), written=True, set_aside=aside)


def _all_put(building: Path, writers: Mapping[str, Writer], here: Container[str]) -> dict[str, str]:
    """Every file with its hash. Two at a time: while the book waits for its charts and its typesetter, which share
    nothing with the rest of the program, the others are made, and then had from where the rest is made."""
    with ThreadPoolExecutor(2) as hands:
        made = {
            name: hands.submit(_put, building / name, writers[name], name)
            for name in sorted(writers, key=lambda name: name not in here)
        }
        try:
            digests = {name: made[name].result() for name in writers}
        except BaseException:
            hands.shutdown(cancel_futures=True)
            raise
    return {name: digest for name, digest in digests.items() if digest is not None}


def _put(path: Path, make: Writer, name: str) -> str | None:
    try:
        content = make()
    except Exception as error:
        raise NotWritten(f"out/{name}", f"{type(error).__name__}: {error}", ours=True) from error
    if content is None:
        return None
    try:
        _write(path, content)
    except OSError as error:
        raise NotWritten(f"out/{name}", error.strerror or str(error), ours=False) from None
    return hashlib.sha256(content).hexdigest()


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def _digest(path: Path) -> str:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def _set_aside(folder: Path, touched: tuple[str, ...]) -> tuple[str, ...]:
    """Keep what somebody changed by hand: it may hold work of theirs."""
    kept = []
    for name in touched:
        source, target = folder / "out" / name, folder / FOLDER / ASIDE / name
        if source.is_file() and source.stat().st_size:
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(source, target)
            kept.append(str(target))
    return tuple(kept)


def _carry_over(out: Path, building: Path, ours: set[str]) -> None:
    """Files in out/ that no plan of ours wrote are the grower's: they stay."""
    if not out.is_dir():
        return
    for path in out.rglob("*"):
        name = path.relative_to(out).as_posix()
        if path.is_file() and name not in ours and not (building / name).exists():
            (building / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(path, building / name)
