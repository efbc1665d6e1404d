"""What is told of a plan by its size: a garden is spared what only a field asks for."""

from collections.abc import Iterable

from topwire.engine.orchard import Orchard
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.tell.words import Told
from topwire.values.fault import FileNotice
from topwire.values.notice import Notice, Severity

# Notices by the acre or hectare, on machines and crews, and on how plantings and builds of a field are compared.
OF_A_FIELD = frozenset({
    "choice.cellar", "choice.full_crop", "choice.harder_springs", "ground.even_slope", "ground.half_diffuse",
    "layout.chance_drawn", "layout.pollen_enough", "layout.prices", "layout.rounds", "ledger.hours_beside",
    "ledger.per_tree", "ledger.short_of_hands", "nursery.batch", "place.frost_in_warmth", "place.harvest_unknown",
    "trellis.drivers", "trellis.factors", "trellis.inner_shelter", "trellis.leaning_row", "trellis.prices_proposed",
    "trellis.soil_estimated", "water.efficiency", "water.feeding_in", "water.flushing", "water.gaps_filled",
    "water.hangs", "water.make", "water.need", "water.untested", "water.years_left_out", "years.beside_trials",
    "years.rests_on", "years.sugar",
})  # fmt: skip


def heard(orchard: Orchard, notices: Iterable[Notice | FileNotice]) -> tuple[Notice | FileNotice, ...]:
    """Of `notices` those that concern a plan of this size; what is wrong or asks for a decision always does."""
    grave = (Severity.FAULT, Severity.WARNING)
    return tuple(
        notice
        for notice in notices
        if not orchard.is_garden or notice.severity in grave or getattr(notice, "code", "") not in OF_A_FIELD
    )


def told_of(
    orchard: Orchard,
    notices: Iterable[Notice | FileNotice],
    reader: Reader | None = None,
    *,
    outdated: bool = False,
) -> tuple[Told, ...]:
    """Each notice that concerns a plan of this size, in the reader's words; without one, in the plan's units.

    `outdated` as of `all_told`.
    """
    return all_told(heard(orchard, notices), reader or Reader(orchard.origin.units), outdated=outdated)
