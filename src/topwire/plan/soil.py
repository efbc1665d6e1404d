"""The soil of the place, its tests and how it is limed."""

from enum import StrEnum
from typing import Literal

from pydantic import Field, model_validator

from topwire.plan.base import Section
from topwire.plan.fields import Length
from topwire.values.terms import Fertility, Texture


class SoilUnit(StrEnum):
    """What the laboratory counts nutrients in."""

    PARTS = "ppm"  # the same as mg/kg
    POUNDS = "lb/acre"


class SoilTest(Section):
    """A laboratory's report; every line may be left out."""

    ph: float | None = Field(None, ge=3, le=10, description="in water, 0-20 cm (0-8 in)")
    ph_below: float | None = Field(None, ge=3, le=10, description="in water, 20-40 cm (8-16 in)")
    buffer_ph: float | None = Field(None, ge=4, le=7.5, description="buffer reading, where there is one")
    buffer: Literal["smp", "carolina"] = Field(
        "smp", description="smp, or carolina for the buffer that starts at 6.6"
    )
    acidity: float | None = Field(None, ge=0, le=60, description="exchangeable acidity, meq/100 g")
    organic_matter: float | None = Field(None, ge=0, le=100, description="per cent")
    unit: SoilUnit = Field(SoilUnit.PARTS, description="what the nutrients below are counted in")
    phosphorus: float | None = Field(None, ge=0, le=5000, description="in that unit, as P")
    phosphorus_by: Literal["olsen", "bray", "mehlich"] | None = Field(
        None, description="the laboratory's method for phosphorus; its number means nothing without it"
    )
    potassium: float | None = Field(None, ge=0, le=10_000, description="in that unit, as K")
    magnesium: float | None = Field(None, ge=0, le=10_000, description="in that unit")
    sulphur: float | None = Field(None, ge=0, le=10_000, description="in that unit")
    boron: float | None = Field(None, ge=0, le=200, description="in that unit")
    lesion_nematodes: float | None = Field(None, ge=0, le=1e6, description="root-lesion, a kilogram of soil")
    dagger_nematodes: float | None = Field(None, ge=0, le=1e6, description="dagger, a kilogram of soil")
    drainage_hours: float | None = Field(
        None, ge=0, le=1000, description="until a hole of 45 cm (18 in), filled with water, is empty"
    )

    @model_validator(mode="after")
    def _buffer(self) -> "SoilTest":
        if self.ph is None and any(value is not None for value in (self.buffer_ph, self.acidity)):
            raise ValueError(
                "a buffer reading or an acidity says how much lime only beside the soil's own ph"
            )
        return self


class LimeLabel(Section):
    """What the label of the lime at hand says; per cent."""

    neutralising: float = Field(ge=20, le=180, description="neutralising value, pure lime = 100")
    pass_8: float | None = Field(None, ge=0, le=100, description="per cent that passes 8 mesh (2.4 mm)")
    pass_20: float = Field(ge=0, le=100, description="per cent that passes 20 mesh (0.85 mm)")
    pass_60: float = Field(ge=0, le=100, description="per cent that passes 60 mesh (0.25 mm)")
    pass_100: float | None = Field(None, ge=0, le=100, description="per cent that passes 100 mesh (0.15 mm)")

    @model_validator(mode="after")
    def _falling(self) -> "LimeLabel":
        given = [
            value for value in (self.pass_8, self.pass_20, self.pass_60, self.pass_100) if value is not None
        ]
        if sorted(given, reverse=True) != given:
            raise ValueError(
                "more passes a coarse sieve than a fine one: pass_8, pass_20, pass_60, pass_100 may not rise"
            )
        if (self.pass_8 is None) == (self.pass_100 is None):
            raise ValueError("give pass_100, or pass_8 where the label has no 100 mesh; one of the two")
        return self


class LeafTest(Section):
    """A leaf laboratory's report, shares of dry matter; every line may be left out."""

    nitrogen: float | None = Field(None, gt=0, le=6, description="per cent")
    phosphorus: float | None = Field(None, gt=0, le=2, description="per cent")
    potassium: float | None = Field(None, gt=0, le=6, description="per cent")
    calcium: float | None = Field(None, gt=0, le=6, description="per cent")
    magnesium: float | None = Field(None, gt=0, le=3, description="per cent")
    boron: float | None = Field(None, gt=0, le=1000, description="ppm")
    zinc: float | None = Field(None, gt=0, le=5000, description="ppm")
    manganese: float | None = Field(None, gt=0, le=5000, description="ppm")
    shoots: Length | None = Field(
        None, ge=0, le=3, description="length of this year's shoots, mean of ten trees"
    )
    bearing: bool = Field(False, description="the trees bear")


class Soil(Section):
    texture: Texture = Field(Texture.LOAM, description="soil texture, by feel or by laboratory")
    depth: Length = Field(0.9, gt=0.1, le=5.0, description="depth roots can use, to rock, pan or water")
    fertility: Fertility = Field(Fertility.MEDIUM, description="poor, medium or fertile")
    replant: bool = Field(False, description="apples or pears stood here within the last ten years")
    test: SoilTest | None = Field(None, description="the laboratory's report, as far as there is one")
    leaf_test: LeafTest | None = Field(None, description="a leaf laboratory's report of young trees")
    ph_wanted: float = Field(6.5, ge=5.5, le=7.0, description="pH the topsoil is limed to before planting")
    ph_wanted_below: float = Field(6.5, ge=5.5, le=7.0, description="the same below 20 cm (8 in)")
    lime_depth: Length = Field(0.3, ge=0.1, le=0.6, description="depth lime is worked in to before planting")
    lime_effective: float = Field(
        0.75,
        ge=0.3,
        le=1.1,
        description="neutralising value times fineness of the lime at hand, 0.75 = 75 %",
    )
    lime_label: LimeLabel | None = Field(
        None, description="sieves of the lime at hand; wins over lime_effective"
    )
