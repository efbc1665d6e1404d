"""The steps in their order: the only place that knows it."""

import hashlib
import time
import traceback
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from topwire import __version__
from topwire.choice.question import Places
from topwire.choice.result import Choice
from topwire.engine.inputs import Inputs
from topwire.engine.orchard import Orchard, Origin, StepRun
from topwire.engine.store import FOLDER, keep, load, write_safely
from topwire.growth.result import CropForecast
from topwire.layout.result import Ground, Layout
from topwire.ledger.result import Ledger
from topwire.notices import Faults, Notice, Severity, fault
from topwire.nursery.result import NurseryOrder
from topwire.phenology.result import PlaceSeasons
from topwire.progress import Progress, silent
from topwire.trellis.result import TrellisDesign
from topwire.water.result import WaterPlan

Results = Mapping[str, Any]


@dataclass(frozen=True)
class Step:
    """One department: what it reads and how it is made.

    `sections` are those of the plan it reads, `files` the other inputs (weather, ground), `needs` the earlier steps it
    cannot do without and `uses` those it takes where they are there.
    """

    name: str
    says: str
    result: type[Any]
    make: Callable[[Inputs, Results, Progress], Any]
    sections: tuple[str, ...]
    files: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()


def _place(inputs: Inputs, done: Results, progress: Progress) -> Any:
    from topwire.phenology.season import foresee

    return foresee(inputs.plan, inputs.catalogue, inputs.weather, changes=inputs.changes, progress=progress)


def _ground(inputs: Inputs, done: Results, progress: Progress) -> Any:
    from topwire.layout.survey import survey_ground

    return survey_ground(inputs.plan, inputs.catalogue, inputs.outlines, inputs.standing)


def places_of(ground: Ground) -> Places:
    """What the choice needs to know of the ground."""
    standing = Counter(name for name in ground.standing_cultivar if name)
    return Places(ground.capacity, ground.ground_per_tree, standing)


def _choice(inputs: Inputs, done: Results, progress: Progress) -> Any:
    from topwire.choice.choose import choose

    places = places_of(done["ground"])
    return choose(inputs.plan, inputs.catalogue, done["place"], places, progress=progress)


def _layout(inputs: Inputs, done: Results, progress: Progress) -> Any:
    from topwire.layout.planting import lay_out

    return lay_out(
        inputs.plan, inputs.catalogue, done["place"], done["ground"], done["choice"], progress=progress
    )


def _years(inputs: Inputs, done: Results, progress: Progress) -> Any:
    from topwire.growth.crop import foresee_crop

    return foresee_crop(
        inputs.plan,
        inputs.catalogue,
        done["place"],
        done["ground"],
        done["choice"],
        done["layout"],
        weather=inputs.weather,
        progress=progress,
    )


def _nursery(inputs: Inputs, done: Results, progress: Progress) -> Any:
    from topwire.nursery.order import order_trees

    return order_trees(inputs.plan, inputs.catalogue, done["choice"], done["layout"])


def _trellis(inputs: Inputs, done: Results, progress: Progress) -> Any:
    from topwire.trellis.design import design_trellis

    plan, catalogue = inputs.plan, inputs.catalogue
    return design_trellis(
        plan,
        catalogue,
        done["ground"],
        done["layout"],
        done["years"],
        seasons=done["place"],
        progress=progress,
    )


def _water(inputs: Inputs, done: Results, progress: Progress) -> Any:
    from topwire.water.design import plan_water

    plan, catalogue = inputs.plan, inputs.catalogue
    return plan_water(
        plan, catalogue, inputs.weather, done["place"], done["ground"], done["layout"], progress=progress
    )


def _ledger(inputs: Inputs, done: Results, progress: Progress) -> Any:
    from topwire.ledger.account import account

    return account(
        inputs.plan,
        inputs.catalogue,
        done["place"],
        done["choice"],
        done["ground"],
        done["layout"],
        done["years"],
        done["nursery"],
        done.get("trellis"),
        done.get("water"),
    )


STEPS = (
    Step("place", "weather years, bloom, frost, harvest", PlaceSeasons, _place,
         ("place", "weather"), files=("weather",)),
    Step("ground", "blocks, rows, tree places", Ground, _ground,
         ("place", "ground", "trees", "trellis"), files=("ground",)),
    Step("choice", "cultivars and numbers", Choice, _choice,
         ("place", "kitchen", "taste", "trees", "years"), needs=("place", "ground")),
    Step("layout", "who stands where", Layout, _layout,
         ("place", "ground", "kitchen", "taste", "trees", "years"), needs=("place", "ground", "choice")),
    Step("years", "growth and crop by leaf", CropForecast, _years,
         ("place", "weather", "trees", "years", "trellis", "water"), files=("weather",),
         needs=("place", "ground", "choice", "layout")),
    Step("nursery", "what to graft and buy", NurseryOrder, _nursery,
         ("trees", "years", "nursery", "money"), needs=("choice", "layout")),
    Step("trellis", "posts, wires, anchors", TrellisDesign, _trellis,
         ("place", "ground", "trees", "trellis", "money", "water"), needs=("place", "ground", "layout", "years")),
    Step("water", "need, pipes, schedule", WaterPlan, _water,
         ("place", "weather", "ground", "trees", "trellis", "water", "years", "money"), files=("weather",),
         needs=("place", "ground", "layout")),
    Step("ledger", "work and money", Ledger, _ledger,
         ("place", "ground", "kitchen", "trees", "years", "trellis", "water", "nursery", "money"),
         needs=("place", "choice", "ground", "layout", "years", "nursery"), uses=("trellis", "water")),
)  # fmt: skip


