"""The Place's question: the only file of the room that sees the plan and the catalogue."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from topwire.catalogue.model import Catalogue, Cultivar
from topwire.catalogue.seasons import (
    BloomGroup,
    ClimatePart,
    HarvestListed,
    RootHardiness,
    ShapeFigure,
    StatedMonths,
    WarmingRow,
    WoodHardiness,
)
from topwire.phenology.asked import PlaceQuestion, RootCold, WallFaced
from topwire.phenology.bloom import BloomNeed, BloomShape
from topwire.phenology.frost import HARDIER
from topwire.phenology.injury import WOOD_LETHAL
from topwire.phenology.ripening import CATALOGUE_SD, combined_offset
from topwire.phenology.traits import REFERENCE, Array, Traits
from topwire.phenology.wall import wall_warmth
from topwire.plan.model import Plan
from topwire.values.fault import Faults, FileNotice, fault
from topwire.values.mark import Mark
from topwire.values.own_date import OwnDate
from topwire.values.terms import FenceShade
from topwire.values.traits import Chill
from topwire.weather.climate_change import MonthlyChange, stated_change
from topwire.weather.record import Weather

CLIMATES = "climate_changes"
WAYS = "warming_ways"


@dataclass(frozen=True)
class KnownHere:
    """What a catalogue says for a place, whatever its weather."""

    traits: Traits
    ways: tuple[MonthlyChange, ...]
    changes: tuple[MonthlyChange, ...]
    roots: tuple[RootCold, ...]
    remembered_bloom: int
    remembered_harvest: int


def known_here(catalogue: Catalogue, *, stretch: float = 1.0) -> KnownHere:
    """Of the tables bloom_groups, wood_hardiness, root_hardiness, harvest_lists, climate_changes.

    Parameters
    ----------
    stretch : factor on the offsets of bloom at this place

    Raises
    ------
    Faults
        When a row of the grower's own cannot be understood.
    """
    rows = catalogue.cultivars
    return KnownHere(
        traits=traits_of(catalogue, stretch=stretch),
        ways=warming_ways(catalogue),
        changes=stated_climates(catalogue),
        roots=tuple(
            RootCold(row.rootstock, row.lethal) for row in catalogue.rows("root_hardiness", RootHardiness)
        ),
        remembered_bloom=sum(row.evidence_of("bloom_offset_days").mark is Mark.MEMORY for row in rows),
        remembered_harvest=sum(row.evidence_of("harvest_offset_days").mark is Mark.MEMORY for row in rows),
    )


def question(
    plan: Plan,
    catalogue: Catalogue,
    weather: Weather,
    *,
    observed: Sequence[OwnDate] = (),
    mornings: int = 0,
    changes: Sequence[MonthlyChange] = (),
    known: KnownHere | None = None,
) -> PlaceQuestion:
    """Seasons of all cultivars of the catalogue over the record.

    Parameters
    ----------
    observed : the grower's own dates, of which the plan says until which year it rests on them
    mornings : clear mornings of the orchard's own thermometer that measured how much colder it is
    changes : further climates, beside those of the table climate_changes
    known : of `known_here` for this catalogue and the plan's stretch, where it was made before

    Raises
    ------
    Faults
        When a row of the grower's own cannot be understood.
    """
    until = plan.place.own_dates_until
    known = known or known_here(catalogue, stretch=plan.place.bloom_stretch)
    return PlaceQuestion(
        weather=temperatures_of(weather),
        latitude=plan.place.latitude,
        colder=plan.place.colder_than_station,
        traits=known.traits,
        own_dates=tuple(row for row in observed if until is not None and row.date.year <= until),
        warming=plan.weather.warming,
        ways=known.ways,
        changes=(*known.changes, *changes),
        roots=known.roots,
        rootstocks=tuple(sorted({plan.trees.rootstock, *plan.trees.rootstock_for.values()})),
        remembered_bloom=known.remembered_bloom,
        remembered_harvest=known.remembered_harvest,
        own_mornings=mornings,
        walls=tuple(walls_of(plan)),
    )


def walls_of(plan: Plan) -> Iterator[WallFaced]:
    """Walls and solid fences whose warmth the trees along them feel."""
    for block in plan.ground.blocks:
        fence = block.fence
        if not block.along_fence or fence.shade is FenceShade.MOST:
            continue
        along = block.row_bearing if isinstance(block.row_bearing, float) else 90.0
        sides = ((along + 90.0) % 360.0, (along - 90.0) % 360.0)
        facing = fence.side.bearing if fence.side else min(sides, key=lambda side: abs(side - 180.0))
        warmth = wall_warmth(fence.kind, fence.colour, facing)
        if warmth is not None:
            yield WallFaced(block.name, *warmth)


def temperatures_of(weather: Weather) -> Weather:
    """The record without what no season hangs on, so that a word or a wind in a file wakes nothing."""
    return replace(
        weather,
        dew_point=None,
        wind=None,
        sun=None,
        filled=np.zeros(0, dtype=bool),
        source=np.zeros(0, dtype=np.int64),
        files=(),
        notices=(),
        temperature_filled=None,
        rain_filled=None,
        hourly_dew_point=None,
        hourly_wind=None,
        hourly_sun=None,
        hourly_rain=None,
        stations=(),
    )


def traits_of(catalogue: Catalogue, *, stretch: float = 1.0) -> Traits:
    """Traits of all cultivars of the catalogue.

    Parameters
    ----------
    catalogue : with the tables bloom_groups, bloom_shape and wood_hardiness
    stretch : factor on the offsets of bloom at this place
    """
    groups = {row.group: row for row in catalogue.rows("bloom_groups", BloomGroup)}
    figures = {row.parameter: row.value for row in catalogue.rows("bloom_shape", ShapeFigure)}
    hardiness = {row.name: row.hardiness for row in catalogue.rows("wood_hardiness", WoodHardiness)}
    rows = catalogue.cultivars
    names = tuple(row.name for row in rows)
    of = [groups[row.chill or Chill.MEDIUM] for row in rows]
    offset = np.array([row.bloom_offset_days or 0.0 for row in rows])
    harvest, harvest_error = _harvest_offsets(catalogue)
    return Traits(
        names=names,
        reference=names.index(REFERENCE),
        bloom_offset=offset,
        harvest_offset=harvest,
        shape=shape_of(figures),
        need=BloomNeed(
            heat=figures["need"] + offset * stretch * figures["heat_of_a_day"],
            required=np.array([group.required for group in of]),
        ),
        bloom_error=np.array([_offset_error(row) for row in rows]),
        harvest_error=harvest_error,
        hardier=np.array([HARDIER.get(name, 0.0) for name in names]),
        lethal=np.array([WOOD_LETHAL[hardiness.get(name, "medium")] for name in names]),
        heat_of_a_day=figures["heat_of_a_day"],
        bloom_shift=np.zeros(len(names)),
        harvest_shift=np.zeros(len(names)),
    )


def shape_of(figures: Mapping[str, float]) -> BloomShape:
    """The shared shape from the figures of bloom_shape.csv."""
    return BloomShape(
        midpoint=figures["midpoint"],
        width=figures["width"],
        gate_day=figures["gate_day"],
        gate_width=figures["gate_width"],
        extra=figures["extra"],
        fading=figures["fading"],
    )


# Error of a cultivar's offset in bloom [d]. Seen in many site-years of one trial series: its mean over sites of six
# countries departs by 0.8 to 1.7 d from country to country. One list read: what lists disagree by. Remembered: more.
_SEEN_WIDELY, _LISTED, _REMEMBERED = 1.2, 2.0, 2.5


def _offset_error(row: Cultivar) -> float:
    if row.name == REFERENCE:
        return 0.0
    evidence = row.evidence_of("bloom_offset_days")
    if "REFPOP" in evidence.sources:
        return _SEEN_WIDELY
    return _LISTED if evidence.mark is Mark.READ else _REMEMBERED


def _harvest_offsets(catalogue: Catalogue) -> tuple[Array, Array]:
    """Offsets of ripening and their errors [d]; a row of the grower's own stands as it is."""
    by_place: dict[str, dict[str, list[float]]] = {}
    for listed in catalogue.rows("harvest_lists", HarvestListed):
        of_places = by_place.setdefault(listed.cultivar, {})
        of_places.setdefault(listed.place, []).append(listed.days_from_golden_delicious)
    written = catalogue.tables["cultivars"].rows
    found = []
    for row in catalogue.cultivars:
        places = {} if written[row.name].own else by_place.get(row.name, {})
        elsewhere = [float(np.mean(days)) for days in places.values()]
        found.append(
            combined_offset(row.harvest_offset_days, elsewhere, error=row.harvest_error_days or CATALOGUE_SD)
        )
    offset, error = np.array(found).T
    error[[row.name == REFERENCE for row in catalogue.cultivars]] = 0.0  # all others count from it
    return offset, error


