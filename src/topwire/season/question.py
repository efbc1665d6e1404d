"""From plan, catalogue and planted orchard to what a week reads: the only file of the room that sees the first two."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.choice.cider_question import StyleRow, juice_of_press, styles_of
from topwire.choice.findings import NeedLine
from topwire.choice.question import ProductLife
from topwire.choice.question import question as choice_question
from topwire.engine.department import Earlier
from topwire.engine.inputs import Inputs
from topwire.engine.orchard import Orchard
from topwire.engine.steps import WATER
from topwire.growth.rows import LoadRow
from topwire.layout.findings import Ground, Layout
from topwire.layout.places import places_of
from topwire.ledger.findings import JobKind, Ledger, Maturity
from topwire.ledger.labour import LabourRow
from topwire.ledger.work import slower
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.question import temperatures_of, traits_of
from topwire.phenology.traits import Traits
from topwire.protection.question import question as protection_question
from topwire.season.asked import GrownCultivar, KitchenBasis, KitchenNeed, MadeOnce, RowTrees, WeekBasis
from topwire.season.medians import medians
from topwire.values.address import row_name
from topwire.values.arrays import Floats
from topwire.values.calendar import WEEKS, week_of_day
from topwire.values.fault import Faults, fault
from topwire.values.notice import CannotAnswer
from topwire.values.terms import CiderStyle, Use
from topwire.values.traits import Grade
from topwire.water.asked import WaterQuestion
from topwire.weather.record import Weather

_GRAM, _LITRE = 1e-3, 1e-3
_CM = 100.0  # in a metre
_A_KILOGRAM = 1.0  # of fruit that is worth making something of
_WEEK = 7.0


def basis_of(inputs: Inputs, orchard: Orchard) -> WeekBasis:
    """What a week reads of the planted orchard.

    Raises
    ------
    Faults
        Where nothing is planned to stand anywhere.
    """
    ground, layout, choice, ledger = orchard.ground, orchard.layout, orchard.choice, orchard.ledger
    if ground is None or layout is None or choice is None or ledger is None or orchard.place is None:
        raise Faults([fault("week", "the orchard is not planned yet.", "Run topwire plan first.")])
    plan, place = inputs.plan, orchard.place
    columns = [place.cultivars.index(name) for name in layout.cultivars]
    labour = {row.task: row for row in inputs.catalogue.rows("labour", LabourRow)}
    new_trees = int(((layout.cultivar >= 0) & ~layout.standing).sum())
    return WeekBasis(
        name=plan.name,
        units=plan.unit_system,
        latitude=plan.place.latitude,
        longitude=plan.place.longitude,
        elevation=plan.place.elevation,
        planting=plan.years.planting,
        colder=plan.place.colder_than_station,
        cultivars=_cultivars(inputs.catalogue, orchard, ground, layout, ledger),
        crop_share=np.nan_to_num(place.crop_after_frost[:, columns]).mean(axis=0),
        needs=kitchen_needs(choice.needs, inputs.catalogue),
        kitchen=_kitchen(inputs, orchard.place, ground, layout),
        young={} if orchard.years is None else {line.year: line.served for line in orchard.years.kitchen},
        board=np.asarray(choice.board_wanted, dtype=float),
        jobs=ledger.calendar,
        works=ledger.works,
        cellar=plan.kitchen.cellar.temperature,
        cellar_holds=plan.kitchen.cellar.capacity,
        own_dates_until=plan.place.own_dates_until,
        picking=slower(labour["picking"], new_trees) / labour["picking"].middle,
        hands=plan.money.hands,
        hours_a_week=plan.money.hours_per_week,
        water_asked=_water(inputs, orchard),
        water=orchard.water,
        protection=protection_question(plan, inputs.catalogue, layout, orchard.trellis),
        rows=tuple(row_name(row.block, row.number) for block in ground.blocks for row in block.rows),
    )


def kitchen_needs(needs: Sequence[NeedLine], catalogue: Catalogue) -> tuple[KitchenNeed, ...]:
    """The needs as a week reads them."""
    styles = styles_of(catalogue)
    life = {row.use: row.weeks for row in catalogue.rows("product_life", ProductLife)}
    return tuple(
        KitchenNeed(
            str(need.use),
            need.dish or str(need.cider_class or ""),
            need.wanted,
            np.median(need.served, axis=0),
            once := not need.a_week and need.used_from is None,
            _stock(need, styles, life) if once else None,
            need.brought_by,
            None if once else need.start,
        )
        for need in needs
    )


def _stock(
    need: NeedLine, styles: Mapping[CiderStyle, StyleRow], life: Mapping[str, float]
) -> MadeOnce | None:
    """When it is made, middle of the years that make it. Cider whose style the plan does not say is taken as the house
    blend, as the press takes it, and is ready when the slowest of its style is; vinegar is nothing to drink."""
    start = int(week_of_day(need.start)) - 1
    order = (np.arange(WEEKS) + start) % WEEKS  # from the first week it may be made in, over New Year
    made = need.served[:, order] > _A_KILOGRAM
    weeks = [np.flatnonzero(year) for year in made if year.any()]
    keeps = life.get(str(need.use))  # of what is eaten as it is baked there is none
    if 2 * len(weeks) < len(made) or not weeks or need.style is CiderStyle.VINEGAR or keeps is None:
        return None
    begin, end = (start + round(float(np.median([year[at] for year in weeks]))) for at in (0, -1))
    first, last = max(_WEEK * begin + 1.0, need.start), _WEEK * (end + 1.0)
    if need.use is not Use.CIDER:
        return MadeOnce(first, last, None, _WEEK * keeps)
    return MadeOnce(first, last, _WEEK * styles[need.style or CiderStyle.HOUSE_BLEND].weeks_high, None)


def _kitchen(inputs: Inputs, place: PlaceSeasons, ground: Ground, layout: Layout) -> KitchenBasis:
    asked = choice_question(inputs.plan, inputs.catalogue, place, places_of(ground))
    known = {row.name: row for row in asked.supply.cultivars}
    return KitchenBasis(
        cultivars=tuple(known[name] for name in layout.cultivars if name in known),
        needs=asked.needs,
        board=asked.limits.board,
        press_week=asked.limits.press_week,
        juice=juice_of_press(inputs.plan.kitchen.press, inputs.catalogue).middle * _LITRE,
    )


def measured_weather(inputs: Inputs) -> Weather:
    """The record as it was measured: years the plan has had invented from it never happened."""
    plan = inputs.plan
    if plan.weather.invented_years is None:
        return inputs.weather
    section = plan.weather.model_copy(update={"invented_years": None})
    return inputs.with_plan(plan.model_copy(update={"weather": section})).weather


def season_traits(inputs: Inputs, basis: WeekBasis) -> Traits:
    """Traits of the planted cultivars, the reference first."""
    return traits_of(inputs.catalogue, stretch=inputs.plan.place.bloom_stretch).some(basis.names)


def _water(inputs: Inputs, orchard: Orchard) -> WaterQuestion | None:
    """The water's question without its weather, which a week brings itself."""
    if orchard.water is None:
        return None
    known = {name: found for name, found in orchard.departments.items() if found is not None}
    try:
        asked = WATER.ask(inputs, Earlier(known))
    except (CannotAnswer, Faults):
        return None
    return replace(asked.bare, weather=without_days(asked.weather))