def plan_orchard(inputs: Inputs, *, progress: Progress = silent, until: str | None = None) -> Orchard:
    """Run every step whose inputs changed, take the rest from the store, and put the Orchard together.

    Parameters
    ----------
    until : str, optional
        Name of the last step wanted; later departments stay absent.

    Notes
    -----
    A step that cannot run leaves its department absent and a notice; later steps that need it say so.
    """
    done: dict[str, Any] = {}
    keys: dict[str, str] = {}
    runs: list[StepRun] = []
    notices: list[Notice] = []
    for number, step in enumerate(STEPS, start=1):
        missing = [name for name in step.needs if name not in done]
        if missing:
            says = f"not computed, because {' and '.join(missing)} could not be."
            notices.append(Notice(Severity.WARNING, step.name, says, "Mend that first."))
            continue
        key = _key(step, inputs, keys)
        keys[step.name] = key
        result = load(inputs.folder, step.name, key, step.result)
        seconds = None
        if result is None:
            progress(f"{number}/{len(STEPS)} {step.name}: {step.says}")
            began = time.perf_counter()
            try:
                result = step.make(inputs, done, progress)
            except Faults as found:
                notices.extend(found.notices)
                continue
            except Exception as error:
                notices.append(_failure(step, inputs.folder, error))
                continue
            seconds = time.perf_counter() - began
            keep(inputs.folder, step.name, key, result)
        done[step.name] = result
        runs.append(StepRun(step.name, key, seconds))
        if step.name == until:
            break
    return _orchard(inputs, done, tuple(runs), tuple(notices))


def _orchard(
    inputs: Inputs, done: Results, runs: tuple[StepRun, ...], notices: tuple[Notice, ...]
) -> Orchard:
    plan = inputs.plan
    origin = Origin(
        name=plan.name,
        version=__version__,
        plan_hash=hashlib.sha256(plan.model_dump_json().encode()).hexdigest(),
        weather_hash=inputs.weather_hash,
        catalogue_hash=inputs.catalogue_hash,
        latitude=plan.place.latitude,
        longitude=plan.place.longitude,
        elevation=plan.place.elevation,
        units=plan.unit_system,
        planting_year=plan.years.planting,
        weather_files=tuple(plan.weather.files),
    )
    return Orchard(origin, **{step.name: done.get(step.name) for step in STEPS}, steps=runs, notices=notices)


def _key(step: Step, inputs: Inputs, keys: Mapping[str, str]) -> str:
    """Hash of everything the step depends on, the program itself included."""
    sections = inputs.plan.model_dump_json(include=set(step.sections) | {"units"})
    hashes = {"weather": inputs.weather_hash, "ground": inputs.ground_hash}
    parts = [__version__, program_hash(_ROOMS), step.name, sections, inputs.catalogue_hash]
    parts += [hashes[name] for name in step.files]
    parts += [keys.get(name, "absent") for name in step.needs + step.uses]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def fingerprint(orchard: Orchard) -> str:
    """Hash of everything the files in out/ are made from: the steps, what could not run, and the faces' own code."""
    parts = [f"{step.name} {step.key}" for step in orchard.steps] + [
        str(notice) for notice in orchard.notices
    ]
    return hashlib.sha256("\n".join([*parts, program_hash(_FACES)]).encode()).hexdigest()


@cache
def program_hash(rooms: tuple[str, ...]) -> str:
    """Hash of the rooms' code and tables: a changed program never serves an old result."""
    total = hashlib.sha256()

    def walk(folder: Traversable) -> None:
        for entry in sorted(folder.iterdir(), key=lambda item: item.name):
            if entry.is_dir():
                walk(entry)
            elif entry.name.endswith((".py", ".csv", ".typ")):
                total.update(entry.name.encode())
                total.update(entry.read_bytes())

    for room in rooms:
        walk(files("topwire").joinpath(room))
    return total.hexdigest()


# Rooms whose code can change a result; faces and texts cannot.
_ROOMS = (
    "catalogue", "plan", "weather", "phenology", "cellar", "choice", "layout", "growth", "nursery", "trellis",
    "water", "ledger",
)  # fmt: skip
_FACES = ("engine", "show", "book", "export", "sources")


def _failure(step: Step, folder: Path, error: Exception) -> Notice:
    """An error of ours, told without a traceback; the traceback is kept for whoever mends it."""
    log = folder / FOLDER / f"{step.name}-failure.txt"
    try:
        write_safely(log, "".join(traceback.format_exception(error)).encode())
        kept = f"Details are in {log}."
    except OSError:
        kept = ""
    says = f"this department failed in a way it should not ({type(error).__name__}: {error})."
    return fault(step.name, says, f"The other departments stand. Please report it. {kept}".strip())
