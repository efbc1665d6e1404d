"""The whole plan: what the grower wants, in one frozen value."""

from typing import Literal

from pydantic import Field

from topwire.plan.base import Section
from topwire.plan.guests import GuestsSection
from topwire.plan.kitchen import KitchenSection, TasteSection
from topwire.plan.place import GroundSection, PlaceSection, WeatherSection
from topwire.plan.trees import (
    MoneySection,
    NurserySection,
    TreesSection,
    TrellisSection,
    WaterSection,
    YearsSection,
)
from topwire.values.units import UnitSystem


class Plan(Section):
    """plan.yaml, read and checked. Quantities are in SI."""

    name: str = Field(min_length=1, max_length=80, description="the orchard's name")
    units: Literal["us", "metric"] = Field(
        "metric", description="us or metric: what every page and sheet shows"
    )
    place: PlaceSection
    weather: WeatherSection = Field(default_factory=lambda: WeatherSection())
    ground: GroundSection
    kitchen: KitchenSection
    taste: TasteSection = Field(default_factory=lambda: TasteSection())
    trees: TreesSection = Field(default_factory=lambda: TreesSection())
    years: YearsSection
    trellis: TrellisSection = Field(default_factory=lambda: TrellisSection())
    water: WaterSection = Field(default_factory=lambda: WaterSection())
    nursery: NurserySection = Field(default_factory=lambda: NurserySection())
    money: MoneySection = Field(default_factory=lambda: MoneySection())
    guests: GuestsSection = Field(default_factory=lambda: GuestsSection())

    @property
    def unit_system(self) -> UnitSystem:
        return UnitSystem(self.units)
