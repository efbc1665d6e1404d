"""What if: the choice made again under one change, set beside the plan's own. Nothing is written into out/."""

from collections.abc import Mapping, Sequence

from topwire.choice.question import question
from topwire.choice.result import Choice
from topwire.choice.what_if import Changed, changed
from topwire.engine.inputs import Inputs
from topwire.engine.names import synonyms_of, unknown_name
from topwire.engine.orchard import CannotPlan
from topwire.engine.run import plan_orchard
from topwire.engine.steps import places_of
from topwire.notices import Faults
from topwire.plan.model import Plan
from topwire.values.progress import Progress, silent
from topwire.values.units import Kind, shown


def compare(
    inputs: Inputs,
    *,
    with_: Sequence[str] = (),
    without: Sequence[str] = (),
    trees: int | None = None,
    progress: Progress = silent,
) -> list[str]:
    """Lines that set the changed choice beside the plan's own.

    Raises
    ------
    Faults
        When a cultivar is not known.
    CannotPlan
        When the choice cannot be made one way or the other.
    """
    ours = plan_orchard(inputs, progress=progress, until="choice")
    if ours.choice is None:
        raise CannotPlan(ours.notices)
    other = inputs.with_plan(_changed(inputs, with_=with_, without=without, trees=trees))
    theirs = plan_orchard(other, progress=progress, until="ground")
    if theirs.place is None or theirs.ground is None:
        raise CannotPlan(theirs.notices)
    asked = question(other.plan, other.catalogue, theirs.place, places_of(theirs.ground))
    progress(asked.says)
    before = {line.name: line.trees for line in ours.choice.chosen}
    return _beside(inputs.plan, ours.choice, before, changed(asked))


def _changed(inputs: Inputs, *, with_: Sequence[str], without: Sequence[str], trees: int | None) -> Plan:
    synonyms = synonyms_of(inputs.catalogue)
    names = {name: synonyms.get(name.lower(), name) for name in (*with_, *without)}
    faults = [
        unknown_name("--with/--without", name, "cultivar", inputs.catalogue.cultivar, {})
        for name in names.values()
        if name not in inputs.catalogue.cultivar
    ]
    if faults:
        raise Faults(faults)
    plan = inputs.plan
    wanted, unwanted = {names[name] for name in with_}, {names[name] for name in without}
    taste = plan.taste.model_dump()
    taste["must_have"] = sorted((set(plan.taste.must_have) | wanted) - unwanted)
    taste["must_not_have"] = sorted((set(plan.taste.must_not_have) | unwanted) - wanted)
    update: dict[str, object] = {"taste": type(plan.taste).model_construct(**taste)}
    if trees is not None:
        update["trees"] = plan.trees.model_copy(update={"total": trees})
    return plan.model_copy(update=update)


def _beside(plan: Plan, ours: Choice, old: Mapping[str, int], after: Changed) -> list[str]:
    units = plan.unit_system
    new = after.trees
    lines = [
        f"{'':28}{'the plan':>14}{'what if':>14}",
        f"{'trees':28}{ours.trees:>14,}{sum(new.values()):>14,}",
        f"{'cultivars':28}{len(old):>14}{len(new):>14}",
    ]
    for says, value in (
        ("weighted shortfall a year", (ours.shortfall, after.shortfall)),
        ("waste a year", (float(ours.waste.mean()), after.waste)),
    ):
        lines.append(f"{says:28}" + "".join(f"{shown(mass, Kind.MASS, units):>14}" for mass in value))
    for says, names in (("comes in", new.keys() - old.keys()), ("goes out", old.keys() - new.keys())):
        for name in sorted(names):
            lines.append(f"{says}: {name}, {new.get(name, old.get(name))} trees")
    for name in sorted(old.keys() & new.keys()):
        if old[name] != new[name]:
            lines.append(f"changes: {name}, {old[name]} to {new[name]} trees")
    lines.append(
        f"Both within their solver gaps of {ours.gap:.2%} and {after.gap:.2%}; smaller differences mean nothing."
    )
    return lines