def without_days(weather: Weather) -> Weather:
    """An empty record."""
    bare = temperatures_of(weather)
    none = np.empty(0)
    return Weather(
        **{
            **vars(bare),
            "day": bare.day[:0],
            "tmin": none,
            "tmax": none,
            "rain": none,
            "hourly": None,
        }
    )


def _cultivars(
    catalogue: Catalogue, orchard: Orchard, ground: Ground, layout: Layout, ledger: Ledger
) -> tuple[GrownCultivar, ...]:
    loads = {row.item: row for row in catalogue.rows("crop_load", LoadRow)}
    ripe: dict[str, Maturity | None] = {}
    for job in ledger.calendar:
        if job.kind is JobKind.PICK:
            ripe.setdefault(job.cultivar, job.maturity)
    chosen = orchard.choice.chosen if orchard.choice else ()
    kitchen = orchard.choice.yield_per_tree if orchard.choice else np.zeros(0)
    grown = {line.name: float(kg) for line, kg in zip(chosen, kitchen, strict=True)}
    for_cider = {line.name for line in chosen if line.for_cider}
    found = []
    for index, name in enumerate(layout.cultivars):
        row = catalogue.cultivar[name]
        here = layout.cultivar == index
        planted, counts = np.unique(layout.year_planted[here & ~layout.standing], return_counts=True)
        found.append(
            GrownCultivar(
                name=name,
                rows=_rows(ground, layout, name),
                planted=tuple((int(year), int(trees)) for year, trees in zip(planted, counts, strict=True)),
                kg_per_tree=_crop(orchard, name),
                trunk_area=_trunk(orchard, name),
                fruit_target=_target(orchard, name),
                standing=int((here & layout.standing).sum()),
                standing_kg=grown.get(name, 0.0),
                fruit_mass=None if row.fruit_mass_g is None else row.fruit_mass_g * _GRAM,
                load=(loads.get(name) or loads[f"biennial {row.biennial or Grade.MEDIUM}"]).load,
                biennial=row.biennial or Grade.MEDIUM,
                maturity=ripe.get(name),
                best_weeks=row.storage_weeks,
                mellow_weeks=row.best_after_weeks or 0.0,
                pressed_only=bool(row.uses) and set(row.uses) <= {Use.CIDER, Use.JUICE},
                usual=np.full(5, np.nan) if orchard.place is None else usual_days(orchard.place, name),
                for_cider=name in for_cider,
            )
        )
    return tuple(found)


