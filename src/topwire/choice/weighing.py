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
    supply, needs, limits, useful = asked.supply, asked.needs, asked.limits, asked.useful
    trees, keep = standing.trees, standing.near
    near = reasons.Nearby(supply.with_harder_springs(), needs, limits, useful, keep, cuts, trees, bases)
    near.years.threads = 1  # other steps run beside
    known = near.years.cuts
    after = of_all(losses_after(near.years, trees[keep].astype(float)), keep)
    losses = reasons.losses_without(near, trees)
    near.years.cuts = known  # years without a cultivar would only slow what follows
    per_area = None
    if limits.cellar is not None and asked.cellar_floor is not None:
        per_area = limits.cellar / asked.cellar_floor
    worth = reasons.worth_of_more(near, trees, cellar_per_area=per_area)
    picking, more_hands = picking_weeks(near, supply, trees)
    names = [row.name for row in supply.cultivars]
    return WeighedChoice(
        {names[at]: loss for at, loss in losses.items()},
        {names[at]: loss for at, loss in after.items()},
        reasons.alternatives(near, trees, losses),
        worth if more_hands is None else (*worth, more_hands),
        picking,
    )


def with_weighed(choice: Choice, weighed: WeighedChoice, proof: Proof) -> Choice:
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
        worth=weighed.worth,
        picking=weighed.picking,
        proof=proof,
    )
