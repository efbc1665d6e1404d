"""The words of the first steps: what is chosen from, and a fault of the plan as who answers understands it."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from topwire.catalogue.model import Catalogue
from topwire.values.fault import FileNotice
from topwire.values.terms import CiderStyle, Exposure, Texture
from topwire.values.units import Kind, UnitSystem, from_si
from topwire.weather.record import Weather

EXPOSURES = {
    Exposure.SHELTERED: "sheltered: woods or houses for half a mile",
    Exposure.OPEN_COUNTRY: "open country: fields, hedges, a few trees",
    Exposure.OPEN_WATER: "over open water, or flat for miles",
}
SHARES = {
    "": "none", "0.1": "1 in 10", "0.2": "2 in 10", "0.33": "1 in 3", "0.5": "half", "0.7": "7 in 10",
    "0.8": "8 in 10", "1": "all",
}  # fmt: skip
TEXTURES = {one: str(one) for one in Texture}
STYLES = {one: str(one) for one in CiderStyle}
# A setting's last word: the field that asks for it, and what stands above that field.
_ASKED = {
    "name": ("name", "The orchard’s name"),
    "latitude": ("latitude", "Latitude"),
    "longitude": ("longitude", "Longitude"),
    "elevation": ("elevation", "Height above the sea"),
    "files": ("record", "Weather"),
    "length": ("length", "Length along the rows"),
    "width": ("width", "Width across the rows"),
    "total": ("trees", "So many trees"),
    "slope": ("slope", "Slope"),
    "outline": ("outline", "The outline"),
    "guests_per_week": ("guests", "Guests in a week"),
    "cider": ("cider", "cider"),
    "must_have": ("must_have", "Have to be there"),
    "favourites": ("favourites", "You would rather have"),
    "must_not_have": ("must_not_have", "May not be there"),
    "fewest_cultivars": ("fewest", "At least so many cultivars"),
    "most_cultivars": ("most", "At most so many cultivars"),
    "planting": ("planting", "Planting autumn"),
}
# What a kilogram of apples gives, by the product a cook names.
_GIVES = {"sauce": "sauce", "juice": "juice from a hand press", "dried": "dried slices"}


@dataclass(frozen=True)
class Amiss:
    """What is wrong with an answer: the field it stands in and its words, both empty where it is none's own."""

    field: str
    label: str
    says: str


@dataclass(frozen=True)
class _Gives:
    product: str
    low: float
    high: float


def amiss(found: Iterable[FileNotice], own: tuple[str, ...]) -> list[Amiss]:
    """The faults of the settings in `own` (the first words of their paths; an empty one = all), each once."""
    told: dict[Amiss, None] = {}
    for one in found:
        path = re.sub(r"^plan\.yaml(, line \d+)?(, )?", "", one.where)
        if any(not part or path.partition("[")[0].startswith(part) for part in own):
            told[_told(path, f"{one.says} {one.remedy}".strip())] = None
    return list(told)


def no_record() -> Amiss:
    return Amiss("record", "Weather", "there is none yet. Have it fetched, or bring a file.")


FEW_SEASONS, MANY_SEASONS = (
    2,
    20,
)  # below the first they are warned of; from the second on they are as many as asked


def no_season(record: Weather) -> Amiss:
    says = (
        f"it holds {_from_to(record)}, and in them no whole season: every day from 1 October to the 31 October of the "
        "year after. A plan needs one at least, better twenty."
    )
    return Amiss("record", "Weather", says)


def of_record(record: Weather, seasons: int) -> str:
    """What a record holds, beside its name."""
    says = f"{_from_to(record)}: {seasons} whole season{'' if seasons == 1 else 's'}."
    if seasons < FEW_SEASONS:
        return f"{says} That is too little to plan by: one year says nothing of frosts and cold winters of others."
    return says if seasons >= MANY_SEASONS else f"{says} Rare frosts show in twenty or more."


def _from_to(record: Weather) -> str:
    return f"{record.day[0]} to {record.day[-1]}"


def nobody_eats() -> Amiss:
    return Amiss(
        "guests", "Guests in a week", "say how many there are, or further down what is made once a year."
    )


def takes(catalogue: Catalogue, units: UnitSystem) -> dict[str, str]:
    """By product: what a gallon, litre, pound or kilogram of it takes in apples."""
    rows = {row.product: row for row in catalogue.rows("kitchen_yields", _Gives)}
    us = units is UnitSystem.US
    mass, volume = ("lb", "gal") if us else ("kg", "L")
    found = {}
    for use, product in _GIVES.items():
        row, of = rows[product], mass if use == "dried" else volume
        share = 1.0 if use == "dried" else _litres(of) * from_si(1.0, mass, Kind.MASS)
        low, high = (f"{share / gives:.{0 if share > 3 else 1}f}" for gives in (row.high, row.low))
        found[use] = f"a {_WORD[of]} takes {low} to {high} {mass}"
    return found


_WORD = {"lb": "pound", "gal": "gallon", "kg": "kilogram", "L": "litre"}


def _litres(unit: str) -> float:
    return 1000.0 / from_si(1.0, unit, Kind.VOLUME)


def _told(path: str, says: str) -> Amiss:
    last = re.sub(r"\[\d+\]$", "", path.rpartition(".")[2])
    if last in _ASKED:
        return Amiss(*_ASKED[last], says)
    if path.startswith("kitchen.cider"):
        return Amiss(*_ASKED["cider"], says)
    if path.startswith("kitchen.needs") and last == "amount":
        return Amiss("", "", f"What is made once a year: {says}")
    return Amiss("", "", f"{last.replace('_', ' ')}: {says}" if last else says)
