"""What if: the choice made again under one change, set beside the plan's own. Nothing is written into out/."""

from collections.abc import Sequence

from topwire.choice.result import Choice
from topwire.engine.inputs import Inputs, synonyms_of, unknown_name
from topwire.engine.run import plan_orchard
from topwire.notices import Faults
from topwire.plan.model import Plan
from topwire.progress import Progress, silent
from topwire.units import Kind, shown


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
        When a cultivar is not known, or the choice cannot be made one way or the other.
    """
    changed = inputs.with_plan(_changed(inputs, with_=with_, without=without, trees=trees))
    before = _choice(inputs, progress)
    after = _choice(changed, progress)
    return _beside(inputs.plan, before, after)


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


def _choice(inputs: Inputs, progress: Progress) -> Choice:
    orchard = plan_orchard(inputs, progress=progress, until="choice")
    if orchard.choice is None:
        raise Faults(orchard.notices)
    return orchard.choice


def _beside(plan: Plan, before: Choice, after: Choice) -> list[str]:
    units = plan.unit_system
    old = {line.name: line.trees for line in before.chosen}
    new = {line.name: line.trees for line in after.chosen}
    lines = [
        f"{'':28}{'the plan':>14}{'what if':>14}",
        f"{'trees':28}{before.trees:>14,}{after.trees:>14,}",
        f"{'cultivars':28}{len(old):>14}{len(new):>14}",
    ]
    for says, value in (
        ("weighted shortfall a year", (before.shortfall, after.shortfall)),
        ("waste a year", (float(before.waste.mean()), float(after.waste.mean()))),
    ):
        lines.append(f"{says:28}" + "".join(f"{shown(mass, Kind.MASS, units):>14}" for mass in value))
    for says, names in (("comes in", new.keys() - old.keys()), ("goes out", old.keys() - new.keys())):
        for name in sorted(names):
            lines.append(f"{says}: {name}, {new.get(name, old.get(name))} trees")
    for name in sorted(old.keys() & new.keys()):
        if old[name] != new[name]:
            lines.append(f"changes: {name}, {old[name]} to {new[name]} trees")
    lines.append(
        f"Both within their solver gaps of {before.gap:.2%} and {after.gap:.2%}; smaller differences mean nothing."
    )
    return lines
