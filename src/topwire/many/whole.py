"""The whole plan of one place, in a folder of its own: the very run that `topwire plan` makes of that folder."""

import shutil
from pathlib import Path

from topwire.choice.disease_question import ratings_of
from topwire.choice.findings import Choice
from topwire.engine.at_work import at_work
from topwire.engine.inputs import PLAN_FILE, PLANTED, read_inputs
from topwire.engine.orchard import CannotPlan, Orchard
from topwire.engine.recall import remember
from topwire.engine.run import plan_orchard
from topwire.engine.state import input_files, seen
from topwire.files.safely import write_safely
from topwire.many.climate import summed_up
from topwire.many.findings import PlaceAnswer, PlannedThere, WantedThere
from topwire.many.kept import ORCHARDS, named
from topwire.many.listed import ListedPlace
from topwire.many.template import PlanTemplate, ReadTemplate, folder_inputs, weather_of
from topwire.nursery.findings import NurseryFindings, NurseryJob
from topwire.phenology.question import traits_of
from topwire.plan.rewritten import as_written, rewritten
from topwire.values.key import key_of
from topwire.values.notice import Severity
from topwire.weather.plain import CELL
from topwire.weather.record import Weather

CORE = ("place", "ground", "choice", "layout")  # without these there is no plan


def whole_answer(
    place: ListedPlace,
    state: str,
    template: ReadTemplate | None,
    table: str,
    tables_folder: Path,
    out: Path,
    until: str,
    record: Weather | None,
) -> PlaceAnswer:
    """Plan the place and sum up what came of it; steps whose questions were answered before are taken from its folder.

    Parameters
    ----------
    template : None where the place is an orchard's own folder
    table, tables_folder : name of the table of places, in messages, and where its weather files lie
    out : folder of the run; the place's own is made in it
    until : last step wanted; empty = all
    record : its weather, where that comes from a grid

    Raises
    ------
    Faults, CannotPlan, Busy, OSError
    """
    folder = Path(place.folder)
    if template is not None:
        # Faults of both are told with row and column, and leave no folder.
        plan = template.plan_of(place, table)
        weather_of(template.inputs_of(place, plan, tables_folder, record), place, table)
        folder = made_folder(place, template.template, tables_folder, out, record)
        inputs = folder_inputs(folder, place, template.template, table)
    else:
        inputs = read_inputs(folder)
    with at_work(folder):
        was = seen(folder, inputs.named_files)
        orchard = plan_orchard(inputs, until=until or None, beside=False)  # the workers have all cores
        remember(folder, orchard, was)
    absent = [name for name in CORE if orchard.departments[name] is None and not (until == "place" != name)]
    if absent or orchard.place is None:
        grave = tuple(one for one in orchard.notices if str(one.severity) == Severity.FAULT)
        raise CannotPlan(grave or orchard.notices)
    return summed_up(
        orchard.place,
        traits_of(inputs.catalogue, stretch=inputs.plan.place.bloom_stretch),
        inputs.plan,
        inputs.catalogue,
        ratings_of(inputs.catalogue),
        id=place.id,
        state=state,
        key=key_of(tuple((run.name, run.key) for run in orchard.steps)),
        warnings=tuple(str(one) for one in inputs.weather.notices if one.severity is Severity.WARNING),
        planned=planned_there(orchard, inputs.plan.nursery.chance),
    )


def made_folder(
    place: ListedPlace, template: PlanTemplate, tables_folder: Path, out: Path, record: Weather | None
) -> Path:
    """The place as an orchard's folder: what the template has beside its plan, the plan with the row's settings."""
    folder = out / ORCHARDS / "-".join(named(place.id)[::-1])
    folder.mkdir(parents=True, exist_ok=True)
    weather = [str(tables_folder / name) for name in place.weather]
    if record is not None:
        (folder / "weather").mkdir(exist_ok=True)
        _write(folder / "weather" / "cell.csv", as_table(record))
        weather = ["weather/cell.csv"]
    for path in input_files(template.folder) if (template.folder / PLAN_FILE).exists() else []:
        inside = path.relative_to(template.folder)
        if inside.parts[0] in (PLAN_FILE, PLANTED, "records") or (weather and inside.parts[0] == "weather"):
            continue
        (folder / inside).parent.mkdir(parents=True, exist_ok=True)
        if not (folder / inside).exists():
            shutil.copyfile(path, folder / inside)
    changes = dict(place.settings)
    if weather:
        changes["weather.files"] = f"[{', '.join(as_written(name) for name in weather)}]"
    _write(folder / PLAN_FILE, rewritten(template.text, changes, template.name))
    return folder


def as_table(record: Weather) -> str:
    """The days of a cell as a plain table that reads back number for number."""
    rows = [f"{CELL}\ndate,tmin_c,tmax_c,rain_mm\n"]
    rows += [
        f"{day},{_said(low)},{_said(high)},{_said(wet)}\n"
        for day, low, high, wet in zip(record.day, record.tmin, record.tmax, record.rain, strict=True)
    ]
    return "".join(rows)


def _said(value: float) -> str:
    return repr(float(value)) if value == value else ""


def _write(path: Path, text: str) -> None:
    content = text.encode()
    if not path.exists() or path.read_bytes() != content:
        write_safely(path, content)


def planned_there(orchard: Orchard, chance: float) -> PlannedThere | None:
    """What of the plan counts beyond the place; None where it was not planned so far."""
    choice, nursery = orchard.choice, orchard.nursery
    if choice is None or nursery is None:
        return None
    return PlannedThere(
        wanted=choice.wanted_kg,
        served=choice.served_kg,
        trees=sum(line.trees for line in choice.chosen),
        lines=_lines(choice, nursery),
        winter=next(
            (int(one.first[:4]) for one in nursery.dates if one.job is NurseryJob.BENCH_GRAFT),
            orchard.origin.planting_year - 1,
        ),
        correlation=nursery.lot_correlation,
        chance=chance,
        cost=nursery.cost,
        currency=nursery.currency,
    )


def _lines(choice: Choice, nursery: NurseryFindings) -> tuple[WantedThere, ...]:
    grafted = {(line.cultivar, line.rootstock): line for line in nursery.lines if line.own_graft}
    found = []
    for chosen in choice.chosen:
        mine = [line for (name, _), line in grafted.items() if name == chosen.name]
        if not mine:
            found.append(WantedThere(chosen.name, chosen.rootstock, chosen.trees, 0, 1.0))
        for number, line in enumerate(mine):
            trees = chosen.trees if number == 0 else 0  # of one cultivar on two stocks the trees count once
            found.append(WantedThere(chosen.name, line.rootstock, trees, line.trees, line.success))
    return tuple(found)