def usual_days(place: PlaceSeasons, name: str) -> Floats:
    """Middle days of its stages over all weather years, as calendar and dates_by_year.csv have them."""
    stages = place.first_bloom, place.full_bloom, place.petal_fall, place.harvest_first, place.harvest_last
    at = place.cultivars.index(name)
    return np.array([medians(days[:, at : at + 1])[0] for days in stages])


def _rows(ground: Ground, layout: Layout, name: str) -> tuple[RowTrees, ...]:
    """Its rows as the picking walk takes them: block by block, row by row."""
    order = {
        (row.block, row.number): at
        for at, row in enumerate(row for block in ground.blocks for row in block.rows)
    }
    rows: dict[tuple[str, int], list[tuple[int, int]]] = defaultdict(list)
    for run in sorted(layout.runs, key=lambda run: order[run.block, run.row]):
        if run.cultivar != name:
            continue
        rows[run.block, run.row].append((run.first, run.last))
    return tuple(
        RowTrees(
            row_name(block, row),
            sum(last - first + 1 for first, last in runs),
            min(first for first, _ in runs),
            max(last for _, last in runs),
            tuple(_joined(sorted(runs))),
        )
        for (block, row), runs in rows.items()
    )


def _joined(runs: list[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Stretches without another cultivar between them, as one."""
    first, last = runs[0]
    for begin, end in runs[1:]:
        if begin > last + 1:
            yield first, last
            first = begin
        last = end
    yield first, last


def _crop(orchard: Orchard, name: str) -> Floats:
    years = orchard.years
    if years is None or name not in years.cultivars:
        return np.zeros((0, 3))
    crop: Floats = years.kg_per_tree[years.cultivars.index(name)]
    return crop


def _target(orchard: Orchard, name: str) -> Floats:
    years = orchard.years
    if years is None or name not in years.cultivars:
        return np.zeros(0)
    fruits: Floats = years.fruit_target[years.cultivars.index(name)]
    return fruits


def _trunk(orchard: Orchard, name: str) -> Floats:
    """[cm2] from its width."""
    years = orchard.years
    if years is None or name not in years.cultivars or not years.trunk_width.size:
        return np.zeros(0)
    width: Floats = years.trunk_width[years.cultivars.index(name)]
    area: Floats = np.asarray(np.pi / 4 * (_CM * width) ** 2)
    return area
