"""The shelf of trials: what-ifs kept under names, beside the plan, until one becomes the plan or is taken away."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from topwire.engine.store import FOLDER
from topwire.engine.what_if import Compared
from topwire.files.plain_text import unprintable
from topwire.files.safely import write_safely
from topwire.plan.read import parse_yaml, read_plan_text
from topwire.plan.rewritten import as_written, rewritten
from topwire.values.fault import Faults, fault

_ROOM = "trials"
LONGEST_NAME = 60  # signs
MOST = 40  # trials on the shelf; the oldest go


@dataclass(frozen=True)
class Otherwise:
    """What would be otherwise: settings as “taste.most_cultivars=20”, cultivars in and out, a number of trees."""

    settings: tuple[str, ...] = ()
    with_: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    trees: int | None = None


@dataclass(frozen=True)
class KeptTrial:
    """A what-if with its answer.

    Attributes
    ----------
    plan : hash of the plan's text it was tried beside
    """

    name: str
    when: str
    plan: str
    change: Otherwise
    found: Compared


def can_be_kept(name: str, change: Otherwise) -> None:
    """Nothing where a trial of this change can stand on the shelf under a name. Raises Faults."""
    if change == Otherwise():
        says = "the plan as it is is no trial."
        raise Faults(
            [fault("--keep", says, "Say what would be otherwise: --with, --without, --trees or --set.")]
        )
    wrong = unprintable(name)
    if wrong:
        raise Faults([fault("--keep", f"the name holds {wrong}.", "Write another one.")])
    if not name.strip() or len(name) > LONGEST_NAME:
        raise Faults(
            [
                fault(
                    "--keep",
                    f"a name has 1 to {LONGEST_NAME} signs.",
                    "Write for instance --keep “more cider”.",
                )
            ]
        )


def keep_trial(folder: Path, name: str, change: Otherwise, found: Compared) -> None:
    """Put a trial on the shelf; one of the same name is replaced."""
    text = read_plan_text(folder / "plan.yaml")
    made = KeptTrial(
        name, f"{datetime.now():%Y-%m-%d %H:%M}", sha256(text.encode()).hexdigest(), change, found
    )
    room = folder / FOLDER / _ROOM
    room.mkdir(parents=True, exist_ok=True)
    write_safely(room / _file(name), TypeAdapter(KeptTrial).dump_json(made))
    for path in _by_age(folder)[:-MOST]:
        path.unlink(missing_ok=True)


def trials(folder: Path) -> list[KeptTrial]:
    """All trials that can be read, newest first."""
    found = []
    for path in reversed(_by_age(folder)):
        try:
            found.append(TypeAdapter(KeptTrial).validate_json(path.read_bytes()))
        except (OSError, ValidationError, ValueError):
            continue
    return found


def of_another_version(folder: Path) -> int:
    """Trials that lie on the shelf and cannot be read any more."""
    return len(list(_by_age(folder))) - len(trials(folder))


def drop_trial(folder: Path, name: str) -> None:
    (folder / FOLDER / _ROOM / _file(name)).unlink(missing_ok=True)


def as_plan(text: str, change: Otherwise) -> str:
    """The plan's text with the change made, as a grower could have written it.

    Raises
    ------
    Faults
        Where the text cannot be read.
    """
    tree = parse_yaml(text, "plan.yaml")
    taste = tree.get("taste") or {}
    changes: dict[str, str | None] = {}
    for setting in change.settings:
        path, _, value = setting.partition("=")
        changes[path.strip()] = value.strip()
    have, have_not = (list(taste.get(name) or []) for name in ("must_have", "must_not_have"))
    wanted = [*have, *(name for name in change.with_ if name not in have)]
    unwanted = [*have_not, *(name for name in change.without if name not in have_not)]
    if change.with_ or change.without:
        changes["taste.must_have"] = _list([name for name in wanted if name not in change.without])
        changes["taste.must_not_have"] = _list([name for name in unwanted if name not in change.with_])
    if change.trees is not None:
        changes["trees.total"] = str(change.trees)
    return rewritten(text, changes)


def _list(names: Sequence[str]) -> str:
    return f"[{', '.join(as_written(name) for name in names)}]"


def _file(name: str) -> str:
    return f"{sha256(name.encode()).hexdigest()[:16]}.json"


def _by_age(folder: Path) -> list[Path]:
    return sorted((folder / FOLDER / _ROOM).glob("*.json"), key=lambda path: path.stat().st_mtime)
