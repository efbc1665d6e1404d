"""What each chosen cultivar is worth and what comes near the plan: nothing else waits for these.

They are worked out from the plan itself and from what the search learnt of the years, and so can be had beside the
steps that follow, or later.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from topwire.choice import reasons
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.choosing import StandingChoice
from topwire.choice.findings import Alternative, Choice, Merit, Proof, Reason
from topwire.choice.losses import losses_after, of_all
from topwire.choice.master import Cuts
from topwire.choice.peak import picking_weeks
from topwire.choice.scarce import PickingWeeks, WeightedKilograms, Worth
from topwire.choice.solver import Basis

LITTLE = 1.0  # [weighted kg a year] loss below which a cultivar with nothing else to its credit rounds the plan out


@dataclass(frozen=True)
class WeighedChoice:
    """What the findings of a choice are still without while the next steps run.

    Attributes
    ----------
    losses, losses_after : by cultivar, as `ChosenCultivar` has them
    """

    losses: Mapping[str, WeightedKilograms]
    losses_after: Mapping[str, WeightedKilograms]
    alternatives: tuple[Alternative, ...]


@dataclass(frozen=True)
class WorthOfMore:
    """What more of what is scarce would bring, and how the picking falls over the weeks: the findings' other lack."""

    worth: tuple[Worth, ...]
    picking: PickingWeeks


def weigh(
    asked: ChoiceQuestion, standing: StandingChoice, cuts: Cuts, bases: Sequence[Basis] = ()
) -> WeighedChoice:
    """Of a plan that stands.

    Parameters
    ----------
    asked : under the limits the plan was found under
    cuts : what the search learnt of the years, of those weighed once more with harder frost too
    bases : of the years with the cultivars that are looked at
    """
    near, trees = _near(asked, standing, cuts, bases), standing.trees
    known = near.years.cuts
    after = of_all(losses_after(near.years, trees[near.keep].astype(float)), near.keep)
    losses = reasons.losses_without(near, trees)
    near.years.cuts = known  # years without a cultivar would only slow what follows
    names = [row.name for row in asked.supply.cultivars]
    return WeighedChoice(
        {names[at]: loss for at, loss in losses.items()},
        {names[at]: loss for at, loss in after.items()},
        reasons.alternatives(near, trees, losses),
    )


def worth(
    asked: ChoiceQuestion, standing: StandingChoice, cuts: Cuts, bases: Sequence[Basis] = ()
) -> WorthOfMore:
    """Of a plan that stands; the same is given as to `weigh`."""
    near, limits = _near(asked, standing, cuts, bases), asked.limits
    per_area = None
    if limits.cellar is not None and asked.cellar_floor is not None:
        per_area = limits.cellar / asked.cellar_floor
    brings = reasons.worth_of_more(near, standing.trees, cellar_per_area=per_area)
    picking, more_hands = picking_weeks(near, asked.supply, standing.trees)
    return WorthOfMore(brings if more_hands is None else (*brings, more_hands), picking)


def _near(
    asked: ChoiceQuestion, standing: StandingChoice, cuts: Cuts, bases: Sequence[Basis]
) -> reasons.Nearby:
    supply = asked.supply.with_harder_springs()
    near = reasons.Nearby(
        supply, asked.needs, asked.limits, asked.useful, standing.near, cuts, standing.trees, bases
    )
    near.years.threads = 1  # other steps run beside
    return near


def with_weighed(choice: Choice, weighed: WeighedChoice, more: WorthOfMore, proof: Proof) -> Choice:
    """The findings with it."""
    chosen = []
    for line in choice.chosen:
        loss = weighed.losses.get(line.name)
        rounds = loss is not None and loss < LITTLE and not line.reasons
        chosen.append(
            replace(
                line,
                loss_without=loss,
                loss_after=weighed.losses_after[line.name],
                reasons=(Reason(Merit.ROUNDS_OUT),) if rounds else line.reasons,
            )
        )
    return replace(
        choice,
        chosen=tuple(chosen),
        alternatives=weighed.alternatives,
        worth=more.worth,
        picking=more.picking,
        proof=proof,
    )
