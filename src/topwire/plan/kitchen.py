"""Plan sections on what the kitchen wants: needs by use and week, the cellar, taste."""

from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from topwire.plan.base import Section
from topwire.plan.fields import Area, Day, Mass, NeedAmount, Temperature, Volume
from topwire.values.terms import CiderClass as CiderClass
from topwire.values.terms import CiderStyle as CiderStyle
from topwire.values.terms import Habit as Habit
from topwire.values.terms import Pan as Pan
from topwire.values.terms import PressKind as PressKind
from topwire.values.terms import Resistance as Resistance
from topwire.values.terms import Risk as Risk
from topwire.values.terms import SoldIn
from topwire.values.terms import Use as Use

MIXED = (Use.JUICE, Use.CIDER, Use.SAUCE, Use.BUTTER)  # of several cultivars
COOKED = (Use.PIE, Use.BAKED, Use.SAUCE)
PRODUCTS = (Use.SAUCE, Use.DRIED, Use.BUTTER, Use.JUICE, Use.CIDER)  # made once, eaten or drunk for months


class Dishes(Section):
    """A need told in covers: guests a week, or seats, services and how full they are; a share takes the dish."""

    guests_per_week: float | None = Field(
        None, gt=0, le=100_000, description="covers or guests in a week; or say seats and services_per_week"
    )
    seats: float | None = Field(None, gt=0, le=10_000, description="seats of the dining room")
    services_per_week: float | None = Field(
        None, gt=0, le=50, description="meals served in a week at these seats"
    )
    full: float = Field(0.7, gt=0, le=1, description="share of the seats that are taken (0.7 = seven in ten)")
    share: float = Field(gt=0, le=1, description="share of them that take the dish (1 in 3 = 0.33)")
    dish: str = Field(description="a dish of the kitchen table: see `topwire show kitchen`")

    @model_validator(mode="after")
    def _counted(self) -> "Dishes":
        by_seats = self.seats is not None or self.services_per_week is not None
        if by_seats == (self.guests_per_week is not None):
            raise ValueError("say either guests_per_week, or seats with services_per_week; give exactly one")
        if by_seats and (self.seats is None or self.services_per_week is None):
            raise ValueError("seats and services_per_week go together")
        return self

    @property
    def guests(self) -> float:
        """Covers in a week."""
        if self.guests_per_week is not None:
            return self.guests_per_week
        return (self.seats or 0.0) * (self.services_per_week or 0.0) * self.full


class BlendBounds(Section):
    """Bounds on what is mixed, over its season; those left out stay the catalogue's (blend_bounds.csv)."""

    acid_low: float | None = Field(
        None, ge=0, le=30, description="least acid of the mixed juice, g/L as malic"
    )
    acid_high: float | None = Field(
        None, gt=0, le=30, description="most acid of the mixed juice, g/L as malic"
    )
    tannin_low: float | None = Field(None, ge=0, le=15, description="least tannin of the mixed juice, g/L")
    tannin_high: float | None = Field(None, gt=0, le=15, description="most tannin of the mixed juice, g/L")
    sugar_low: float | None = Field(None, ge=0, le=30, description="least sugar of the mixed juice, °Brix")
    sugar_high: float | None = Field(None, gt=0, le=30, description="most sugar of the mixed juice, °Brix")
    bitter_high: float | None = Field(
        None, ge=0, le=1, description="largest share of fruit of the bitter cider classes (0.1 = a tenth)"
    )
    ph_low: float | None = Field(None, ge=2.5, le=5, description="least pH of the mixed juice")
    ph_high: float | None = Field(None, ge=2.5, le=5, description="most pH of the mixed juice")
    hard_high: float | None = Field(
        None,
        ge=0,
        le=1,
        description="largest share of fruit whose tannin is hard, not soft (0.3 = three tenths)",
    )
    table_high: float | None = Field(
        None, ge=0, le=1, description="largest share of fruit that is of no cider class (0.5 = half)"
    )

    @model_validator(mode="after")
    def _order(self) -> "BlendBounds":
        for name in ("acid", "tannin", "sugar", "ph"):
            low, high = getattr(self, f"{name}_low"), getattr(self, f"{name}_high")
            if low is not None and high is not None and low >= high:
                raise ValueError(f"{name}_low ({low}) has to be below {name}_high ({high})")
        return self


