"""Small worlds to lay out: plans of a few lines, seasons and a choice that need no weather."""

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.choice.findings import Choice, ChosenCultivar
from topwire.choice.pollination import compatibility
from topwire.layout.answer import lay_out
from topwire.layout.asked import LastLayout
from topwire.layout.findings import Ground, Layout
from topwire.layout.question import ground_question, layout_question
from topwire.layout.survey import survey_ground
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.standing import StandingTree
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.notice import Notice
from topwire.values.units import UnitSystem

BASE: dict[str, Any] = {
    "name": "Trial orchard",
    "units": "metric",
    "place": {"latitude": 39.2, "longitude": -78.2, "elevation": "220 m"},
    "kitchen": {"needs": [{"use": "fresh", "amount": "10 kg/week", "from": "1 Aug", "to": "1 Dec"}]},
    "years": {"planting": 2027},
}


def catalogue() -> Catalogue:
    return Catalogue(read_tables())


def plan(blocks: Sequence[Mapping[str, Any]], **sections: Any) -> Plan:
    """A plan with the given blocks and ground, everything else plain."""
    ground = {"blocks": list(blocks)} | sections.pop("ground", {})
    return Plan.model_validate(BASE | {"ground": ground} | sections)


def overlapping_names(catalogue: Catalogue, count: int) -> list[str]:
    """Cultivars whose bloom and harvest are known and that flower near the middle, with donors among them."""
    rows = [
        row
        for row in catalogue.cultivars
        if row.bloom_offset_days is not None
        and abs(row.bloom_offset_days) <= 5
        and row.harvest_offset_days is not None
        and (row.ploidy or 2) == 2
    ]
    good = compatibility(rows).sum(axis=0)
    best = sorted(range(len(rows)), key=lambda index: (-good[index], rows[index].name))[:count]
    return [rows[index].name for index in sorted(best)]


def seasons(catalogue: Catalogue) -> PlaceSeasons:
    """Twenty years in which bloom and harvest follow the catalogue's offsets, with some noise between years."""
    rows = catalogue.cultivars
    years = np.arange(2000, 2020)
    random = np.random.default_rng(3)
    spring = random.normal(115, 5, years.size)[:, None]
    stretch = random.uniform(0.7, 1.3, years.size)[:, None]
    bloom = np.array([row.bloom_offset_days or 0.0 for row in rows])[None] * stretch + spring
    harvest = np.array([row.harvest_offset_days or 0.0 for row in rows])[None] + 270 + (spring - 115) / 2
    one, flat = np.zeros(years.size), np.zeros(bloom.shape)
    return PlaceSeasons(
        years=years,
        cultivars=tuple(row.name for row in rows),
        first_bloom=bloom - 4,
        full_bloom=bloom,
        petal_fall=bloom + 6,
        harvest_first=harvest,
        harvest_last=harvest + 12,
        bloom_kill=flat,
        crop_after_frost=flat + 1,
        green_tip=one + 80,
        last_frost=one + 120,
        first_frost=one + 290,
        chill_portions=one + 70,
        heat_degree_days=one + 2000,
        coldest=one - 18,
        hottest=one + 35,
        normals=np.zeros((12, 3)),
        unusable_years=(),
        worth_of_a_degree=np.zeros(len(rows)),
        unfit={},
        today_from=int(years[0]),
        bloom_trend=0.0,
        frost_years_today=0.0,
        warmer=(),
        offset_error=np.zeros(len(rows)),
        single_error=0.0,
        bloom_error_days=4.0,
        harvest_error_days=7.0,
        bloom_error=np.full(len(rows), 4.0),
        harvest_error=np.full(len(rows), 7.0),
        hardiness_zone="6b",
    )


def choice(catalogue: Catalogue, trees: Mapping[str, int | tuple[int, int]], stock: str = "G.41") -> Choice:
    """A choice of stated trees: {name: new trees} or {name: (new, standing)}."""
    chosen = []
    for name, said in trees.items():
        new, standing = said if isinstance(said, tuple) else (said, 0)
        row = catalogue.cultivar[name]
        ripe = 270 + (row.harvest_offset_days or 0.0)
        week = int(min(50, max(1, (ripe - 1) // 7 + 1)))
        chosen.append(
            ChosenCultivar(
                name=name,
                trees=new + standing,
                standing=standing,
                rootstock=stock,
                own_graft=True,
                harvest_weeks=(week, week + 1),
                uses={"fresh": 10.0 * new if "fresh" in row.uses else 0.0, "juice": 5.0 * new},
                donors=(),
                donors_outside=0,
                loss_without=None,
                reasons=(),
            )
        )
    read = {
        "chosen": tuple(chosen),
        "trees": sum(row.trees for row in chosen),
        "yield_per_tree": np.full(len(chosen), 15.0),
    }
    # the layout reads the chosen rows and their crops; whatever else a choice tells stays empty here
    rest = {field.name: () for field in fields(Choice) if field.name not in read}
    return Choice(**(rest | read))  # type: ignore[arg-type]


def survey(
    plan: Plan,
    catalogue: Catalogue,
    outlines: Mapping[str, Any] | None = None,
    standing: Sequence[StandingTree] = (),
) -> Ground:
    """The ground of a plan, asked and answered."""
    return survey_ground(ground_question(plan, catalogue, outlines or {}, standing))


def laid_out(
    plan: Plan,
    catalogue: Catalogue,
    seasons: PlaceSeasons,
    ground: Ground,
    choice: Choice,
    before: LastLayout | None = None,
) -> Layout:
    """The planting of a plan, asked and answered."""
    return lay_out(replace(layout_question(plan, catalogue, seasons, ground, choice), before=before))


def told(notices: Sequence[Notice]) -> list[str]:
    """The notices as a metric reader reads them."""
    return [str(line) for line in all_told(notices, Reader(UnitSystem.METRIC))]


def stray_places(
    points: npt.NDArray[np.float64], ground: BaseGeometry, obstacles: BaseGeometry | None = None
) -> npt.NDArray[np.bool_]:
    """Which of the (n, 2) points stand outside the ground or on an obstacle."""
    made = shapely.points(points)
    outside = ~shapely.covers(ground.buffer(1e-3), made)
    if obstacles is None:
        return outside
    return outside | shapely.contains(obstacles.buffer(-1e-3), made)
