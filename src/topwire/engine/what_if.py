"""What if: the choice made again under one change, set beside the plan's own. Nothing is written into out/."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from topwire.choice.asked import ChoiceQuestion
from topwire.choice.findings import Choice
from topwire.choice.question import question
from topwire.choice.what_if import Changed, changed
from topwire.engine.inputs import Inputs, read_inputs
from topwire.engine.learnt import learnt_of
from topwire.engine.names import unknown_name
from topwire.engine.orchard import CannotPlan
from topwire.engine.recall import recall
from topwire.engine.run import plan_orchard
from topwire.layout.places import places_of
from topwire.plan.model import Plan
from topwire.values.fault import Faults, fault
from topwire.values.notice import CannotAnswer
from topwire.values.progress import Progress, silent


@dataclass(frozen=True)
class Compared:
    """The plan's own choice, and the choice under the change."""

    ours: Choice
    theirs: Changed


def compare(
    inputs: Inputs,
    *,
    settings: Sequence[str] = (),
    with_: Sequence[str] = (),
    without: Sequence[str] = (),
    trees: int | None = None,
    progress: Progress = silent,
) -> Compared:
    """The changed choice beside the plan's own; all changes at once.

    Parameters
    ----------
    settings : of the plan that are something else, “taste.most_cultivars=20”
    with_, without : cultivars that have to be there, or must not
    trees : of the orchard, exactly so many

    Raises
    ------
    Faults
        When a cultivar or a setting is not known, or a cultivar has to be there and must not.
    CannotPlan
        When the choice cannot be made one way or the other.
    """
    read = read_inputs(inputs.folder, settings) if settings else inputs
    other = read.with_plan(_changed(read, with_=with_, without=without, trees=trees))
    ours, asked = _own(inputs, progress)
    theirs = plan_orchard(other, progress=progress, until="ground")
    if theirs.place is None or theirs.ground is None:
        raise CannotPlan(theirs.notices)
    try:
        changed_to = question(other.plan, other.catalogue, theirs.place, places_of(theirs.ground))
        if trees is not None:
            limits = changed_to.limits
            changed_to = replace(changed_to, limits=replace(limits, at_least=limits.places))
        progress("choosing again under the change")
        own = {line.name: line.trees for line in ours.chosen}
        known = learnt_of(inputs.folder, asked)
        return Compared(ours, changed(asked, changed_to, own, known, ours.bound, told=ours.notices))
    except CannotAnswer as reasons:
        raise CannotPlan(reasons.notices) from None


def _own(inputs: Inputs, progress: Progress) -> tuple[Choice, ChoiceQuestion]:
    """The plan's own choice and what it was asked; where nothing has changed since, no step is asked again."""
    last = recall(inputs.folder, ("place", "ground", "choice"))
    if last is not None and last.place and last.ground and last.choice:
        places = places_of(last.ground)
        return last.choice, question(inputs.plan, inputs.catalogue, last.place, places)
    questions: dict[str, object] = {}
    ours = plan_orchard(inputs, progress=progress, until="choice", questions=questions)
    asked = questions.get("choice")
    if ours.choice is None:
        raise CannotPlan(ours.notices)
    assert isinstance(asked, ChoiceQuestion)
    return ours.choice, asked


def _changed(inputs: Inputs, *, with_: Sequence[str], without: Sequence[str], trees: int | None) -> Plan:
    names = {name: inputs.catalogue.names.catalogue_name(name) for name in (*with_, *without)}
    faults = [
        unknown_name("--with/--without", name, "cultivar", inputs.catalogue.cultivar)
        for name in names.values()
        if name not in inputs.catalogue.cultivar
    ]
    if faults:
        raise Faults(faults)
    plan = inputs.plan
    wanted, unwanted = {names[name] for name in with_}, {names[name] for name in without}
    if wanted & unwanted:
        both = ", ".join(sorted(wanted & unwanted))
        raise Faults(
            [
                fault(
                    "--with/--without",
                    f"{both} cannot be there and left out at once.",
                    "Keep one of the two.",
                )
            ]
        )
    taste = plan.taste.model_dump()
    taste["must_have"] = sorted((set(plan.taste.must_have) | wanted) - unwanted)
    taste["must_not_have"] = sorted((set(plan.taste.must_not_have) | unwanted) - wanted)
    update: dict[str, object] = {"taste": type(plan.taste).model_construct(**taste)}
    if trees is not None:
        update["trees"] = plan.trees.model_copy(update={"total": trees})
    return plan.model_copy(update=update)
