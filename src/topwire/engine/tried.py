"""What a learnt figure would change in the plan, before it is used: the trees stay, nothing is searched or written."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.findings import Choice
from topwire.choice.held import held
from topwire.choice.question import question
from topwire.choice.what_if import changed
from topwire.engine.department import Earlier
from topwire.engine.inputs import PLAN_FILE, Inputs, read_inputs
from topwire.engine.learn import DATES, LearntFigures, last_date, write_figures
from topwire.engine.learnt import learnt_of
from topwire.engine.orchard import CannotPlan, Orchard, gathered
from topwire.engine.recall import last_plan, orchard_of
from topwire.engine.steps import STEPS
from topwire.engine.what_if import Compared
from topwire.layout.findings import Ground
from topwire.layout.places import places_of
from topwire.phenology.findings import PlaceSeasons
from topwire.values.arrays import Floats
from topwire.values.fault import Faults, fault
from topwire.values.key import key_of
from topwire.values.notice import CannotAnswer
from topwire.values.progress import Progress, silent

# What stays as it is: whoever stands where, and what was learnt itself.
_STAY = ("learning", "layout")


@dataclass(frozen=True)
class CultivarMoved:
    """Middle days of a cultivar in the plan, and by the figure tried; NaN where it does not come."""

    cultivar: str
    bloom: tuple[float, float]
    pick: tuple[float, float]


@dataclass(frozen=True)
class Tried:
    """The plan, and the same trees by the figures tried.

    Attributes
    ----------
    woken : departments whose question changes
    same_harvest : trees that would bear what the plan's bear; None where the crop of a tree is as it was
    chosen : what would be planted today by the figures, where that was asked
    """

    plan: Orchard
    tried: Orchard
    woken: tuple[str, ...]
    moved: tuple[CultivarMoved, ...]
    same_harvest: int | None
    chosen: Compared | None


def try_figures(
    folder: Path,
    whats: Sequence[str],
    learnt: LearntFigures,
    *,
    choose: bool = False,
    progress: Progress = silent,
) -> Tried:
    """The plan of the folder as it is, beside the same trees by what the records teach.

    Parameters
    ----------
    choose : have the optimiser say, too, what would be planted by the figures today

    Raises
    ------
    Faults
        Where there is no plan of today's plan.yaml, the records teach nothing of it, or the plan follows it already.
    """
    before = read_inputs(folder)
    plan = _planned(before)
    after = _with_figures(before, whats, learnt)
    done = {name: found for name, found in plan.departments.items() if found is not None}
    tried, woken = dict(done), []
    for step in STEPS:
        if step.name not in done:
            continue
        try:
            was = key_of(step.pose(before, Earlier(done)).question)
            posed = step.pose(after, Earlier(tried))
        except (CannotAnswer, Faults, KeyError):
            continue
        if key_of(posed.question) == was:
            continue
        woken.append(step.name)
        if step.name in _STAY:
            continue
        progress(f"{step.name}: {step.says}")
        if isinstance(posed.question, ChoiceQuestion) and plan.choice is not None:
            tried[step.name] = held(posed.question, plan.choice)
        else:
            tried[step.name] = posed.answer(progress)
    would = gathered(plan.origin, tried, plan.steps, plan.notices)
    assert plan.choice is not None
    assert plan.place is not None
    assert would.choice is not None
    assert would.place is not None
    names = [line.name for line in plan.choice.chosen]
    if choose:
        progress("choice: what would be planted today")
    return Tried(
        plan=plan,
        tried=would,
        woken=tuple(woken),
        moved=_moved(plan.place, would.place, names) if "place" in woken else (),
        same_harvest=_same_harvest(plan.choice, would.choice),
        chosen=_chosen(before, after, plan, would.place) if choose else None,
    )


def _planned(before: Inputs) -> Orchard:
    folder = before.folder
    last = last_plan(folder)
    orchard = orchard_of(folder, last) if last is not None else None
    if orchard is None or orchard.choice is None or orchard.place is None or orchard.ground is None:
        raise Faults([fault(str(folder), "has no whole plan to try it on.", f"Run: topwire plan {folder}")])
    if orchard.origin.plan_hash != sha256(before.plan_text.encode()).hexdigest():
        raise Faults([fault(PLAN_FILE, "was changed since the last plan.", f"Run: topwire plan {folder}")])
    return orchard


def _with_figures(before: Inputs, whats: Sequence[str], learnt: LearntFigures) -> Inputs:
    """The inputs as they would be, were the figures used."""
    folder, after = before.folder, before
    used = [what for what in whats if what in learnt.used]
    if DATES in whats:
        until = last_date(folder)
        if before.plan.place.own_dates_until == until:
            used.append(DATES)
        after = read_inputs(folder, [f"place.own_dates_until={until}"])
    if used:
        says, remedy = (
            "the plan follows it already.",
            f"To see what it changes: topwire learn --undo {used[0]}.",
        )
        raise Faults([fault(f"--try {used[0]}", says, remedy)])
    figures = [what for what in whats if what != DATES]
    if not figures:
        return after
    with TemporaryDirectory() as room:
        for what in figures:
            write_figures(Path(room), what, learnt, folder)
        tables = read_tables(folder / "catalogue", tried=Path(room))
    return replace(after, catalogue=Catalogue(tables))


def _asked(inputs: Inputs, place: PlaceSeasons, ground: Ground) -> ChoiceQuestion:
    return question(inputs.plan, inputs.catalogue, place, places_of(ground))


def _moved(plan: PlaceSeasons, tried: PlaceSeasons, names: Sequence[str]) -> tuple[CultivarMoved, ...]:
    found = []
    for name in names:
        bloom, pick = (
            (_middle(getattr(plan, event), plan, name), _middle(getattr(tried, event), tried, name))
            for event in ("full_bloom", "harvest_first")
        )
        found.append(CultivarMoved(name, bloom, pick))
    return tuple(found)


def _middle(days: Floats, place: PlaceSeasons, name: str) -> float:
    own = days[:, place.cultivars.index(name)]
    return float(np.nanmedian(own)) if np.isfinite(own).any() else float("nan")


def _same_harvest(plan: Choice, tried: Choice) -> int | None:
    """Trees that would bear what the plan's bear in the mean year; None where they are as many."""
    bear, would = float(plan.harvest.sum(axis=1).mean()), float(tried.harvest.sum(axis=1).mean())
    trees = round(plan.trees * bear / would) if would > 0 else plan.trees
    return None if trees == plan.trees else trees


def _chosen(before: Inputs, after: Inputs, plan: Orchard, tried: PlaceSeasons) -> Compared:
    choice, place, ground = plan.choice, plan.place, plan.ground
    assert choice is not None
    assert place is not None
    assert ground is not None
    own = {line.name: line.trees for line in choice.chosen}
    asked, to = _asked(before, place, ground), _asked(after, tried, ground)
    known = learnt_of(before.folder, asked)
    try:
        return Compared(choice, changed(asked, to, own, known, choice.bound, told=choice.notices))
    except CannotAnswer as reasons:
        raise CannotPlan(reasons.notices) from None
