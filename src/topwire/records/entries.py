"""What happened in the orchard, one frozen entry for each thing seen, measured or done.

Every entry says what it is in a class of its own (`EntryKind` names them), in SI, and shares with all others (`Entry`):

- `identity`: a uuid as text, made by whoever sends the entry. Sending the same entry twice keeps it once, so a phone
  may send again whenever it has not seen an answer.
- `day`: when it was so; `noted`: when somebody said so, with the sender's own offset from UTC. "As known on a date"
  goes by the calendar day of `noted` on the sender's clock.
- `who`, and `how` it came: at the desk, from the phone, from a file.
- `corrects`: identity of the entry it stands in place of. Nothing is ever changed or erased: a correction is a whole
  new entry of the same kind, and `Withdrawn` takes back the entry it names (a correction too, or another `Withdrawn`).
- where and which: `block`, `row`, `place` (a tree, a row, a block or nothing); `cultivar` by the catalogue's name.
- `lot`: the fruit it is about, by the word on the crate ("crate 14"). A pick makes a lot; cellar, press and kitchen
  take from it. Where nobody writes on crates it may stay empty, and stock is then counted by cultivar and place kept.

`records/form.py` turns entries into plain mappings and back (for JSON over HTTP and CSV) and says what does not fit;
`records/store.py` keeps them. Each field's meaning, its unit in a file and its bounds stand beside it as `Fact`: the
manual, the CSV's columns and the checks are made from these.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from enum import StrEnum
from math import inf
from typing import Annotated, ClassVar
from uuid import uuid4

from topwire.values.address import TreeAddress, row_name
from topwire.values.quantities import (
    Celsius,
    Count,
    CubicMetres,
    FineMetres,
    GramsPerLitre,
    Hours,
    Kilograms,
    Metres,
    Millimetres,
    Money,
    Newtons,
    Ratio,
    Share,
    SmallCubicMetres,
    SmallKilograms,
    SmallMetres,
)
from topwire.values.terms import MOST_TREES


class EntryKind(StrEnum):
    """What an entry is about; also the name of its CSV file and of its form on a page."""

    TREE = "tree"
    STAGE = "stage"
    TRUNK = "trunk"
    HEIGHT = "height"
    FRUIT_COUNT = "count"
    FRUIT_SIZE = "size"
    FRUIT_TEST = "test"
    PEST = "pest"
    SAMPLE = "sample"
    PH = "ph"
    WEATHER = "weather"
    WORK = "work"
    WATERING = "watering"
    TAKE = "take"
    PICK = "pick"
    CELLAR = "cellar"
    LOT_CHECK = "lot"
    CELLAR_READING = "cellar_reading"
    PRESSING = "pressing"
    BATCH = "batch"
    SALE = "sale"
    SERVICE = "service"
    UNDO = "undo"


class How(StrEnum):
    """How an entry came."""

    DESK = "desk"
    PHONE = "phone"
    IMPORT = "import"


class TreeEvent(StrEnum):
    """What became of a tree; the address stays."""

    PLANTED = "planted"
    DIED = "died"
    REPLACED = "replaced"  # another tree at the address
    REGRAFTED = "re-grafted"  # the same roots, another cultivar
    REMOVED = "removed"  # the place is empty


class SeenStage(StrEnum):
    """Stages of bud, flower and fruit as one sees them on a tree, in the order of the year."""

    SILVER_TIP = "silver tip"
    GREEN_TIP = "green tip"
    HALF_INCH_GREEN = "half-inch green"
    TIGHT_CLUSTER = "tight cluster"
    PINK = "pink"
    FIRST_BLOOM = "first bloom"
    FULL_BLOOM = "full bloom"
    PETAL_FALL = "petal fall"
    FRUIT_SET = "fruit set"
    JUNE_DROP = "June drop"
    FIRST_PICK = "first pick"
    LAST_PICK = "last pick"
    LEAF_FALL = "leaf fall"


class Counted(StrEnum):
    """What was counted on a tree."""

    CLUSTERS = "clusters"  # of flowers
    FRUITLETS = "fruitlets"
    FRUITS = "fruits"


class FruitGrade(StrEnum):
    """What a pick is good for."""

    TABLE = "table"
    KITCHEN = "kitchen"
    PRESS = "press"
    WINDFALL = "windfall"  # never for raw juice


class LotFate(StrEnum):
    """Why fruit left a place in the cellar."""

    MOVED = "moved"
    KITCHEN = "kitchen"
    PRESSED = "pressed"
    LOST = "lost"  # rot, shrivel, mice
    GIVEN = "given"


@dataclass(frozen=True)
class Fact:
    """A field in words, and what it may hold.

    Attributes
    ----------
    says : what it is
    unit : in a file: a name of `values/units.py`, "%" for a share; empty where the figure has none
    low, high : least and most, in that unit
    over : it has to be above `low`, not at it
    """

    says: str
    unit: str = ""
    low: float = 0.0
    high: float = inf
    over: bool = False


def _now() -> datetime:
    return datetime.now(UTC).astimezone()


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What all entries say. Never stored as such: each is of one of the kinds below."""

    KIND: ClassVar[EntryKind]

    day: Annotated[date, Fact("when it was so")]
    identity: Annotated[str, Fact("uuid, made by the sender; empty = made here")] = field(
        default_factory=lambda: str(uuid4())
    )
    noted: Annotated[datetime, Fact("when it was noted, with the offset from UTC")] = field(
        default_factory=_now
    )
    who: Annotated[str, Fact("who noted it")] = ""
    how: Annotated[How, Fact("how it came")] = How.DESK
    corrects: Annotated[str | None, Fact("identity of the entry it stands in place of")] = None
    block: Annotated[str, Fact("block, where it was; empty = not said")] = ""
    row: Annotated[int | None, Fact("row in the block", low=1, high=9_999)] = None
    place: Annotated[int | None, Fact("place in the row: one tree", low=1, high=9_999)] = None
    cultivar: Annotated[str, Fact("the cultivar, by the catalogue's name")] = ""
    lot: Annotated[str, Fact("the word on the crate or bin")] = ""
    remark: Annotated[str, Fact("anything worth saying")] = ""

    @property
    def address(self) -> TreeAddress | None:
        """The tree, where one is named."""
        if self.block and self.row is not None and self.place is not None:
            return TreeAddress(self.block, self.row, self.place)
        return None

    @property
    def where(self) -> str:
        """“South 3, tree 41”, “South 3”, “South”, or nothing."""
        tree = self.address
        if tree is not None:
            return str(tree)
        return row_name(self.block, self.row) if self.row is not None else self.block


