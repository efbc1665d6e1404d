"""The cellar and the kitchen on a day: what lies there and how long it is good, who gets it, what is made of it."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from topwire.values.notice import Notice
from topwire.values.quantities import (
    Celsius,
    DaysLong,
    GramsPerLitre,
    Kilograms,
    KilogramsArray,
    Plain,
    Share,
    SmallCubicMetres,
)
from topwire.values.units import UnitSystem

Weeks = Annotated[float, Plain.COUNT]


class UseFirst(StrEnum):
    """What a lot asks for, the most pressing first."""

    GONE = "past its life"
    NOW = "this week"
    SOON = "within a month"
    MELLOWING = "not mellow yet"
    KEEPS = "keeps"


@dataclass(frozen=True)
class LotState:
    """A lot of fruit in the cellar, or all fruit of a cultivar and grade where crates have no names.

    Attributes
    ----------
    kg : noted and not taken out; sound : of it, reckoned or found sound
    age : weeks since the middle of its picking
    table_left, kitchen_left : weeks it is still good to eat, and to cook or press; 0 = past that
    until : ISO day on which the shorter of the two that its grade serves ends; ended : on which it is past cooking too
    dried : share of its mass lost as water by then
    unused : of it, that the kitchen's programme finds no use for before it is past its life
    """

    lot: str
    cultivar: str
    grade: str
    stored: str
    picked: str
    kg: Kilograms
    sound: Kilograms
    age: Weeks
    table_left: Weeks
    kitchen_left: Weeks
    until: str
    ended: str
    dried: Share
    first: UseFirst
    unused: Kilograms


@dataclass(frozen=True)
class NeedLeft:
    """A need of the kitchen from this week on; arrays by week, `weeks` of them [kg].

    Attributes
    ----------
    last_week : week 1 to 52, the last this crop is meant for: before the next crop's first fruit for it, or the end of
        what is made once; what is wanted later stands nowhere
    lots : what serves it, cultivar and mass as it lies or hangs, the largest first
    """

    use: str
    dish: str
    wanted: KilogramsArray
    served: KilogramsArray
    last_week: Annotated[int, Plain.WEEK]
    lots: tuple[tuple[str, Kilograms], ...]

    @property
    def share(self) -> Share:
        wanted = float(self.wanted.sum())
        return float(self.served.sum()) / wanted if wanted > 0 else 1.0


@dataclass(frozen=True)
class BatchSheet:
    """What is made in the weeks to come of the fruit at hand.

    Attributes
    ----------
    fruit : cultivar and mass, the largest first
    juice : volume the plan's press gives, of what is pressed
    acid, tannin, sugar : of the mixture, [g/L], [g/L], [deg Brix]; alcohol : [% by volume] fermented dry
    ph, ph_read : of what is pressed; read by a meter in juice of this fruit, else about, by the acid
    sulphite : free sulphur dioxide that keeps a dry cider of it; None where the juice wants acid first
    """

    use: str
    kg: Kilograms
    fruit: tuple[tuple[str, Kilograms], ...]
    juice: SmallCubicMetres | None
    acid: GramsPerLitre
    tannin: GramsPerLitre
    sugar: Annotated[float, Plain.RATIO]
    alcohol: Annotated[float, Plain.RATIO] | None
    ph: Annotated[float, Plain.RATIO] | None
    ph_read: bool
    sulphite: GramsPerLitre | None


@dataclass(frozen=True)
class CellarFindings:
    """Attributes
    ----------
    temperature : read in the cellar within a month, else the plan's; read : it was read
    first_week : week 1 to 52 of `day`, the first of the needs' weeks
    """

    name: str
    units: UnitSystem
    day: str
    temperature: Celsius
    read: bool
    first_week: Annotated[int, Plain.WEEK]
    lots: tuple[LotState, ...]
    needs: tuple[NeedLeft, ...]
    batches: tuple[BatchSheet, ...]
    holds: Kilograms | None
    lies: Kilograms
    ahead: DaysLong
    notices: tuple[Notice, ...]
