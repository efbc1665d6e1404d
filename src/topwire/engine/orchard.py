"""The Orchard: the one frozen result that every face reads."""

from dataclasses import dataclass

from topwire.choice.result import Choice
from topwire.growth.result import CropForecast
from topwire.layout.result import Ground, Layout
from topwire.ledger.result import Ledger
from topwire.notices import Notice, Severity
from topwire.nursery.result import NurseryOrder
from topwire.phenology.result import PlaceSeasons
from topwire.trellis.result import TrellisDesign
from topwire.units import UnitSystem
from topwire.water.result import WaterPlan


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
    weather_files: tuple[str, ...]


@dataclass(frozen=True)
class Orchard:
    """The whole plan's result. A department that could not run is None; its notices say why."""

    origin: Origin
    place: PlaceSeasons | None
    ground: Ground | None
    choice: Choice | None
    layout: Layout | None
    years: CropForecast | None
    nursery: NurseryOrder | None
    trellis: TrellisDesign | None
    water: WaterPlan | None
    ledger: Ledger | None
    steps: tuple[StepRun, ...]
    notices: tuple[Notice, ...]  # of the inputs and of steps that could not run

    @property
    def departments(self) -> dict[str, object]:
        """The results by page name, in the order of the journey."""
        return {
            "place": self.place,
            "ground": self.ground,
            "choice": self.choice,
            "layout": self.layout,
            "years": self.years,
            "nursery": self.nursery,
            "trellis": self.trellis,
            "water": self.water,
            "ledger": self.ledger,
        }

    def all_notices(self) -> tuple[Notice, ...]:
        """Every notice of inputs and departments, the gravest first, each once."""
        found = list(self.notices)
        for result in self.departments.values():
            found.extend(getattr(result, "notices", ()))
        rank = list(Severity)
        return tuple(sorted(dict.fromkeys(found), key=lambda notice: rank.index(notice.severity)))
