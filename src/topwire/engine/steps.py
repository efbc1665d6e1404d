"""The steps in the order of the journey: what each is asked, and who answers. The only place that knows the order.

Imports stand inside the functions: a command that needs one department does not load the others, and one that reads
what was found loads no question.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Generic, TypeVar

from topwire.choice.findings import Choice, Proof
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
from topwire.water.findings import WaterPlan

if TYPE_CHECKING:
    from topwire.choice.asked import ChoiceQuestion
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
    from topwire.water.asked import WaterQuestion

Q = TypeVar("Q")
F = TypeVar("F")


@dataclass(frozen=True)
class Earlier:
    """Findings of the steps before, by name; and what they were asked, as far as it was put in this run."""

    done: Mapping[str, object]
    asked: Mapping[str, object] = field(default_factory=dict)

    def of(self, name: str, findings: type[F]) -> F:
        """The findings of a step that this one cannot do without.

        Raises
        ------
        KeyError
            When they are absent; the engine asks no step whose needs are not met.
        """
        found = self.done[name]
        assert isinstance(found, findings)
        return found

    def maybe(self, name: str, findings: type[F]) -> F | None:
        """The same, None where the step could not answer."""
        return self.of(name, findings) if name in self.done else None


@dataclass(frozen=True)
class Posed:
    """A question put: what is asked, and how to have it answered."""

    question: object
    findings: type[object]
    answer: Callable[[Progress], object]
    rest: Rest | None = None


Work = tuple[Callable[..., object], tuple[object, ...]]  # a function of a module, and what it is given


class Rest(ABC):
    """A part of a step's findings that no other step reads, worked out beside those that follow."""

    begin: Callable[..., None] = staticmethod(lambda *_: None)
    """For the step itself: begins a work, a function and what it is given, before its own findings are whole. Given by
    whoever runs the step; where nobody waits for the rest nothing begins."""

    modules: tuple[str, ...] = ()
    """Of the works that the step itself will begin: their processes read them while it is at work."""

    @abstractmethod
    def wanting(self, found: object) -> bool:
        """Whether the findings are still without it."""

    @abstractmethod
    def work(self, found: object) -> tuple[Work, ...] | None:
        """What works it out for findings that were kept without it; None where it hangs on more than was kept."""

    @abstractmethod
    def whole(self, found: object, rests: Sequence[object]) -> object:
        """The findings with it; what the works found in the order they were begun."""


class Department(ABC):
    """A step as the engine runs it, whatever its question and findings are."""

    name: str
    says: str
    needs: tuple[str, ...]
    findings: type[object]

    @abstractmethod
    def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
        """The question of these inputs. Raises CannotAnswer or Faults where there is none."""


@dataclass(frozen=True)
class Step(Department, Generic[Q, F]):
    """One department.

    Attributes
    ----------
    name : of the department
    says : what it finds, for the progress line
    findings : class of its answer
    ask : its question, from the inputs and the earlier findings; the question alone decides whether it runs
    answer : the sum itself; takes the question and nothing else
    needs : steps without whose findings it cannot be asked
    """

    name: str
    says: str
    findings: type[F]
    ask: Callable[[Inputs, Earlier], Q]
    answer: Callable[[Q, Progress], F]
    needs: tuple[str, ...] = ()

    def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
        question = self.ask(inputs, earlier)
        return Posed(question, self.findings, lambda progress: self.answer(question, progress))


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


def _ask_choice(inputs: Inputs, earlier: Earlier) -> ChoiceQuestion:
    from topwire.choice.question import question
    from topwire.layout.places import places_of

    places = places_of(earlier.of("ground", Ground))
    return question(inputs.plan, inputs.catalogue, earlier.of("place", PlaceSeasons), places)


class _WeighingOfChoice(Rest):
    """What each cultivar is worth, and how sure the choice is."""

    modules = ("topwire.choice.proof", "topwire.choice.weighing")

    def __init__(self, asked: ChoiceQuestion, folder: Path) -> None:
        self.asked, self.folder = asked, folder

    def wanting(self, found: object) -> bool:
        return isinstance(found, Choice) and found.proof is None

    def work(self, found: object) -> tuple[Work, ...] | None:
        from topwire.choice.choosing import standing_of
        from topwire.choice.proof import prove
        from topwire.choice.weighing import weigh
        from topwire.choice.what_if import years_key
        from topwire.engine.learnt import learnt

        assert isinstance(found, Choice)
        cuts = learnt(self.folder, years_key(self.asked), searched=True)
        if self.asked.limits.most_lost is not None or cuts is None:
            return None  # the conditions that hold the loss were not kept
        return (prove, (self.asked, cuts)), (weigh, (self.asked, standing_of(self.asked, found), cuts))

    def whole(self, found: object, rests: Sequence[object]) -> object:
        from topwire.choice.weighing import WeighedChoice, with_weighed

        proof, weighed = rests
        assert isinstance(found, Choice)
        assert isinstance(proof, Proof)
        assert isinstance(weighed, WeighedChoice)
        return with_weighed(found, weighed, proof)


@dataclass(frozen=True)
class _ChoiceStep(Department):
    """The choice: beside its findings it keeps what it learnt of the years in the plan's folder."""

    name: str = "choice"
    says: str = "cultivars and numbers"
    needs: tuple[str, ...] = ("place", "ground")
    findings: type[object] = Choice

    def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
        asked = _ask_choice(inputs, earlier)
        weighing = _WeighingOfChoice(asked, inputs.folder)

        def answered(progress: Progress) -> Choice:
            from topwire.choice.answer import answer
            from topwire.choice.choosing import choose
            from topwire.choice.proof import prove
            from topwire.choice.weighing import weigh
            from topwire.choice.what_if import years_key
            from topwire.engine.learnt import keep_learnt

            chosen = choose(asked, progress)
            weighing.begin(prove, chosen.asked, chosen.found.cuts)
            weighing.begin(weigh, chosen.asked, chosen.standing, chosen.found.cuts)
            choice = answer(chosen, progress)
            assert chosen.years.cuts is not None
            searched = chosen.found.cuts.year.size
            keep_learnt(inputs.folder, years_key(asked), chosen.years.cuts, searched)
            return choice

        return Posed(asked, self.findings, answered, weighing)


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


def _ask_water(inputs: Inputs, earlier: Earlier) -> WaterQuestion:
    from topwire.water.question import question

    return question(
        inputs.plan,
        inputs.catalogue,
        inputs.weather,
        earlier.of("place", PlaceSeasons),
        _built(earlier),
        earlier.of("layout", Layout),
    )


def _water(asked: WaterQuestion, progress: Progress) -> WaterPlan:
    from topwire.water.answer import answer

    return answer(asked, progress)


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
CHOICE = _ChoiceStep()
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
WATER = Step("water", "need, pipes, schedule", WaterPlan, _ask_water, _water, ("place", "ground", "layout"))
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
