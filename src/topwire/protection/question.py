"""The Protection's question: the only file of the room that sees the plan and the catalogue."""

from topwire.catalogue.model import Catalogue
from topwire.choice.disease_question import ratings_of
from topwire.layout.findings import Layout
from topwire.phenology.frost import HARDIER
from topwire.plan.model import Plan
from topwire.protection.asked import Guarded, ProtectionBasis
from topwire.values.address import row_name


def question(plan: Plan, catalogue: Catalogue, layout: Layout) -> ProtectionBasis:
    """What every day's question rests on."""
    return ProtectionBasis(
        latitude=plan.place.latitude,
        colder=plan.place.colder_than_station,
        planting=plan.years.planting,
        guarded=_guarded(catalogue, layout),
    )


def _guarded(catalogue: Catalogue, layout: Layout) -> tuple[Guarded, ...]:
    """Every cultivar that stands in the rows, with its rows."""
    ratings = ratings_of(catalogue)
    rows: dict[str, dict[str, None]] = {}
    for run in layout.runs:
        rows.setdefault(run.cultivar, {})[row_name(run.block, run.row)] = None
    return tuple(
        Guarded(name, tuple(its), layout.trees_of(name), ratings[name], HARDIER.get(name, 0.0))
        for name, its in sorted(rows.items())
    )
