"""What if: the programme asked again under one change, for its numbers alone."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from topwire.choice.must_give import what_must_give
from topwire.choice.question import Question
from topwire.choice.search import Infeasible, find
from topwire.choice.serving import serve
from topwire.notices import Faults


@dataclass(frozen=True)
class Changed:
    """The choice under the change: trees by cultivar, what is short and left over [kg a year], the solver's gap."""

    trees: Mapping[str, int]
    shortfall: float
    waste: float
    gap: float


def changed(asked: Question) -> Changed:
    """Numbers of trees for a changed question: no proof, no reasons.

    Raises
    ------
    Faults
        When no set of cultivars can meet the changed conditions.
    """
    names = [row.name for row in asked.supply.cultivars]
    try:
        found = find(asked.weighed, asked.needs, asked.limits, asked.useful)
    except Infeasible:
        raise Faults(what_must_give(asked.supply, asked.limits, asked.useful)) from None
    _, service = serve(asked.supply, asked.needs, asked.limits, found.trees)
    trees = {names[at]: int(found.trees[at]) for at in np.flatnonzero(found.trees)}
    return Changed(trees, float(service.short.mean()), float(service.waste.mean()), found.gap)