class Need(Section):
    use: Use = Field(description="fresh, sauce, pie, baked, dried, butter, juice or cider")
    amount: NeedAmount | None = Field(
        None, description="whole fruit, juice and cider too: “40 lb/week”, or “900 lb/season” for all of it"
    )
    dishes: Dishes | None = Field(None, description="or the same in guests and dishes")
    start: Day | None = Field(None, alias="from", description="first day it is wanted, “10 Aug”")
    end: Day | None = Field(None, alias="to", description="last day it is wanted, “20 May”")
    weight: float = Field(
        1.0,
        gt=0,
        le=100,
        description="how much a missing pound matters beside other needs: 3 = as much as three pounds of a need of 1",
    )
    cider_class: CiderClass | None = Field(None, description="for cider: the class wanted")
    blend: BlendBounds | Literal["usual", "sweet cider", "none"] | None = Field(
        None,
        description="for juice, cider, sauce and butter: bounds on what is mixed; none given or “usual” = the "
        "catalogue's for the product; for juice also “sweet cider”, with a little bitter fruit; “none” = no bounds",
    )
    pan: Pan | Literal["any"] | None = Field(
        None,
        description="for pie, baked and sauce: only fruit that holds its shape, softens or falls when cooked, or any; "
        "none given = the catalogue's for the use",
    )
    picked_by_guests: bool = Field(
        False, description="for fresh: guests pick it themselves, so only fruit of the week's own pick counts"
    )
    weekly_capacity: Mass | None = Field(
        None, gt=0, description="for a product: fruit the kitchen can turn into it in a week at the most"
    )
    used_from: Day | None = Field(
        None, description="for a product: first day it is eaten or drunk; from and to say when it is made"
    )
    used_to: Day | None = Field(
        None,
        description="for a product: last day it is eaten or drunk; before the making = out of last year's",
    )
    keeps: float | None = Field(
        None,
        gt=0,
        le=520,
        description="for a product with a period of use: weeks it keeps after it is made; none given = the catalogue's",
    )

    @model_validator(mode="after")
    def _said(self) -> "Need":
        if (self.amount is None) == (self.dishes is None):
            raise ValueError(
                "a need is stated either as amount (“40 lb/week”) or as dishes; give exactly one"
            )
        if self.start is None or self.end is None:
            raise ValueError("a need has its weeks: give from and to, for instance from: 10 Aug, to: 20 May")
        if self.cider_class is not None and self.use is not Use.CIDER:
            raise ValueError("cider_class goes with use: cider only")
        if self.blend is not None and self.use not in MIXED:
            raise ValueError(f"blend goes with what is mixed ({', '.join(MIXED)}), not with {self.use}")
        if self.blend == "sweet cider" and self.use is not Use.JUICE:
            raise ValueError("blend: sweet cider is unfermented and goes with use: juice only")
        if self.pan is not None and self.use not in COOKED:
            raise ValueError(f"pan goes with what is cooked ({', '.join(COOKED)}), not with {self.use}")
        self._period_of_use()
        if self.picked_by_guests and self.use is not Use.FRESH:
            raise ValueError("picked_by_guests goes with use: fresh only")
        return self

    def _period_of_use(self) -> None:
        if (self.used_from is None) != (self.used_to is None):
            raise ValueError("a period of use has two ends: give used_from and used_to, or neither")
        if self.used_from is None:
            if self.keeps is not None:
                raise ValueError("keeps goes with used_from and used_to, the days between which it is eaten")
            return
        if self.use not in PRODUCTS:
            raise ValueError(
                f"used_from and used_to go with what is made and put by ({', '.join(PRODUCTS)}), not with {self.use}"
            )
        if self.dishes is not None or (self.amount is not None and self.amount.weekly):
            raise ValueError(
                "with a period of use state all that is made, “900 lb/season”: it is eaten in equal parts from "
                "used_from to used_to"
            )


