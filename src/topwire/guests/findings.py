"""What guests are shown: a card for each cultivar, the board of a day, a walk through the rows."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from topwire.guests.asked import CookWords, FactTells, NameDoubt
from topwire.guests.dated import ToldTime
from topwire.season.asked import RowTrees
from topwire.values.notice import Notice
from topwire.values.quantities import DayOfYear, Plain
from topwire.values.terms import Use
from topwire.values.units import UnitSystem


class InSeason(StrEnum):
    """Where a cultivar is in its year, for somebody who wants to eat it."""

    TABLE = "table"  # to be eaten as it is, now
    COOK = "cook"  # in a dish of the board, past its best raw or none to eat raw
    KEPT = "kept"  # in the cellar while the kitchen serves no apples, good to eat
    KEPT_TO_COOK = "kept_to_cook"  # in the cellar and in no dish, good to cook
    MELLOWS = "mellows"  # picked, not mellow yet
    FOR_LATER = "for_later"  # ripe on the tree and being picked, not mellow yet
    PICKED = "picked"  # ripe on the tree
    PRESS = "press"  # at hand or ripe, for the press alone
    BLOOMS = "blooms"
    COMES = "comes"  # ripens later this year
    OVER = "over"
    YOUNG = "young"  # bears nothing yet


@dataclass(frozen=True)
class SeasonNow:
    """Attributes
    ----------
    until : ISO day to which it is good, of what is at hand
    ready : ISO day on which it is mellow
    ripe, over : middle day of the first and last pick
    keeps_to : ISO day to which this year's crop is good to eat, in an ordinary cellar year
    """

    state: InSeason
    until: str | None
    ready: str | None
    ripe: DayOfYear | None
    over: DayOfYear | None
    keeps_to: str | None


@dataclass(frozen=True)
class ToldFact:
    """A fact for the card; `read` False: told, but in no source that was seen."""

    says: str
    dated: ToldTime | None
    place: str
    sources: tuple[str, ...]
    read: bool
    tells: FactTells


@dataclass(frozen=True)
class CultivarCard:
    """Attributes
    ----------
    page : name of its page, without an ending
    origin, origin_read : where it comes from; None = nobody knows
    since : when it arose, by a fact that tells it
    known : its oldest notice, where no fact tells when it arose and the catalogue's era is no earlier
    era : the catalogue's, told where there is neither; era_read : found in a source
    manner : number of the way its words are put, so that no neighbours sound alike
    """

    name: str
    page: str
    other_names: tuple[str, ...]
    origin: str | None
    origin_read: bool
    since: ToldTime | None
    known: ToldTime | None
    era: str | None
    era_read: bool
    facts: tuple[ToldFact, ...]
    doubts: tuple[NameDoubt, ...]
    cook: CookWords | None
    pressed_only: bool
    season: SeasonNow
    rows: tuple[RowTrees, ...]
    manner: Annotated[int, Plain.COUNT]


@dataclass(frozen=True)
class BoardDish:
    """What the kitchen makes this week and of which apples; `kept`: made earlier, from jar, bottle or rack."""

    use: Use
    dish: str
    fruit: tuple[str, ...]
    kept: bool


@dataclass(frozen=True)
class TableBoard:
    """Attributes
    ----------
    raw : cultivars to be eaten as they are, those that end first in front
    picked : ripe on the trees this week
    """

    raw: tuple[str, ...]
    dishes: tuple[BoardDish, ...]
    picked: tuple[str, ...]
    blooms: tuple[str, ...]
    juice: bool
    cider: bool


class SeenInRow(StrEnum):
    """What a guest finds at a row this week."""

    BLOOMS = "blooms"
    OPENS = "opens"  # within the week
    RIPE = "ripe"
    RIPENS = "ripens"  # within the week


@dataclass(frozen=True)
class WalkStop:
    """Trees of one cultivar in one row."""

    row: str
    first: Annotated[int, Plain.COUNT]
    last: Annotated[int, Plain.COUNT]
    trees: Annotated[int, Plain.COUNT]
    cultivar: str
    seen: SeenInRow
    day: DayOfYear


@dataclass(frozen=True)
class ComesNext:
    """What comes to bloom or ripens next, where the walk finds nothing."""

    cultivar: str
    blooms: bool
    day: DayOfYear


@dataclass(frozen=True)
class GuestsFindings:
    """Cards in the order of the alphabet; stops in walking order."""

    name: str
    units: UnitSystem
    day: str
    web_address: str | None
    recorded: bool
    closed: bool
    cards: tuple[CultivarCard, ...]
    board: TableBoard
    walk: tuple[WalkStop, ...]
    next: ComesNext | None
    notices: tuple[Notice, ...]