@dataclass(frozen=True, kw_only=True)
class TreeChanged(Entry):
    """What became of one tree; `cultivar` is what stands there from now on (of a dead tree: may be empty)."""

    KIND = EntryKind.TREE
    event: Annotated[TreeEvent, Fact("what became of it")]
    rootstock: Annotated[str, Fact("its stock, where known")] = ""


@dataclass(frozen=True, kw_only=True)
class StageSeen(Entry):
    """A stage reached by a cultivar, or by one tree."""

    KIND = EntryKind.STAGE
    stage: Annotated[SeenStage, Fact("what was seen")]


@dataclass(frozen=True, kw_only=True)
class TrunkMeasured(Entry):
    KIND = EntryKind.TRUNK
    diameter: Annotated[FineMetres, Fact("across the trunk", "mm", 0, 1_000, over=True)]
    above_union: Annotated[SmallMetres | None, Fact("measured so high above the union", "cm", 0, 200)] = None


@dataclass(frozen=True, kw_only=True)
class HeightMeasured(Entry):
    KIND = EntryKind.HEIGHT
    height: Annotated[Metres, Fact("of the tree above ground", "m", 0, 20, over=True)]


@dataclass(frozen=True, kw_only=True)
class FruitCounted(Entry):
    """Flower clusters, fruitlets or fruits, all of those on so many trees."""

    KIND = EntryKind.FRUIT_COUNT
    counted: Annotated[Counted, Fact("what was counted")]
    count: Annotated[int, Fact("how many, all trees together", high=1_000_000)]
    trees: Annotated[int, Fact("on so many trees", low=1, high=MOST_TREES)] = 1


@dataclass(frozen=True, kw_only=True)
class FruitSized(Entry):
    """Diameters from the calliper. With a `tag` one fruitlet that is measured again another day."""

    KIND = EntryKind.FRUIT_SIZE
    diameters: Annotated[tuple[FineMetres, ...], Fact("across each fruit", "mm", 0, 150, over=True)]
    tag: Annotated[str, Fact("the fruitlet's tag, where it is measured again")] = ""
    cluster: Annotated[str, Fact("the flower cluster it sits in")] = ""
    leaf: Annotated[int | None, Fact("growing season of the tree", low=1, high=100)] = None
    clusters_per_tree: Annotated[
        Count | None, Fact("flower clusters of a tree, counted", high=5_000, over=True)
    ] = None


