"""The steps in the order of the journey: what each is asked, and who answers. The only place that knows the order.

Imports stand inside the functions: a command that needs one department does not load the others, and one that reads
what was found loads no question.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from topwire.choice.findings import Choice
from topwire.engine.choice_step import ChoiceStep
from topwire.engine.department import Department, Earlier, First, Step
from topwire.growth.findings import CropForecast
from topwire.layout.findings import Ground, Layout
from topwire.learning.findings import LearntDates
from topwire.ledger.findings import Ledger
from topwire.nursery.findings import NurseryFindings
from topwire.phenology.findings import PlaceSeasons
from topwire.press.findings import PressFindings
from topwire.soil.findings import SoilFindings
from topwire.trellis.findings import TrellisFindings
from topwire.values.own_date import OwnDate
from topwire.values.progress import Progress
from topwire.water.findings import RowsWatered, WaterPlan

if TYPE_CHECKING:
    from topwire.engine.inputs import Inputs
    from topwire.growth.asked import YearsQuestion
    from topwire.layout.asked import GroundQuestion, LayoutQuestion
    from topwire.learning.asked import LearningQuestion
    from topwire.ledger.asked import LedgerQuestion
    from topwire.nursery.asked import NurseryQuestion
    from topwire.phenology.asked import PlaceQuestion
    from topwire.press.asked import PressQuestion
    from topwire.soil.asked import SoilQuestion
    from topwire.trellis.asked import TrellisQuestion
    from topwire.water.asked import PlantedQuestion


def _ask_place(inputs: Inputs, earlier: Earlier) -> PlaceQuestion:
    from topwire.phenology.question import question

    return question(
        inputs.plan,
        inputs.catalogue,
        inputs.weather,
        observed=inputs.records.rows("bloom", OwnDate),
        mornings=0 if inputs.mornings is None else inputs.mornings.clear,
        changes=inputs.changes,
    )


def _place(asked: PlaceQuestion, progress: Progress) -> PlaceSeasons:
    from topwire.phenology.answer import answer

    return answer(asked, progress)


def _ask_learning(inputs: Inputs, earlier: Earlier) -> LearningQuestion:
    from topwire.learning.question import question

    observed = inputs.records.rows("bloom", OwnDate)
    return question(inputs.plan, inputs.catalogue, lambda: inputs.weather, observed)


def _learning(asked: LearningQuestion, progress: Progress) -> LearntDates:
    from topwire.learning.answer import answer

    return answer(asked, progress)


def _ask_ground(inputs: Inputs, earlier: Earlier) -> GroundQuestion:
    from topwire.layout.question import ground_question

    return ground_question(inputs.plan, inputs.catalogue, inputs.outlines, inputs.standing)


def _ground(asked: GroundQuestion, progress: Progress) -> Ground:
    from topwire.layout.survey import survey_ground

    return survey_ground(asked)


def _ask_press(inputs: Inputs, earlier: Earlier) -> PressQuestion:
    from topwire.press.question import question

    place, choice = earlier.of("place", PlaceSeasons), earlier.of("choice", Choice)
    return question(inputs.plan, inputs.catalogue, place, choice)


def _press(asked: PressQuestion, progress: Progress) -> PressFindings:
    from topwire.press.answer import answer

    return answer(asked)


def _ask_layout(inputs: Inputs, earlier: Earlier) -> LayoutQuestion:
    from topwire.engine.last_layout import last_layout
    from topwire.layout.question import layout_question

    asked = layout_question(
        inputs.plan,
        inputs.catalogue,
        earlier.of("place", PlaceSeasons),
        earlier.of("ground", Ground),
        earlier.of("choice", Choice),
        inputs.weather,
    )
    last = last_layout(inputs.folder, inputs.catalogue.names.catalogue_name)
    if last is not None and last.asked == asked.bare_key and not last.itself_from_last:
        return asked  # nothing was changed: the very question that out/ answers
    return replace(asked, before=last)


def _layout(asked: LayoutQuestion, progress: Progress) -> Layout:
    from topwire.layout.answer import lay_out

    return lay_out(asked, progress)


def _built(earlier: Earlier) -> Ground:
    """The ground with the rows and the fence that are built, once the trees have their places."""
    from topwire.layout.built import built_ground

    return built_ground(earlier.of("ground", Ground), earlier.of("layout", Layout))


def _ask_years(inputs: Inputs, earlier: Earlier) -> YearsQuestion:
    from topwire.choice.asked import ChoiceQuestion
    from topwire.growth.question import question

    chosen_from = earlier.asked.get("choice")
    return question(
        inputs.plan,
        inputs.catalogue,
        inputs.weather,
        earlier.of("place", PlaceSeasons),
        _built(earlier),
        earlier.of("choice", Choice),
        earlier.of("layout", Layout),
        inputs.records,
        chosen_from if isinstance(chosen_from, ChoiceQuestion) else None,
    )


def _years(asked: YearsQuestion, progress: Progress) -> CropForecast:
    from topwire.growth.answer import answer

    return answer(asked, progress)


def _ask_nursery(inputs: Inputs, earlier: Earlier) -> NurseryQuestion:
    from topwire.nursery.question import question

    choice, layout = earlier.of("choice", Choice), earlier.of("layout", Layout)
    return question(inputs.plan, inputs.catalogue, choice, layout, inputs.records)


def _nursery(asked: NurseryQuestion, progress: Progress) -> NurseryFindings:
    from topwire.nursery.answer import answer

    return answer(asked)


def _ask_trellis(inputs: Inputs, earlier: Earlier) -> TrellisQuestion:
    from topwire.trellis.question import question

    ground, layout = _built(earlier), earlier.of("layout", Layout)
    crop, seasons = earlier.of("years", CropForecast), earlier.of("place", PlaceSeasons)
    return question(inputs.plan, inputs.catalogue, ground, layout, crop, seasons, inputs.weather)


def _trellis(asked: TrellisQuestion, progress: Progress) -> TrellisFindings:
    from topwire.trellis.answer import answer

    return answer(asked, progress)


def _ask_water(inputs: Inputs, earlier: Earlier) -> PlantedQuestion:
    from topwire.water.question import question

    return question(
        inputs.plan,
        inputs.catalogue,
        inputs.weather,
        earlier.of("place", PlaceSeasons),
        _built(earlier),
        earlier.of("layout", Layout),
    )


def _water(asked: PlantedQuestion, progress: Progress) -> WaterPlan:
    from topwire.water.answer import answer

    return answer(asked, progress)


def _water_of_rows(asked: PlantedQuestion) -> First[RowsWatered]:
    """Rows and ground are watered alike whichever cultivars stand there."""
    bare = asked.bare

    def answered(progress: Progress) -> RowsWatered:
        from topwire.water.answer import watered

        return watered(bare, progress)

    def whole(found: RowsWatered) -> WaterPlan:
        from topwire.water.answer import of_planted

        return of_planted(asked, found)

    return First(bare, RowsWatered, answered, whole)


def _ask_soil(inputs: Inputs, earlier: Earlier) -> SoilQuestion:
    from topwire.soil.question import question

    return question(
        inputs.plan,
        inputs.catalogue,
        earlier.of("place", PlaceSeasons),
        _built(earlier),
        earlier.of("layout", Layout),
    )


def _soil(asked: SoilQuestion, progress: Progress) -> SoilFindings:
    from topwire.soil.answer import answer

    return answer(asked)


def _ask_ledger(inputs: Inputs, earlier: Earlier) -> LedgerQuestion:
    from topwire.ledger.question import question

    return question(
        inputs.plan,
        inputs.catalogue,
        earlier.of("place", PlaceSeasons),
        earlier.of("choice", Choice),
        _built(earlier),
        earlier.of("layout", Layout),
        earlier.of("years", CropForecast),
        earlier.of("nursery", NurseryFindings),
        earlier.maybe("trellis", TrellisFindings),
        earlier.maybe("water", WaterPlan),
        earlier.maybe("soil", SoilFindings),
        earlier.maybe("press", PressFindings),
    )


def _ledger(asked: LedgerQuestion, progress: Progress) -> Ledger:
    from topwire.ledger.answer import answer

    return answer(asked)


PLACE = Step("place", "weather years, bloom, frost, harvest", PlaceSeasons, _ask_place, _place)
LEARNING = Step("learning", "what your own dates teach", LearntDates, _ask_learning, _learning)
GROUND = Step("ground", "blocks, rows, tree places", Ground, _ask_ground, _ground)
CHOICE = ChoiceStep()
PRESS = Step("press", "juice, press weeks, tanks", PressFindings, _ask_press, _press, ("place", "choice"))
LAYOUT = Step("layout", "who stands where", Layout, _ask_layout, _layout, ("place", "ground", "choice"))
YEARS = Step(
    "years",
    "growth and crop by leaf",
    CropForecast,
    _ask_years,
    _years,
    ("place", "ground", "choice", "layout"),
)
NURSERY = Step(
    "nursery", "what to graft and buy", NurseryFindings, _ask_nursery, _nursery, ("choice", "layout")
)
TRELLIS = Step(
    "trellis",
    "posts, wires, anchors",
    TrellisFindings,
    _ask_trellis,
    _trellis,
    ("place", "ground", "layout", "years"),
)
WATER = Step(
    "water",
    "need, pipes, schedule",
    WaterPlan,
    _ask_water,
    _water,
    ("place", "ground", "layout"),
    _water_of_rows,
)
SOIL = Step("soil", "lime, covers, feeding", SoilFindings, _ask_soil, _soil, ("place", "ground", "layout"))
LEDGER = Step(
    "ledger",
    "work and money",
    Ledger,
    _ask_ledger,
    _ledger,
    ("place", "choice", "ground", "layout", "years", "nursery"),
)
STEPS: tuple[Department, ...] = (
    PLACE,
    LEARNING,
    GROUND,
    CHOICE,
    PRESS,
    LAYOUT,
    YEARS,
    NURSERY,
    TRELLIS,
    WATER,
    SOIL,
    LEDGER,
)
