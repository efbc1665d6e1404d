"""A stock and a row that most trellis tests use; figures invented where they are not the catalogue's."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.growth.findings import CropForecast
from topwire.layout.findings import Ground, Layout, Walks
from topwire.layout.question import ground_question
from topwire.layout.survey import survey_ground
from topwire.plan.model import Plan
from topwire.plan.read import parse_plan
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.trellis import wind
from topwire.trellis.demand import RowDemand, row_demand
from topwire.trellis.holding import HoldingGround
from topwire.trellis.materials import Stock
from topwire.trellis.search import Wishes
from topwire.values.notice import Notice
from topwire.values.units import UnitSystem

PRESSURE = float(wind.gust_pressure(1.0, coefficient=wind.exposure_coefficient(3.0, wind.WindExposure.C)))


@dataclass(frozen=True)
class Yard:
    """Stock, soaked ground and what the grower wants."""

    stock: Stock
    ground: HoldingGround
    wishes: Wishes


def a_row(*, length: float = 60.0, inner: bool = False, crop: float = 20.0, **changes: object) -> RowDemand:
    """A row of 0.9 m trees on wires up to 3 m, open country."""
    given: dict[str, object] = {
        "tree_spacing": 0.9,
        "first_tree": 0.45,
        "row_spacing": 3.6,
        "heights": [0.9, 1.6, 2.3, 3.0],
        "canopy_top": 3.3,
        "crop_on_wires": 0.5,
        "pressure_at_1": PRESSURE,
    }
    return row_demand(length=length, inner=inner, crop=crop, **(given | changes))  # type: ignore[arg-type]


def said(notices: Iterable[Notice]) -> str:
    """Everything told by notices, in metric units, a line each."""
    return "\n".join(f"{told.says} {told.remedy}" for told in all_told(notices, Reader(UnitSystem.METRIC)))


PLAN = """
name: Test orchard
units: {units}
place: {{latitude: 40, longitude: -78, elevation: 300 m, exposure: open country, {gust}soil: {{texture: {soil}}}}}
ground:
  headland: 0 m
  margin: 0 m
  blocks: [{{name: South, rectangle: {{length: {length} m, width: {width} m}}, row_bearing: 0, {block}}}]
kitchen: {{needs: [{{use: fresh, amount: 20 kg/week, from: 1 Sep, to: 30 Nov}}]}}
trees: {{tree_spacing: 0.9 m, row_spacing: 3.6 m}}
years: {{planting: 2027}}
trellis: {{{trellis}}}
"""


def orchard(
    catalogue: Catalogue,
    *,
    length: float = 60.0,
    width: float = 24.0,
    units: str = "metric",
    gust: str = "30 m/s",
    soil: str = "loam",
    trellis: str = "return_period: 50",
    block: str = "slope: 0 %",
    kg: float = 20.0,
) -> tuple[Plan, Ground, Layout, CropForecast]:
    stated = f"gust: {gust}, " if gust else ""
    text = PLAN.format(
        length=length, width=width, units=units, gust=stated, soil=soil, trellis=trellis, block=block
    )
    if units == "metric":
        text += "\nmoney: {currency: EUR}\n"  # goods of the European market
    plan = parse_plan(text, "plan.yaml")
    ground = survey_ground(ground_question(plan, catalogue, {}, ()))
    places = ground.capacity
    names = ("Gala", "GoldRush")
    who = (np.arange(places) // 20) % 2
    layout = Layout(
        cultivars=names, codes=("Gal", "Gol"), cultivar=who, rootstock=("G.41", "G.41"),
        year_planted=np.full(places, 2027),
        standing=np.zeros(places, dtype=bool), longitude=np.zeros(places), latitude=np.zeros(places),
        along_row=np.zeros(places), pollen=np.ones(places), donors_in_reach=np.full(places, 2), runs=(),
        pollen_chance=np.ones(places), pollen_without_best=np.ones(places), known_donor=np.ones(places, dtype=bool),
        walks=Walks(0.0, 0.0, 0.0, 0.0), gaps=(), hours=None, tried=0, exact=True, pollen_good_years=1.0,
        early_above=0.4, asked="", from_last=False, moved=(), notices=(),
    )  # fmt: skip
    leaves = np.arange(1, 16)
    crop = CropForecast(
        cultivars=names, leaf=leaves, height=np.full((2, 15, 3), 3.0), reaches_wire=np.full((2, 3), 3.0),
        kg_per_tree=np.full((2, 15, 3), kg), orchard_kg=np.full((15, 3), kg * places),
        fruit_target=np.full((2, 15), 100.0),
        full_crop_kg_per_tree=np.array([kg, 0.8 * kg]), mature_crop=(3.0, 4.0, 5.0),
        notices=(),
    )  # fmt: skip
    return plan, ground, layout, crop
