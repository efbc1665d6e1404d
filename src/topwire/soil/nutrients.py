"""Phosphorus, potassium, sulphur, boron and organic matter before planting: what a test says and what it asks for."""

from dataclasses import dataclass
from enum import StrEnum

from topwire.values.quantities import KilogramsPerSquareMetre, Ratio

PARTS_IN_A_SLICE = 2.0  # pounds an acre for one part in a million, in a slice of 6 to 7 in (common practice)
_HECTARE = 1e4  # [m2]


class Nutrient(StrEnum):
    ACIDITY = "acidity"  # pH
    SUBSOIL = "subsoil"  # pH of 20-40 cm
    ORGANIC = "organic matter"
    PHOSPHORUS = "phosphorus"
    POTASSIUM = "potassium"
    MAGNESIUM = "magnesium"
    SULPHUR = "sulphur"
    BORON = "boron"
    LESION = "root-lesion nematodes"
    DAGGER = "dagger nematodes"
    DRAINAGE = "drainage"


class Level(StrEnum):
    LOW = "low"
    RIGHT = "right"
    HIGH = "high"


class Extract(StrEnum):
    """How the laboratory takes phosphorus out of the soil."""

    OLSEN = "olsen"
    BRAY = "bray"
    MEHLICH = "mehlich"


@dataclass(frozen=True)
class Range:
    """Least and most that is right; None: no limit read."""

    least: Ratio | None
    most: Ratio | None
    source: str


# Parts in a million unless said otherwise; nematodes for one kilogram of soil, drainage in hours.
RANGES: dict[Nutrient, Range] = {
    Nutrient.ACIDITY: Range(6.0, 7.5, "SOIL-WSU119"),
    Nutrient.SUBSOIL: Range(6.0, 7.5, "SOIL-WSU119"),
    Nutrient.ORGANIC: Range(2.0, None, "SOIL-OMAFRA-PREPARE"),
    Nutrient.POTASSIUM: Range(150.0, 250.0, "SOIL-WSU119"),
    Nutrient.MAGNESIUM: Range(100.0, 250.0, "SOIL-OMAFRA-FEED"),
    Nutrient.SULPHUR: Range(10.0, 20.0, "SOIL-ORGANIC142"),
    Nutrient.BORON: Range(1.0, 1.5, "SOIL-WSU119"),
    Nutrient.LESION: Range(None, 1000.0, "SOIL-OMAFRA-NEMATODES"),
    Nutrient.DAGGER: Range(None, 100.0, "SOIL-OMAFRA-NEMATODES"),
    Nutrient.DRAINAGE: Range(None, 24.0, "SOIL-HOLE"),
}
_PHOSPHORUS = {Extract.OLSEN: Range(12.0, 40.0, "SOIL-OMAFRA-FEED")}
_SHARP_LESION = 200.0  # on sand and old orchard ground (SOIL-PNW)
GOOD_DRAINAGE = 1.0  # [h]
TOO_WET = 24.0  # [h] the hole holds water longer: drain before anything else


def range_of(nutrient: Nutrient, extract: Extract | None = None, *, careful: bool = False) -> Range | None:
    """What is right; None where no limit was read for that laboratory's method.

    Parameters
    ----------
    extract : Extract, optional
        Of phosphorus.
    careful : bool
        Sand, or old orchard ground: the stricter limit of root-lesion nematodes.
    """
    if nutrient is Nutrient.PHOSPHORUS:
        return None if extract is None else _PHOSPHORUS.get(extract)
    if nutrient is Nutrient.LESION and careful:
        return Range(None, _SHARP_LESION, "SOIL-PNW")
    return RANGES[nutrient]


def verdict_of(value: float, limits: Range) -> Level:
    if limits.least is not None and value < limits.least:
        return Level.LOW
    return Level.HIGH if limits.most is not None and value > limits.most else Level.RIGHT


@dataclass(frozen=True)
class Dose:
    """Nutrient to work in, from the milder to the fuller rule."""

    least: KilogramsPerSquareMetre
    most: KilogramsPerSquareMetre


def phosphate(parts: float, wanted: float) -> Dose:
    """P2O5 to bring a test up: 22 to 40 kg/ha for each part in a million (both memory)."""
    short = max(wanted - parts, 0.0)
    return Dose(22 * short / _HECTARE, 40 * short / _HECTARE)


def potash(parts: float, wanted: float) -> Dose:
    """K2O to bring a test up: 300 to 500 kg/ha for 50 parts in a million (memory)."""
    short = max(wanted - parts, 0.0) / 50
    return Dose(300 * short / _HECTARE, 500 * short / _HECTARE)


def boron(parts: float) -> Dose:
    """1 to 2 kg/ha of boron, on a low test only (memory); never without one."""
    low = parts < (RANGES[Nutrient.BORON].least or 0.0)
    return Dose(1 / _HECTARE, 2 / _HECTARE) if low else Dose(0.0, 0.0)


def gypsum(parts: float, ph: float) -> Dose:
    """196 kg/ha where sulphur is below 10 parts in a million and pH at most 6.5 (SOIL-ORGANIC142)."""
    low = parts < 10 and ph <= 6.5
    return Dose(*(196 / _HECTARE,) * 2) if low else Dose(0.0, 0.0)


def parts_of_pounds(pounds_an_acre: float) -> float:
    """Parts in a million from pounds an acre of a slice of 6 to 7 in."""
    return pounds_an_acre / PARTS_IN_A_SLICE
