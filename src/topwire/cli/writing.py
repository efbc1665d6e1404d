"""Delivering out/, and saying whether what stands there belongs to the plan."""

from hashlib import sha256
from pathlib import Path

from topwire import __version__
from topwire.engine.delivery import Delivery, as_it_stands, changed_by_hand, deliver, read_manifest
from topwire.engine.orchard import Orchard
from topwire.engine.run import fingerprint
from topwire.export.ahead import FilesAhead


def write_out(orchard: Orchard, folder: Path, ahead: FilesAhead) -> Delivery:
    """Make out/ of this plan, whole or not at all; `ahead` is what was begun. Raises NotWritten."""
    key = fingerprint(orchard)
    stands = as_it_stands(folder, key)
    if stands is not None:
        return stands
    from topwire.export.files import MADE_HERE, writers

    made, plan = writers(orchard, ahead, folder), orchard.origin.plan_hash
    return deliver(folder, made, version=__version__, plan=plan, key=key, here=MADE_HERE)


def hash_of(plan_text: str) -> str:
    """The hash under which out/ names the plan it belongs to."""
    return sha256(plan_text.encode()).hexdigest()


def standing_out(folder: Path, plan_hash: str) -> str:
    """What has to be said about out/ of a folder: nothing where it belongs to the plan and is untouched."""
    out = folder / "out"
    if not out.is_dir():
        return ""
    manifest = read_manifest(out)
    if manifest is None:
        return "out/ was not written by this version; `topwire plan` makes it anew."
    if manifest.plan != plan_hash:
        return "out/ belongs to an earlier state of plan.yaml; `topwire plan` makes it anew."
    touched = changed_by_hand(out, manifest)
    if touched:
        return f"changed by hand or missing in out/: {', '.join(touched)}; `topwire plan` makes them anew."
    return ""
