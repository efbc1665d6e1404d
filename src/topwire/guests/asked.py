"""What cards, board and walk are asked of: the planted cultivars, what is told of them, and their season."""

from dataclasses import dataclass
from enum import StrEnum

from topwire.season.asked import RowTrees
from topwire.values.quantities import Count, DayOfYear
from topwire.values.terms import Pan, Use
from topwire.values.units import UnitSystem

KEPT = (Use.SAUCE, Use.BUTTER, Use.DRIED, Use.JUICE, Use.CIDER)  # made before it is served


class FactTells(StrEnum):
    """What year and place of a fact are."""

    ORIGIN = "origin"  # of its raising, finding or sending out
    HOME = "home"  # the place is its home; in that year it was known
    KNOWN = "known"  # of a notice, a list, a show
    TRADITION = "tradition"  # of what is said of it; neither is sure


@dataclass(frozen=True)
class StoryFact:
    """One fact as cultivar_stories.csv tells it; `read`: somebody saw it in its source."""

    says: str
    when: str
    place: str
    sources: tuple[str, ...]
    read: bool
    tells: FactTells = FactTells.KNOWN


@dataclass(frozen=True)
class NameDoubt:
    """Where accounts disagree."""

    says: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class CookWords:
    """What a cook finds, part by part; `…_read`: found in a source, else from memory."""

    texture: tuple[str, ...]
    texture_read: bool
    flavour: tuple[str, ...]
    flavour_read: bool
    pan: Pan | None
    pan_read: bool
    best_for: tuple[str, ...]


@dataclass(frozen=True)
class Hand:
    """Fruit at hand: weeks it is still good to eat and to cook, and until it is mellow.

    Attributes
    ----------
    picked : ISO day, middle of the picking
    """

    picked: str
    table: Count
    kitchen: Count
    mellow: Count


@dataclass(frozen=True)
class GuestCultivar:
    """A cultivar that stands in the ground.

    Attributes
    ----------
    origin, era : as the catalogue has them, None where nobody knows; `…_read`: found in a source
    uses : the kitchen's; pressed_only : grown for the press
    bears : there is a crop of it this year
    bloom : first bloom, full bloom, petal fall; ripe : first and last pick; middle days of the year, None = none
    keeps : weeks after the picking it is good to eat in this cellar; mellow : weeks until it is
    hand : at hand today
    """

    name: str
    other_names: tuple[str, ...]
    origin: str | None
    origin_read: bool
    era: str | None
    era_read: bool
    facts: tuple[StoryFact, ...]
    doubts: tuple[NameDoubt, ...]
    cook: CookWords | None
    uses: tuple[Use, ...]
    pressed_only: bool
    rows: tuple[RowTrees, ...]
    bears: bool
    bloom: tuple[DayOfYear, DayOfYear, DayOfYear] | None
    ripe: tuple[DayOfYear, DayOfYear] | None
    keeps: Count
    mellow: Count
    hand: tuple[Hand, ...]


@dataclass(frozen=True)
class DishNow:
    """A need of this week; `fruit`: cultivars that serve it, most first, by the cellar's sharing out or by the plan.
    Where records name none, any that can."""

    use: Use
    dish: str
    fruit: tuple[str, ...]


@dataclass(frozen=True)
class GuestsQuestion:
    """Attributes
    ----------
    recorded : picks were noted, so what is at hand is what they left; else it is by the plan
    closed : the kitchen serves nothing this week
    blocks : in walking order
    """

    name: str
    units: UnitSystem
    day: str
    web_address: str | None
    recorded: bool
    closed: bool
    blocks: tuple[str, ...]
    cultivars: tuple[GuestCultivar, ...]
    dishes: tuple[DishNow, ...]
