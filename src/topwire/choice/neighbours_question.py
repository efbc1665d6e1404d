"""The plan's trees beyond the orchard, as the sums of pollen take them."""

from collections.abc import Sequence

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.choice.neighbours import Neighbour, Outside, neighbour, outside_pollen
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.place import UNNAMED
from topwire.values.traits import CultivarKind


def neighbours_of(plan: Plan) -> tuple[Neighbour, ...]:
    """As the plan states them."""
    return tuple(neighbour(one.tree, one.distance, one.sure) for one in plan.place.neighbours)


def outside_of(
    plan: Plan, catalogue: Catalogue, seasons: PlaceSeasons, parents: Sequence[str]
) -> tuple[tuple[Neighbour, ...], Outside]:
    """Trees beyond the orchard, and their pollen for `parents`; one without a name is any that flowers."""
    trees = neighbours_of(plan)
    flowers = {
        name: at for at, name in enumerate(seasons.cultivars) if np.isfinite(seasons.first_bloom[:, at]).any()
    }
    rows = [catalogue.cultivar[name] for name in seasons.cultivars]
    crabs = [at for name, at in flowers.items() if catalogue.cultivar[name].kind is CultivarKind.CRAB]
    apples = [at for at in flowers.values() if at not in crabs]
    unnamed = dict(zip(UNNAMED, (crabs, apples), strict=True))
    stands_for = [unnamed.get(one.tree) or [seasons.cultivars.index(one.tree)] for one in trees]
    return trees, outside_pollen(
        trees,
        stands_for,
        rows,
        [seasons.cultivars.index(name) for name in parents],
        seasons.first_bloom,
        seasons.petal_fall,
        seasons.offset_error,
        seasons.single_error,
    )