class Cider(Section):
    style: CiderStyle = Field(
        description="still dry, bottle conditioned, keeved sweet, house blend or vinegar"
    )
    amount: Volume = Field(
        gt=0,
        description="what is to be in bottle, keg or cask in a year, lees left behind: “1500 L”, “400 gal”",
    )
    start: Day | None = Field(
        None, alias="from", description="first day fruit is pressed for it; none given = the press's"
    )
    end: Day | None = Field(None, alias="to", description="last day fruit is pressed for it")
    weight: float = Field(
        2.0, gt=0, le=100, description="how much a missing pound of its fruit matters beside other needs"
    )
    blend: BlendBounds | Literal["usual", "none"] | None = Field(
        None,
        description="bounds on its juice; none given or “usual” = the catalogue's for the style; “none” = no bounds",
    )

    @model_validator(mode="after")
    def _both(self) -> "Cider":
        if (self.start is None) != (self.end is None):
            raise ValueError("the pressing of a style has two ends: give from and to, or neither")
        return self


class Tank(Section):
    volume: Volume = Field(gt=0, description="what one holds: “1000 L”, “60 gal”")
    number: int = Field(1, ge=1, le=500, description="how many of that size")
    barrel: bool = Field(False, description="a wooden barrel, not a tank")


class Cellar(Section):
    temperature: Temperature = Field(
        2.0, ge=-1.5, le=15, description="temperature the cellar holds in winter"
    )
    capacity: Mass | None = Field(None, gt=0, description="fruit it holds; none given = not a limit")
    floor: Area | None = Field(None, gt=0, description="floor area, for the worth of more of it")


class Press(Section):
    weekly_capacity: Mass | None = Field(
        None, gt=0, description="fruit pressed in a week at the most; or say days_a_week and a_day"
    )
    days_a_week: float | None = Field(None, gt=0, le=7, description="days the press runs in a week")
    a_day: Mass | None = Field(None, gt=0, description="fruit milled and pressed in a day")
    kind: PressKind = Field(
        PressKind.RACK_AND_CLOTH, description="basket, rack and cloth, water bladder or belt: gives the juice"
    )
    juice: float | None = Field(
        None, ge=0.3, le=0.9, description="litres of juice of a kilogram of fruit; none given = the press's"
    )
    start: Day | None = Field(None, alias="from", description="first day the press runs")
    end: Day | None = Field(None, alias="to", description="last day the press runs")

    @model_validator(mode="after")
    def _counted(self) -> "Press":
        if (self.days_a_week is None) != (self.a_day is None):
            raise ValueError("days_a_week and a_day go together")
        if self.weekly_capacity is not None and self.a_day is not None:
            raise ValueError("say either weekly_capacity, or days_a_week and a_day")
        return self

    @property
    def a_week(self) -> float | None:
        """Fruit pressed in a week at the most [kg]; None = not a limit."""
        if self.a_day is not None and self.days_a_week is not None:
            return self.a_day * self.days_a_week
        return self.weekly_capacity


