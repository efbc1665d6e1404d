"""A new orchard's folder: a commented starter plan, or a copy of a shipped example."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import as_file, files
from pathlib import Path

from topwire.values.fault import Faults, fault
from topwire.values.units import UnitSystem

EXAMPLES = {
    "valley-inn": "a farm inn in a warm valley: dining room, press and preserving kitchen (US units)",
    "ridge-cider": "a cider house on a cold ridge: two blocks on a slope, some trees already standing (metric)",
    "garden-fence": "eight trees along a garden fence (US units)",
}
# Examples that are another one some seasons on: its files, with their own over them and their entries as records.
SEASONS = {
    "valley-inn-seasons": (
        "valley-inn",
        "the same inn, with invented records of its first five seasons (US units)",
    ),
}
ENTRIES = "entries"  # folder of such an example, one CSV of each kind of record


def examples() -> list[tuple[str, str]]:
    """Names of the shipped examples and what they are."""
    return [*EXAMPLES.items(), *((name, says) for name, (_, says) in SEASONS.items())]


def write_starter(folder: Path, units: str) -> list[Path]:
    """Write plan.yaml and an empty weather folder into a new `folder`.

    Raises
    ------
    Faults
        When there is a plan already: it is never overwritten.
    """
    _refuse_if_used(folder)
    (folder / "weather").mkdir(parents=True, exist_ok=True)
    plan = folder / "plan.yaml"
    plan.write_text(starter_text(UnitSystem(units)), encoding="utf-8")
    return [plan]


def starter_text(units: UnitSystem) -> str:
    """The starter plan in these units."""
    text = files(__package__).joinpath("starter.yaml").read_text(encoding="utf-8")
    return _in_units(text, units)


def begin_plan(folder: Path, text: str) -> None:
    """Write the first plan of a folder. Raises Faults where there is one already."""
    _refuse_if_used(folder)
    (folder / "weather").mkdir(parents=True, exist_ok=True)
    with (folder / "plan.yaml").open("x", encoding="utf-8") as stream:
        stream.write(text)


def copy_example(name: str, folder: Path) -> list[Path]:
    """Copy a shipped example into a new `folder`. Raises Faults as :func:`write_starter`."""
    if name not in {**EXAMPLES, **SEASONS}:
        remedy = f"There are {', '.join([*EXAMPLES, *SEASONS])}."
        raise Faults([fault("--example", f"there is no example “{name}”.", remedy)])
    _refuse_if_used(folder)
    for part in (*(SEASONS[name][:1] if name in SEASONS else ()), name):
        with shipped(part) as source:
            _copy(source, folder)
    return [folder / "plan.yaml"]


@contextmanager
def shipped(name: str) -> Iterator[Path]:
    """The folder of a shipped example."""
    packaged = files("topwire").joinpath("examples", name)
    if packaged.is_dir():
        with as_file(packaged) as source:
            yield source
    else:  # a checkout, where examples stand beside src
        yield Path(__file__).parents[3] / "examples" / name


def _copy(source: Path, folder: Path) -> None:
    left = shutil.ignore_patterns("out", ".topwire", "records.db", ENTRIES)
    try:
        shutil.copytree(source, folder, dirs_exist_ok=True, ignore=left)
    except shutil.Error as several:  # a list of all it met; the first says enough
        _, target, why = several.args[0][0]
        raise OSError(None, str(why), str(target)) from None


def _refuse_if_used(folder: Path) -> None:
    if (folder / "plan.yaml").exists():
        raise Faults(
            [
                fault(
                    str(folder / "plan.yaml"),
                    "is already there and was left as it is.",
                    "Name another folder.",
                )
            ]
        )
    if folder.exists() and not folder.is_dir():
        raise Faults([fault(str(folder), "is a file, not a folder.", "Name another folder.")])


def _in_units(text: str, units: UnitSystem) -> str:
    """The starter writes every quantity as <us|metric>; one of the two stays."""
    parts = text.split("<<")
    kept = [parts[0]]
    for part in parts[1:]:
        pair, _, rest = part.partition(">>")
        us, _, metric = pair.partition("|")
        kept.append((us if units is UnitSystem.US else metric) + rest)
    return "".join(kept)
