"""The choice held: its trees stay, and serve a question whose figures are others. Nothing is searched."""

from dataclasses import replace

import numpy as np

from topwire.choice.answer import need_line, sound_share, uses_of
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.findings import Choice
from topwire.choice.serving import serve


def held(asked: ChoiceQuestion, choice: Choice) -> Choice:
    """What the trees of `choice` would bring by the figures of `asked`; what stood beside the choice stays as it was.

    A cultivar that is no candidate by these figures bears nothing.
    """
    supply = asked.supply
    at = {row.name: number for number, row in enumerate(supply.cultivars)}
    trees = np.zeros(len(supply.cultivars), dtype=np.int64)
    for line in choice.chosen:
        if line.name in at:
            trees[at[line.name]] = line.trees
    _, service = serve(supply, asked.needs, asked.limits, trees)
    harvest = np.zeros((supply.years.size, len(choice.chosen)))
    bears = np.zeros(len(choice.chosen))
    chosen = []
    for number, line in enumerate(choice.chosen):
        here = at.get(line.name)
        if here is not None:
            harvest[:, number] = supply.crop[:, here] * line.trees
            bears[number] = supply.ordinary[here]
        uses = {} if here is None else uses_of(asked.needs, service, here)
        chosen.append(replace(line, uses=uses))
    return replace(
        choice,
        chosen=tuple(chosen),
        years=supply.years,
        needs=tuple(
            need_line(need, service.served[:, number], off_tree=service.off_tree[:, number].mean(axis=0))
            for number, need in enumerate(asked.needs)
        ),
        harvest=harvest,
        waste=service.waste,
        stored=service.stored,
        yield_per_tree=bears,
        shortfall=float(service.short.mean()),
        sound_share=sound_share(asked, supply, trees),
    )
