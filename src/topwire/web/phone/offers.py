"""What a phone offers to note: in words, as the entry it makes, and how its figure is set without a keyboard.

Which six come first follows the stage the tree's cultivar is in (common practice, no source).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from topwire.phenology.stages import SeasonStage
from topwire.records.entries import Counted, EntryKind, SeenStage, TreeEvent
from topwire.season.picking import CRATE
from topwire.tell.reader import Reader
from topwire.values.units import Kind, from_si, to_si, unit_of

MM, INCH, HUNDREDTH = 0.001, 0.0254, 0.01


@dataclass(frozen=True)
class AskedFigure:
    """A figure set by big steps, or one of a few choices.

    Attributes
    ----------
    entry : field of the entry it goes into
    factor : from the figure shown to the entry's SI value
    unit : as shown beside the figure
    steps : added by a press; start : shown first
    choices : words and figure, instead of steps
    whole : the entry takes a whole number; many : it takes a list
    also : a field that takes the figure as it is shown, where it is whole
    """

    entry: str
    factor: float
    unit: str
    start: float = 0.0
    steps: tuple[float, ...] = ()
    low: float = 0.0
    high: float = 1e6
    choices: tuple[tuple[str, float], ...] = ()
    whole: bool = False
    many: bool = False
    also: str = ""


@dataclass(frozen=True)
class Offer:
    """One thing a phone can note; `facts`: what of the entry is said by choosing it; `of`: tree or row."""

    name: str
    says: str
    kind: EntryKind
    facts: Mapping[str, object] = field(default_factory=dict)
    amount: AskedFigure | None = None
    of: str = "tree"


_SHARES = (
    ("1 in 100", 1.0),
    ("1 in 20", 5.0),
    ("1 in 10", 10.0),
    ("1 in 4", 25.0),
    ("half", 50.0),
    ("all", 100.0),
)
_PESTS = (
    ("scab", "scab", "leaves"), ("mildew", "powdery mildew", "shoots"), ("fire blight", "fire blight", "shoots"),
    ("aphids", "aphids", "shoots"), ("codling moth", "codling moth", "fruit"), ("rot", "rot", "fruit"),
    ("frost", "frost", "flowers"), ("hail", "hail", "fruit"), ("deer", "deer", "shoots"),
    ("gnawed bark", "voles or rabbits", "trunk"),
)  # fmt: skip


def offers(reader: Reader) -> tuple[Offer, ...]:
    """Everything a phone can note, in the reader's units."""
    us = reader.us
    fine = INCH if us else MM
    fine_unit = "in" if us else "mm"
    share = AskedFigure("share", HUNDREDTH, "of those looked at", choices=_SHARES)
    fruit_size = AskedFigure(
        "diameters", fine, fine_unit, 1.5 if us else 40.0, (-0.25, -0.0625, 0.0625, 0.25) if us else (-5, -1, 1, 5),
        high=6 if us else 150, low=0.125 if us else 3, many=True,
    )  # fmt: skip
    trunk = AskedFigure(
        "diameter", fine, fine_unit, 1.0 if us else 25.0, (-0.5, -0.125, 0.125, 0.5) if us else (-10, -1, 1, 10),
        high=12 if us else 300, low=0.125 if us else 3,
    )  # fmt: skip
    number = AskedFigure("count", 1.0, "", 0.0, (-10, -1, 1, 10, 50, 100), whole=True)
    return (
        *(Offer(str(stage), str(stage), EntryKind.STAGE, {"stage": str(stage)}) for stage in SeenStage),
        *(
            Offer(str(what), f"{what}, counted", EntryKind.FRUIT_COUNT, {"counted": str(what), "trees": 1}, number)
            for what in Counted
        ),
        Offer("size", "a fruit’s size", EntryKind.FRUIT_SIZE, {}, fruit_size),
        Offer(
            "starch", "starch", EntryKind.FRUIT_TEST, {"fruits": 1},
            AskedFigure("starch", 1.0, "of 8", choices=tuple((str(one), float(one)) for one in range(1, 9))),
        ),
        Offer(
            "sugar", "sugar of the juice", EntryKind.FRUIT_TEST, {"fruits": 1},
            AskedFigure("brix", 1.0, "°Brix", 12.0, (-1, -0.5, 0.5, 1), high=30),
        ),
        *(Offer(name, name, EntryKind.PEST, {"what": what, "on": on}, share) for name, what, on in _PESTS),
        Offer("trunk", "trunk, across", EntryKind.TRUNK, {}, trunk),
        Offer("dead", "a dead tree", EntryKind.TREE, {"event": str(TreeEvent.DIED)}),
        Offer(
            "water", "water ran", EntryKind.WATERING, {},
            AskedFigure("hours", 1.0, "h", 1.0, (-1, -0.5, 0.5, 1), high=48), of="row",
        ),
    )  # fmt: skip


def crates(reader: Reader) -> AskedFigure:
    """Fruit picked, by the bushel crate, which counts as it is told: two of 18 kg are 36 kg."""
    return AskedFigure(
        "mass", _crate(reader), "crates", 1.0, (-1, -0.5, 0.5, 1, 5, 10), low=0.5, high=2_000, also="crates",
    )  # fmt: skip


def crate_says(reader: Reader) -> str:
    return reader.text(_crate(reader), Kind.MASS, 0)


def _crate(reader: Reader) -> float:
    """[kg] whole in the reader's unit."""
    unit = unit_of(Kind.MASS, reader.system)
    return to_si(round(from_si(CRATE, unit, Kind.MASS)), unit, Kind.MASS)


_WINTER = ("silver tip", "green tip", "trunk", "gnawed bark", "deer", "dead")
_SPRING = ("green tip", "half-inch green", "tight cluster", "frost", "gnawed bark", "dead")
_CLUSTER = ("tight cluster", "pink", "first bloom", "clusters", "frost", "dead")
_BLOOM = ("first bloom", "full bloom", "clusters", "frost", "aphids", "dead")
_FALL = ("petal fall", "fruit set", "fruitlets", "scab", "fire blight", "dead")
_LIKELY: Mapping[SeasonStage, tuple[str, ...]] = {
    SeasonStage.DORMANT: _WINTER,
    SeasonStage.SILVER_TIP: _SPRING,
    SeasonStage.GREEN_TIP: _SPRING,
    SeasonStage.HALF_INCH_GREEN: _CLUSTER,
    SeasonStage.TIGHT_CLUSTER: _CLUSTER,
    SeasonStage.PINK: _BLOOM,
    SeasonStage.FIRST_BLOOM: _BLOOM,
    SeasonStage.FULL_BLOOM: ("full bloom", "petal fall", "clusters", "frost", "fire blight", "dead"),
    SeasonStage.PETAL_FALL: _FALL,
    SeasonStage.GROWING: ("size", "fruits", "scab", "codling moth", "fire blight", "dead"),
    SeasonStage.RIPE: ("starch", "sugar", "size", "codling moth", "rot", "dead"),
    SeasonStage.OVER: ("last pick", "leaf fall", "rot", "gnawed bark", "trunk", "dead"),
}
UNKNOWN_STAGE = ("full bloom", "size", "fruits", "scab", "trunk", "dead")


def likely(stage: SeasonStage | None) -> tuple[str, ...]:
    """The six a phone shows first."""
    return UNKNOWN_STAGE if stage is None else _LIKELY[stage]
