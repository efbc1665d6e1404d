"""The Orchard: the one frozen result that every face reads."""

from collections.abc import Container, Hashable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, TypeVar

from topwire.choice.findings import Choice
from topwire.growth.findings import CropForecast
from topwire.layout.built import built_ground
from topwire.layout.findings import Ground, Layout
from topwire.learning.findings import LearntDates
from topwire.ledger.findings import Ledger
from topwire.nursery.findings import NurseryFindings
from topwire.phenology.findings import PlaceSeasons
from topwire.press.findings import PressFindings
from topwire.soil.findings import SoilFindings
from topwire.trellis.findings import TrellisFindings
from topwire.values.fault import FileNotice
from topwire.values.notice import Notice, Severity
from topwire.values.terms import GARDEN
from topwire.values.units import UnitSystem
from topwire.water.findings import WaterPlan

F = TypeVar("F")


@dataclass(frozen=True)
class StepRun:
    """How one step came about: what it was computed from, and how long it took."""

    name: str
    key: str  # hash of everything it depends on
    seconds: float | None  # None: taken from the store, nothing had changed


@dataclass(frozen=True)
class Origin:
    """Where and with what the plan was made."""

    name: str
    version: str
    plan_hash: str
    weather_hash: str
    catalogue_hash: str
    latitude: float
    longitude: float
    elevation: float
    units: UnitSystem
    planting_year: int
    currency: str
    weather_files: tuple[str, ...]
    weather_credits: tuple[str, ...] = ()  # lines the makers of fetched files ask to be printed


@dataclass(frozen=True)
class Orchard:
    """The whole plan's result. A department that could not run is None; its notices say why."""

    origin: Origin
    place: PlaceSeasons | None
    learning: LearntDates | None
    ground: Ground | None
    choice: Choice | None
    press: PressFindings | None
    layout: Layout | None
    years: CropForecast | None
    nursery: NurseryFindings | None
    trellis: TrellisFindings | None
    water: WaterPlan | None
    soil: SoilFindings | None
    ledger: Ledger | None
    steps: tuple[StepRun, ...]
    notices: tuple[Notice | FileNotice, ...]  # of the inputs and of steps that could not run

    @cached_property
    def made_of_it(self) -> dict[Hashable, object]:
        """Room for what faces make of it more than once."""
        return {}

    @property
    def departments(self) -> dict[str, object]:
        """The results by page name, in the order of the journey."""
        return {
            "place": self.place,
            "learning": self.learning,
            "ground": self.ground,
            "choice": self.choice,
            "press": self.press,
            "layout": self.layout,
            "years": self.years,
            "nursery": self.nursery,
            "trellis": self.trellis,
            "water": self.water,
            "soil": self.soil,
            "ledger": self.ledger,
        }

    @property
    def absent(self) -> tuple[str, ...]:
        """Departments that could not answer, or were not asked."""
        return tuple(name for name, result in self.departments.items() if result is None)

    @property
    def is_garden(self) -> bool:
        """So few trees that whoever tends them wants a few pages and nothing by the acre or hectare."""
        if self.layout is not None:
            trees = int((self.layout.cultivar >= 0).sum())
        else:  # not planted yet, as far as the run went
            trees = self.choice.trees if self.choice else self.ground.capacity if self.ground else 0
        return 0 < trees <= GARDEN

    def of_alone(self, names: Container[str]) -> "Orchard":
        """These departments and nothing of the others or of the run: what is made of it hangs on nothing else."""
        others: dict[str, Any] = {name: None for name in self.departments if name not in names}
        return replace(self, steps=(), notices=(), **others)

    def all_notices(self) -> tuple[Notice | FileNotice, ...]:
        """Every notice of inputs and departments, the gravest first, each once."""
        found = list(self.notices)
        for result in self.departments.values():
            for notice in getattr(result, "notices", ()):
                if notice not in found:
                    found.append(notice)
        rank = [str(severity) for severity in Severity]
        return tuple(sorted(found, key=lambda notice: rank.index(str(notice.severity))))


@dataclass(frozen=True)
class LastPlan:
    """What the last whole run of a folder came to; the findings are kept under the steps' keys."""

    state: str  # hash of the folder's inputs and of the program
    origin: Origin
    steps: tuple[StepRun, ...]
    notices: tuple[Notice | FileNotice, ...]
    beyond: tuple[
        str, ...
    ] = ()  # inputs that lie outside the folder, as seen from it; they count with its state


class CannotPlan(Exception):
    """A department that was asked for is absent; the notices say why."""

    def __init__(self, notices: tuple[Notice | FileNotice, ...]) -> None:
        self.notices = notices
        super().__init__("; ".join(str(notice) for notice in notices))


def gathered(
    origin: Origin,
    done: Mapping[str, object],
    steps: tuple[StepRun, ...],
    notices: tuple[Notice | FileNotice, ...],
) -> Orchard:
    """The Orchard of the findings `done` by name."""

    def of(name: str, findings: type[F]) -> F | None:
        found = done.get(name)
        return found if isinstance(found, findings) else None

    ground, layout = of("ground", Ground), of("layout", Layout)
    if ground is not None and layout is not None:
        ground = built_ground(ground, layout)
    return Orchard(
        origin,
        place=of("place", PlaceSeasons),
        learning=of("learning", LearntDates),
        ground=ground,
        choice=of("choice", Choice),
        press=of("press", PressFindings),
        layout=layout,
        years=of("years", CropForecast),
        nursery=of("nursery", NurseryFindings),
        trellis=of("trellis", TrellisFindings),
        water=of("water", WaterPlan),
        soil=of("soil", SoilFindings),
        ledger=of("ledger", Ledger),
        steps=steps,
        notices=notices,
    )