class KitchenSection(Section):
    needs: Annotated[list[Need], Field(max_length=60)] = Field(
        default_factory=list, description="what is wanted, by use"
    )
    cider: Annotated[list[Cider], Field(max_length=12)] = Field(
        default_factory=list, description="cider by style, in finished volume; the fruit for it follows"
    )
    tanks: Annotated[list[Tank], Field(max_length=40)] = Field(
        default_factory=list, description="tanks and barrels there are for juice and cider"
    )
    different_on_the_board: int = Field(
        2, ge=0, le=12, description="different table cultivars wanted in every open week of the table season"
    )
    risk: Risk = Field(
        Risk.CAREFUL,
        description="careful: the worst fifth of weather years counts three tenths beside the mean; even: every year "
        "counts alike, so that a middle year is served a little better and a bad one worse",
    )
    in_its_prime: bool = Field(
        False,
        description="true: fruit for the table that has lain for two thirds of its life counts less than fresher",
    )
    closed_weeks: list[Annotated[int, Field(ge=1, le=52)]] = Field(
        default_factory=list, description="weeks of the year (1 to 52) without guests"
    )
    cellar: Cellar = Field(default_factory=lambda: Cellar())
    press: Press = Field(default_factory=lambda: Press())

    @field_validator("closed_weeks", mode="after")
    @classmethod
    def _open(cls, value: list[int]) -> list[int]:
        if len(set(value)) >= 52:
            raise ValueError("all weeks of the year are closed; a kitchen without guests needs no orchard")
        return value

    @model_validator(mode="after")
    def _wanted(self) -> "KitchenSection":
        if not self.needs and not self.cider:
            raise ValueError("nothing is wanted: give at least one of needs, or one style under cider")
        return self


class TasteSection(Section):
    must_have: list[str] = Field(default_factory=list, description="cultivars that have to be there")
    must_not_have: list[str] = Field(default_factory=list, description="cultivars that may not")
    favourites: list[str] = Field(
        default_factory=list, description="cultivars you would rather have, where little is lost by it"
    )
    dislikes: list[str] = Field(
        default_factory=list, description="cultivars you would rather not have, where little is lost by it"
    )
    fewest_cultivars: int = Field(12, ge=1, le=150, description="at least so many cultivars")
    most_cultivars: int = Field(36, ge=1, le=150, description="at most so many")
    heritage_share: float = Field(
        0.0, ge=0, le=1, description="least share of trees of cultivars known before 1900 (0.5 = half)"
    )
    disease_resistance: Resistance = Field(Resistance.ANY, description="any, some or strong")
    leave_out: list[Habit] = Field(
        default_factory=list,
        description="kinds of tree not wanted but in must_have: tip bearers (partial ones too), triploids, weak "
        "growers; cultivars of which it is not known stay",
    )
    own_grafts_only: bool = Field(
        False, description="no cultivars that have to be bought, but those in must_have and standing trees"
    )
    sold_in: SoldIn = Field(
        SoldIn.HERE,
        description="here: an orchard in Europe gets cultivars usually to be had there (sold_in_europe.csv), and those "
        "the plan names; or anywhere",
    )
    fewest_trees: int = Field(10, ge=1, le=1000, description="smallest number of trees of a chosen cultivar")
    most_lost: float | None = Field(
        None,
        gt=0,
        le=1,
        description="largest share of all the kitchen wants that may be missing, beside the best plan, once the trees "
        "of any one cultivar are lost (0.05 = a twentieth); none = no limit",
    )
    most_picked: Mass | Literal["hands"] | None = Field(
        None,
        description="most fruit picked in a week, in the mean of the weather years: “2000 lb”, or hands = what "
        "money.hands pick in their hours; none = no limit",
    )
    most_trees: int = Field(200, ge=1, le=5000, description="largest number of trees of one cultivar")

    @model_validator(mode="after")
    def _order(self) -> "TasteSection":
        if self.fewest_cultivars > self.most_cultivars:
            raise ValueError(
                f"fewest_cultivars ({self.fewest_cultivars}) is above most_cultivars ({self.most_cultivars})"
            )
        if self.fewest_trees > self.most_trees:
            raise ValueError(f"fewest_trees ({self.fewest_trees}) is above most_trees ({self.most_trees})")
        liked = sorted({*self.favourites} & {*self.dislikes, *self.must_not_have})
        if liked:
            raise ValueError(f"{', '.join(liked)} stand under favourites and under dislikes or must_not_have")
        both = sorted(set(self.must_have) & set(self.must_not_have))
        if both:
            raise ValueError(f"{', '.join(both)} stand under must_have and under must_not_have")
        return self