def stated_climates(catalogue: Catalogue) -> tuple[MonthlyChange, ...]:
    """Changes of the grower's own table, in the order first named.

    Raises
    ------
    Faults
        When a change says nothing of the days, names a part twice, or goes beyond what a climate can do.
    """
    changes: dict[str, dict[ClimatePart, list[float]]] = {}
    faults = []
    for row in catalogue.rows(CLIMATES, StatedMonths):
        parts = changes.setdefault(row.change, {})
        if row.part in parts:
            faults.append(
                _climate_fault(row.change, f"states its {row.part} twice.", "Keep one of the rows.")
            )
        parts[row.part] = row.months
    made = []
    for label, parts in changes.items():
        if ClimatePart.DAYS not in parts:
            faults.append(
                _climate_fault(label, "says nothing of the days.", "Add a row with part “days”, in kelvin.")
            )
            continue
        try:
            made.append(
                stated_change(
                    label,
                    warming=parts[ClimatePart.DAYS],
                    nights=parts.get(ClimatePart.NIGHTS),
                    rain=parts.get(ClimatePart.RAIN, 1.0),
                    spread=parts.get(ClimatePart.SPREAD, 1.0),
                )
            )
        except ValueError as error:
            faults.append(_climate_fault(label, f"{error}."))
    if faults:
        raise Faults(faults)
    return tuple(made)


def warming_ways(catalogue: Catalogue) -> tuple[MonthlyChange, ...]:
    """Ways of warming by a kelvin, in the order first named.

    Raises
    ------
    Faults
        When a way says nothing of its days or of its nights.
    """
    ways: dict[str, dict[ClimatePart, list[float]]] = {}
    for row in catalogue.rows(WAYS, WarmingRow):
        ways.setdefault(row.way, {})[row.part] = row.months
    lacking = [
        fault(
            f"catalogue/{WAYS}.csv, {way}", f"says nothing of the {part}.", f"Add a row with part “{part}”."
        )
        for way, parts in ways.items()
        for part in (ClimatePart.DAYS, ClimatePart.NIGHTS)
        if part not in parts
    ]
    if lacking:
        raise Faults(lacking)
    return tuple(
        stated_change(way, warming=parts[ClimatePart.DAYS], nights=parts[ClimatePart.NIGHTS])
        for way, parts in ways.items()
    )


def _climate_fault(label: str, says: str, remedy: str = "") -> FileNotice:
    return fault(f"catalogue/{CLIMATES}.csv, {label}", says, remedy)
