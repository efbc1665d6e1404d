"""What if: the programme asked again under one change, for its numbers alone."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from topwire.choice.asked import ChoiceQuestion
from topwire.choice.must_give import what_must_give
from topwire.choice.search import Infeasible, find
from topwire.choice.serving import serve
from topwire.values.notice import CannotAnswer
from topwire.values.quantities import Kilograms, Share


@dataclass(frozen=True)
class Changed:
    """The choice under the change: trees by cultivar, what is short and left over [kg a year], the solver's gap."""

    trees: Mapping[str, int]
    shortfall: Kilograms
    waste: Kilograms
    gap: Share


def changed(asked: ChoiceQuestion) -> Changed:
    """Numbers of trees for a changed question: no proof, no reasons.

    Raises
    ------
    CannotAnswer
        When no set of cultivars can meet the changed conditions.
    """
    names = [row.name for row in asked.supply.cultivars]
    try:
        found = find(asked.supply.with_harder_springs(), asked.needs, asked.limits, asked.useful)
    except Infeasible:
        raise CannotAnswer(what_must_give(asked.supply, asked.limits, asked.useful)) from None
    _, service = serve(asked.supply, asked.needs, asked.limits, found.trees)
    trees = {names[at]: int(found.trees[at]) for at in np.flatnonzero(found.trees)}
    return Changed(trees, float(service.short.mean()), float(service.waste.mean()), found.gap)
