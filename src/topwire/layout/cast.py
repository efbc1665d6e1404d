"""The cultivars of a layout as numbers: trees to plant, pollen match, weeks of picking, vigour, care, story."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue, Cultivar, Grade, Susceptibility
from topwire.choice.findings import Choice
from topwire.choice.pollination import bloom_overlap, compatibility
from topwire.layout import pollen as pollination
from topwire.layout import spacing as room
from topwire.layout.assignment import Kinds
from topwire.layout.result import Ground
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]
Booleans = npt.NDArray[np.bool_]

SCAB = {
    Susceptibility.VERY_RESISTANT: 0.0,
    Susceptibility.RESISTANT: 0.25,
    Susceptibility.MODERATE: 0.5,
    Susceptibility.SUSCEPTIBLE: 0.75,
    Susceptibility.VERY_SUSCEPTIBLE: 1.0,
}
THINNING = {Grade.LOW: 0.0, Grade.MEDIUM: 0.5, Grade.HIGH: 1.0}


@dataclass(frozen=True)
class Cast:
    """The cultivars of the layout: those chosen, then those that only stand already."""

    names: tuple[str, ...]
    stocks: tuple[str, ...]
    weeks: tuple[tuple[int, int] | None, ...]
    new: Index  # (kinds,) trees to plant


def cast_of(seasons: PlaceSeasons, ground: Ground, choice: Choice) -> Cast:
    """Cultivars with trees to plant or standing, those of the choice first."""
    names = [row.name for row in choice.chosen]
    stocks = [row.rootstock for row in choice.chosen]
    weeks: list[tuple[int, int] | None] = [row.harvest_weeks for row in choice.chosen]
    new = [max(0, row.trees - row.standing) for row in choice.chosen]
    for name, stock in zip(ground.standing_cultivar, ground.standing_rootstock, strict=True):
        if name and name not in names:
            names.append(name)
            stocks.append(stock)
            weeks.append(_weeks_of(seasons, name))
            new.append(0)
    return Cast(tuple(names), tuple(stocks), tuple(weeks), np.array(new, dtype=np.int64))


def _weeks_of(seasons: PlaceSeasons, name: str) -> tuple[int, int] | None:
    column = seasons.cultivars.index(name)
    first, last = seasons.harvest_first[:, column], seasons.harvest_last[:, column]
    known = np.isfinite(first) & np.isfinite(last)
    if not known.any():
        return None
    return tuple(int(min(52, max(1, (np.median(days[known]) - 1) // 7 + 1))) for days in (first, last))  # type: ignore[return-value]


def standing_kinds(ground: Ground, cast: Cast) -> Index:
    number = {name: index for index, name in enumerate(cast.names)}
    return np.array(
        [number.get(name, -1) if name else -1 for name in ground.standing_cultivar], dtype=np.int64
    )


def match_of(catalogue: Catalogue, seasons: PlaceSeasons, cast: Cast) -> Array:
    """(years, donors, parents) overlap times compatible fraction."""
    columns = [seasons.cultivars.index(name) for name in cast.names]
    first, last = seasons.first_bloom[:, columns], seasons.petal_fall[:, columns]
    rows = [catalogue.cultivar[name] for name in cast.names]
    return pollination.useful_matrix(bloom_overlap(first, last), compatibility(rows))


def kinds_of(
    plan: Plan,
    catalogue: Catalogue,
    choice: Choice,
    cast: Cast,
    new: Index,
    steady: Array,
    ripe: Booleans,
) -> Kinds:
    rows = [catalogue.cultivar[name] for name in cast.names]
    uses = {row.name: row.uses for row in choice.chosen}
    bloom = np.array([np.nan if row.bloom_offset_days is None else row.bloom_offset_days for row in rows])
    middle = float(np.nanmean(bloom)) if np.isfinite(bloom).any() else 0.0
    favourite = []
    for row in rows:
        kilos = uses.get(row.name, {})
        fresh = kilos.get("fresh", 0.0) / max(sum(kilos.values()), 1e-9)
        favourite.append(min(1.0, fresh + (0.3 if row.name in plan.taste.must_have else 0.0)))
    return Kinds(
        trees=new,
        match=steady,
        ripe=ripe,
        vigour=np.array(
            [pair_vigour(catalogue, row, stock) for row, stock in zip(rows, cast.stocks, strict=True)]
        ),
        care=np.array([_care(row) for row in rows]),
        bloom=np.nan_to_num(bloom - middle),
        favourite=np.array(favourite),
        story=np.array(
            [float(row.introduced) if row.heritage and row.introduced else np.nan for row in rows]
        ),
    )


def _care(row: Cultivar) -> float:
    """Need of sprays and thinning, 0 to 1; unknown counts as middling."""
    scab = 0.5 if row.scab is None else SCAB[row.scab]
    thinning = 0.5 if row.biennial is None else THINNING[row.biennial]
    return (scab + thinning) / 2


def pair_vigour(catalogue: Catalogue, row: Cultivar, stock: str) -> float:
    strength = room.scion_strength(row.vigour, row.ploidy)
    return room.pair_vigour(catalogue.rootstock[stock].vigour or 1.0, strength)


def ripe_of(cast: Cast) -> Booleans:
    """(kinds, 52) weeks of the year in which a cultivar is picked."""
    ripe = np.zeros((len(cast.names), 52), dtype=bool)
    for kind, span in enumerate(cast.weeks):
        if span is not None:
            first, last = span
            weeks = range(first, last + 1) if first <= last else [*range(first, 53), *range(1, last + 1)]
            ripe[kind, [week - 1 for week in weeks if 1 <= week <= 52]] = True
    return ripe