@dataclass(frozen=True, kw_only=True)
class FruitTested(Entry):
    """A sample of fruit put to the tests of ripeness; each figure is the sample's mean."""

    KIND = EntryKind.FRUIT_TEST
    fruits: Annotated[int | None, Fact("fruits in the sample", low=1, high=10_000)] = None
    starch: Annotated[Ratio | None, Fact("starch pattern, 1 (all starch) to 8 (none)", low=1, high=8)] = None
    firmness: Annotated[Newtons | None, Fact("by the 11 mm plunger", "N", 0, 300, over=True)] = None
    brix: Annotated[Ratio | None, Fact("soluble solids, degrees Brix", low=0, high=40)] = None
    acid: Annotated[GramsPerLitre | None, Fact("titratable acid as malic, g/L", low=0, high=60)] = None
    mass: Annotated[SmallKilograms | None, Fact("of one fruit", "g", 0, 3_000, over=True)] = None


@dataclass(frozen=True, kw_only=True)
class PestSeen(Entry):
    """A pest, a disease or damage: a count, or the share of what was looked at."""

    KIND = EntryKind.PEST
    what: Annotated[str, Fact("pest, disease or damage: codling moth, scab, frost, hail")]
    on: Annotated[str, Fact("where on the tree: leaves, fruit, shoots, trap")] = ""
    count: Annotated[int | None, Fact("how many", high=1_000_000)] = None
    share: Annotated[Share | None, Fact("of those looked at", "%", 0, 100)] = None


@dataclass(frozen=True)
class LabFigure:
    """One figure of a laboratory's sheet, in the laboratory's unit."""

    name: str
    value: float
    unit: str = ""


@dataclass(frozen=True, kw_only=True)
class SampleTested(Entry):
    """A laboratory's sheet on soil or leaves."""

    KIND = EntryKind.SAMPLE
    of: Annotated[str, Fact("soil or leaf")]
    figures: Annotated[tuple[LabFigure, ...], Fact("as the sheet has them: pH 6.4; potassium 120 ppm")]
    depth: Annotated[SmallMetres | None, Fact("of the soil sample, down to", "cm", 0, 300)] = None


@dataclass(frozen=True, kw_only=True)
class PhMeasured(Entry):
    KIND = EntryKind.PH
    of: Annotated[str, Fact("water, juice, cider or sauce")]
    ph: Annotated[Ratio, Fact("pH", low=0, high=14)]
    batch: Annotated[str, Fact("the batch it is of")] = ""


@dataclass(frozen=True, kw_only=True)
class WeatherRead(Entry):
    """Read from the grower's own thermometer or gauge, at `at`: beside the station's, hollows show."""

    KIND = EntryKind.WEATHER
    at: Annotated[str, Fact("where the thermometer hangs")] = ""
    low: Annotated[Celsius | None, Fact("lowest of the day", "C", -60, 60)] = None
    high: Annotated[Celsius | None, Fact("highest of the day", "C", -60, 60)] = None
    rain: Annotated[Millimetres | None, Fact("rain of the day", "mm", 0, 1_000)] = None


@dataclass(frozen=True, kw_only=True)
class WorkDone(Entry):
    """A job done; `hours` are those of all hands together. Jobs are named as the calendar names them where it does."""

    KIND = EntryKind.WORK
    job: Annotated[str, Fact("what was done: pruning, thinning, mowing")]
    hours: Annotated[Hours | None, Fact("of all hands together", high=10_000)] = None
    hands: Annotated[int | None, Fact("how many people", low=1, high=1_000)] = None
    trees: Annotated[int | None, Fact("on so many trees", low=1, high=MOST_TREES)] = None


@dataclass(frozen=True, kw_only=True)
class Watered(Entry):
    KIND = EntryKind.WATERING
    hours: Annotated[Hours | None, Fact("the water ran", high=240)] = None
    volume: Annotated[CubicMetres | None, Fact("by the meter", "m3", 0, 100_000)] = None


@dataclass(frozen=True, kw_only=True)
class TakeCounted(Entry):
    """One lot of grafts: so many made, so many alive in June.

    A lot whose remark is “buds” or “field grafts” (more after a semicolon) tells nothing of what bench grafts take.
    """

    KIND = EntryKind.TAKE
    started: Annotated[int, Fact("grafts made", low=1, high=100_000)]
    good: Annotated[int, Fact("of them alive in June", high=100_000)]


