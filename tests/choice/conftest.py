"""Small kitchens and supplies that can be reckoned by hand."""

from dataclasses import replace

import numpy as np
import pytest

from topwire.catalogue.model import Catalogue, Cultivar
from topwire.catalogue.tables import read_tables
from topwire.choice.needs import WeeklyNeed, span
from topwire.choice.planting import Limits
from topwire.choice.plate import Blend, Bound, JuiceSide, PlateTest
from topwire.choice.plate_question import PlateTable
from topwire.choice.question import LeafShare
from topwire.choice.question import candidate_of as of_table
from topwire.choice.supply import CandidateCultivar, Supply
from topwire.plan.kitchen import BlendBounds, Need
from topwire.values.terms import Blended, Use

CATALOGUE = Catalogue(read_tables())
TABLE = PlateTable.of(CATALOGUE)
BY_LEAF = np.array([row.share for row in CATALOGUE.rows("yield_by_leaf", LeafShare)])


def need(
    use: str,
    first: int,
    last: int,
    *,
    weekly: float | None = None,
    total: float = 0.0,
    weight: float = 1.0,
    used: tuple[int, ...] = (),
    keeps: float = 52.0,
    more: dict[str, object] | None = None,
) -> WeeklyNeed:
    """A need by weeks; of the plan's own text only what stands in `more` counts."""
    weeks = span(first, last)
    said = {"use": use, "amount": "1 kg/season", "from": "1 Jan", "to": "31 Dec"} | (more or {})
    text = Need.model_validate(said)
    assert text.start is not None
    assert text.end is not None
    return WeeklyNeed(
        use=Use(use),
        weight=weight,
        weeks=weeks,
        weekly=weekly,
        total=weekly * len(weeks) if weekly is not None else total,
        start=text.start.day_of_year,
        end=text.end.day_of_year,
        blend=_blend(text),
        plate=PlateTest(),
        used=used,
        shelf_weeks=keeps,
        weekly_capacity=text.weekly_capacity,
        picked_by_guests=text.picked_by_guests,
    )


def _blend(text: Need) -> Blend | None:
    """Only the bounds the text states."""
    if not isinstance(text.blend, BlendBounds):
        return None
    said = {
        side: Bound(getattr(text.blend, f"{side}_low", None), getattr(text.blend, f"{side}_high"))
        for side in JuiceSide
    }
    bounds = {side: bound for side, bound in said.items() if bound != Bound()}
    return Blend(Blended.HOUSE_CIDER if text.use is Use.CIDER else Blended.TABLE_JUICE, bounds)


def candidate_of(row: Cultivar) -> CandidateCultivar:
    """A cultivar of the catalogue as the choice sees it."""
    return of_table(row, TABLE)


@pytest.fixture
def supply() -> Supply:
    """Three cultivars of two weather years: an early one that does not keep, a keeper, a presser."""
    names = ("Yellow Transparent", "GoldRush", "Brown's Apple")
    return Supply(
        cultivars=tuple(candidate_of(CATALOGUE.cultivar[name]) for name in names),
        years=np.array([2001, 2002]),
        crop=np.array([[10.0, 10.0, 10.0], [5.0, 10.0, 0.0]]),
        ordinary=np.array([10.0, 10.0, 10.0]),
        first=np.array([[28, 42, 38], [28, 42, 38]]),
        last=np.array([[28, 43, 38], [28, 43, 38]]),
        eating=np.array([2.0, 20.0, 6.0]),
        cooking=np.array([3.0, 30.0, 8.0]),
        mellow=np.zeros(3),
    )


@pytest.fixture
def limits() -> Limits:
    return Limits(
        places=100,
        fewest_trees=2,
        most_trees=60,
        fewest_cultivars=1,
        most_cultivars=3,
        heritage_share=0.0,
        must_have=(),
        standing={},
        tree_cost=np.ones(3),
        board=1,
        press_week=None,
        cellar=None,
    )


def loosened(limits: Limits, **changes: object) -> Limits:
    return replace(limits, **changes)  # type: ignore[arg-type]
