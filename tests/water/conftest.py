"""The two examples as the water finds them, with invented trees on their places."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

from topwire.engine.inputs import Inputs, read_inputs
from topwire.layout.findings import Ground, Layout, Walks
from topwire.layout.question import ground_question
from topwire.layout.survey import survey_ground
from topwire.phenology.answer import answer
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.question import question
from topwire.plan.model import Plan
from topwire.water.answer import answer as water_answer
from topwire.water.asked import PlantedQuestion
from topwire.water.findings import WaterPlan
from topwire.water.question import question as water_question

EXAMPLES = Path(__file__).parents[2] / "examples"


def planted(ground: Ground, year: int) -> Layout:
    """Every place taken, two cultivars in turns of twenty."""
    count = ground.capacity
    standing = np.array([name != "" for name in ground.standing_cultivar], dtype=bool)
    return Layout(
        cultivars=("A", "B"),
        codes=("A", "B"),
        cultivar=(np.arange(count) // 20) % 2,
        rootstock=("G.41", "G.41"),
        year_planted=np.where(standing, ground.standing_year, year),
        standing=standing,
        longitude=np.zeros(count),
        latitude=np.zeros(count),
        along_row=np.zeros(count),
        pollen=np.ones(count),
        donors_in_reach=np.full(count, 2),
        pollen_chance=np.ones(count),
        pollen_without_best=np.ones(count),
        known_donor=np.ones(count, dtype=bool),
        runs=(),
        walks=Walks(0.0, 0.0, 0.0, 0.0),
        gaps=(),
        hours=None,
        tried=0,
        exact=True,
        pollen_good_years=1.0,
        early_above=0.4,
        asked="",
        from_last=False,
        moved=(),
        notices=(),
    )


@dataclass(frozen=True)
class Example:
    inputs: Inputs
    seasons: PlaceSeasons
    ground: Ground
    layout: Layout
    asked: PlantedQuestion
    result: WaterPlan

    def question(self, obstacles: tuple[object, ...] = (), **water: object) -> PlantedQuestion:
        """The same orchard with other words in the plan's water section, and obstacles (rings) on its ground."""
        plan: Plan = self.inputs.plan
        changed = plan.model_copy(update={"water": plan.water.model_copy(update=water)})
        inputs = self.inputs
        ground = replace(self.ground, obstacles=tuple(np.array(ring, dtype=float) for ring in obstacles))
        return water_question(changed, inputs.catalogue, inputs.weather, self.seasons, ground, self.layout)

    def again(self, obstacles: tuple[object, ...] = (), **water: object) -> WaterPlan:
        return water_answer(self.question(obstacles, **water))


def _example(name: str) -> Example:
    inputs = read_inputs(EXAMPLES / name)
    seasons = answer(question(inputs.plan, inputs.catalogue, inputs.weather))
    ground = survey_ground(ground_question(inputs.plan, inputs.catalogue, inputs.outlines, inputs.standing))
    layout = planted(ground, inputs.plan.years.planting)
    asked = water_question(inputs.plan, inputs.catalogue, inputs.weather, seasons, ground, layout)
    return Example(inputs, seasons, ground, layout, asked, water_answer(asked))


@pytest.fixture(scope="session")
def valley() -> Example:
    return _example("valley-inn")


@pytest.fixture(scope="session")
def ridge() -> Example:
    return _example("ridge-cider")


@pytest.fixture(scope="session")
def fence() -> Example:
    return _example("garden-fence")


@pytest.fixture(scope="session")
def without_trees(valley: Example) -> Layout:
    return replace(valley.layout, cultivar=np.full(valley.ground.capacity, -1))