@dataclass(frozen=True, kw_only=True)
class FruitPicked(Entry):
    """Fruit off the trees, into a lot."""

    KIND = EntryKind.PICK
    mass: Annotated[Kilograms, Fact("of the fruit", "kg", 0, 100_000, over=True)]
    grade: Annotated[FruitGrade, Fact("what it is good for")] = FruitGrade.TABLE
    crates: Annotated[int | None, Fact("filled", low=1, high=100_000)] = None
    stored: Annotated[str, Fact("where it was put")] = ""


@dataclass(frozen=True, kw_only=True)
class CellarMoved(Entry):
    """Fruit taken from where it was kept."""

    KIND = EntryKind.CELLAR
    fate: Annotated[LotFate, Fact("why")]
    mass: Annotated[
        Kilograms | None, Fact("of the fruit; empty = all of the lot", "kg", 0, 100_000, over=True)
    ] = None
    stored: Annotated[str, Fact("where it is now, where it was moved")] = ""


@dataclass(frozen=True, kw_only=True)
class LotChecked(Entry):
    """A lot looked through: how much of it is still sound."""

    KIND = EntryKind.LOT_CHECK
    sound: Annotated[Share, Fact("share still fit for its use", "%", 0, 100)]
    stored: Annotated[str, Fact("where it is kept")] = ""


@dataclass(frozen=True, kw_only=True)
class CellarRead(Entry):
    KIND = EntryKind.CELLAR_READING
    temperature: Annotated[Celsius, Fact("in the cellar", "C", -20, 50)]
    humidity: Annotated[Share | None, Fact("relative", "%", 0, 100)] = None
    stored: Annotated[str, Fact("which room or shelf")] = ""


@dataclass(frozen=True, kw_only=True)
class FruitPressed(Entry):
    """Fruit of one cultivar or lot pressed into a batch; a blend is one entry for each."""

    KIND = EntryKind.PRESSING
    mass: Annotated[Kilograms, Fact("of the fruit", "kg", 0, 100_000, over=True)]
    volume: Annotated[SmallCubicMetres | None, Fact("of the juice", "L", 0, 100_000)] = None
    batch: Annotated[str, Fact("the batch it went into")] = ""
    brix: Annotated[Ratio | None, Fact("of the juice, degrees Brix", low=0, high=40)] = None
    ph: Annotated[Ratio | None, Fact("of the juice", low=0, high=14)] = None


@dataclass(frozen=True, kw_only=True)
class BatchNoted(Entry):
    """A step of a batch of juice, cider, sauce, butter, dried fruit."""

    KIND = EntryKind.BATCH
    batch: Annotated[str, Fact("its name")]
    product: Annotated[str, Fact("what it is to be")] = ""
    step: Annotated[str, Fact("started, racked, bottled, sealed")] = ""
    volume: Annotated[SmallCubicMetres | None, Fact("now in it", "L", 0, 100_000)] = None
    temperature: Annotated[Celsius | None, Fact("of it", "C", -20, 150)] = None
    ph: Annotated[Ratio | None, Fact("of it", low=0, high=14)] = None


@dataclass(frozen=True, kw_only=True)
class FruitSold(Entry):
    KIND = EntryKind.SALE
    what: Annotated[str, Fact("fruit, or a product")]
    mass: Annotated[Kilograms | None, Fact("sold", "kg", 0, 100_000, over=True)] = None
    pieces: Annotated[int | None, Fact("bottles, jars, trees", low=1, high=1_000_000)] = None
    money: Annotated[Money | None, Fact("taken, in the plan's currency", high=10_000_000)] = None


@dataclass(frozen=True, kw_only=True)
class FruitServed(Entry):
    """A dish put on the tables, or fruit on the board."""

    KIND = EntryKind.SERVICE
    dish: Annotated[str, Fact("as the kitchen names it")]
    portions: Annotated[int | None, Fact("served", low=1, high=100_000)] = None
    mass: Annotated[Kilograms | None, Fact("of fruit that went into it", "kg", 0, 10_000, over=True)] = None


@dataclass(frozen=True, kw_only=True)
class Withdrawn(Entry):
    """Takes back the entry it names in `corrects`; that one counts again when this one is withdrawn."""

    KIND = EntryKind.UNDO


ENTRY_TYPES: Mapping[EntryKind, type[Entry]] = {
    made.KIND: made
    for made in (
        TreeChanged, StageSeen, TrunkMeasured, HeightMeasured, FruitCounted, FruitSized, FruitTested, PestSeen,
        SampleTested, PhMeasured, WeatherRead, WorkDone, Watered, TakeCounted, FruitPicked, CellarMoved, LotChecked,
        CellarRead, FruitPressed, BatchNoted, FruitSold, FruitServed, Withdrawn,
    )
}  # fmt: skip
