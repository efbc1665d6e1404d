"""From weather, ground and trees to a system that waters them."""

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.values.bill import together
from topwire.values.notice import CannotAnswer, Measured, Notice, assumption, refusal
from topwire.values.progress import Progress, silent
from topwire.values.terms import WaterSource
from topwire.values.units import Kind
from topwire.water import bill, figures, quality, settling, verdict
from topwire.water.asked import PlantedQuestion, WaterQuestion
from topwire.water.climate import DAYS, WaterClimate, climate_of
from topwire.water.clogging import FLUSH_EVERY, clogging
from topwire.water.demand import Stages, runoff
from topwire.water.emitter import least_flow
from topwire.water.findings import LineTried, PressureLoss, QualityNote, RowsWatered, Store, WaterPlan, Zone
from topwire.water.friction import pressure_of, shaft_power
from topwire.water.lateral import Line, longest_line
from topwire.water.need import WaterNeed, foresee_needs, prepare, stages
from topwire.water.pipes import freezing_depth, freezing_index, pipe_map
from topwire.water.schedule import (
    calendar,
    middle_and_nine_in_ten,
    weekly,
)
from topwire.water.settling import settling_of
from topwire.water.store import OPEN_WATER, StoreWeather, least_size, store_of
from topwire.water.system import EFFICIENCY, System, Trial, choose, peak_hours
from topwire.water.tables import LITRES_PER_HOUR
from topwire.water.zone import COMPENSATING_MARGIN, GOAL

Array = npt.NDArray[np.float64]

_WEEK = np.ones(7) / 7


def answer(asked: PlantedQuestion, progress: Progress = silent) -> WaterPlan:
    """How much water the orchard needs, the system that brings it, and when to run it. Raises as `watered` does."""
    return of_planted(asked, watered(asked.bare, progress))


def of_planted(asked: PlantedQuestion, rows: RowsWatered) -> WaterPlan:
    """The plan of the rows with what hangs on the cultivars planted."""
    asked = asked.fitted(rows.plan.emitter)
    climate = climate_of(asked.weather, latitude=asked.latitude, elevation=asked.elevation)
    return replace(
        rows.plan,
        what_ifs=figures.what_ifs(asked, climate, _turns(asked, climate), rows.taken_up),
        notices=(*rows.plan.notices, *quality.against_frost(asked)),
    )


def watered(asked: WaterQuestion, progress: Progress = silent) -> RowsWatered:
    """How much water the orchard needs, the system that brings it, and when to run it.

    Raises
    ------
    CannotAnswer
        Where no weather year is whole, or no line of the catalogue waters the rows evenly.
    """
    progress("need for water over all weather years")
    climate = climate_of(asked.weather, latitude=asked.latitude, elevation=asked.elevation)
    turns = _turns(asked, climate)
    wanted = _needs(asked, climate, turns)
    peaks = np.array([figures.peak_use(need)[:, -1] for need in wanted])  # (sites, years) [m3/d]
    peak = 1000 * np.percentile(peaks, 90, axis=1)  # [L/d]
    progress("lines, manifolds and main")
    system, trials = choose(asked.rows, asked.lines, asked.source, asked.tables, peak, asked.around)
    if system is None:
        raise CannotAnswer([refusal("water.no_line", setting="catalogue/emitters.csv", goal=GOAL)])
    progress("schedule")
    asked = asked.fitted(system.line.name)
    needs = _needs(asked, climate, turns, system)
    volumes = figures.emitted(needs)
    daily = sum(
        (part[:, :, -1] * trees.all for part, trees in zip(volumes, asked.trees, strict=True)),
        np.zeros((DAYS, climate.years.size)),
    )
    season = daily.sum(axis=0)
    hours = _zone_hours(system, volumes, turns)
    evened = np.apply_along_axis(
        np.convolve, 0, daily, _WEEK, "same"
    )  # waterings of all zones do not fall on one day
    wanted_store, store = _stored(asked, _store_weather(asked, climate, turns, evened))
    trees = np.array([item.all for item in asked.trees], dtype=float)
    peak_all = (peaks * trees[:, np.newaxis]).sum(axis=0) / trees.sum()
    tank = settling_of(asked.test, asked.tables.quality, asked.source_kind, system.most_flow)
    settled = 0.0 if tank is None else tank.volume
    enough, fit = verdict.source_notices(asked, system, peak, wanted_store, store, settled=settled > 0)
    pipes = pipe_map(system, asked.source, _frost(asked))
    goods = bill.bill(system, asked.source, asked.tables, pipes, settled)
    short = max(system.head_wanted - (0.0 if settled else asked.source.head), 0.0)
    zones = _zones(asked, system, peak)
    plan = WaterPlan(
        reference_et=figures.monthly(climate.reference),
        peak_need=figures.low_middle_high(peak_all),
        years=climate.years,
        season_need=season,
        need_by_leaf=figures.need_by_leaf(asked, volumes),
        emitter=system.line.name,
        hydraulics=system.line.drip,
        emitters_per_tree=sum(zone.emitters for zone in zones) / sum(zone.trees for zone in zones),
        longest_row=_longest(system),
        zones=zones,
        most_flow=system.most_flow,
        pressure_wanted=pressure_of(system.head_wanted),
        source_pressure=pressure_of(asked.source.head),
        booster_pressure=pressure_of(short),
        booster_power=shaft_power(system.most_flow, short, bill.PUMP_EFFICIENCY),
        source_enough=enough,
        hours_at_peak=system.total_hours,
        hours_allowed=asked.source.hours_per_day,
        zone_hours=hours,
        storage_wanted=wanted_store,
        store=store,
        blocks=figures.block_needs(asked, needs, volumes, system),
        what_ifs=(),
        calendar=calendar(
            opens=float(np.median(turns.bud_break)),
            begins=turns.begins,
            empties=turns.empties,
            hours=hours.max(axis=(0, 1, 2)),
            tested=asked.source.drinking_water and not system.from_tap,
            flush_every=FLUSH_EVERY[clogging(asked.test, asked.tables.quality)],
        ),
        losses=tuple(PressureLoss(part, item, pressure_of(head)) for part, item, head in system.losses),
        pipes=pipes,
        lines_tried=tuple(_tried(trial) for trial in trials),
        quality=tuple(
            QualityNote(
                row.what,
                row.unit,
                row.well_below,
                row.trouble_above,
                (row.says, row.remedy),
                row.source,
                next((value for what, value in asked.test.items() if row.what.startswith(what.value)), None),
            )
            for row in asked.tables.quality
        ),
        bill=goods,
        cost=together(goods),
        water_cost_per_year=bill.cost_of_water(
            float(np.median(season)), system, asked.source, asked.tables, settled=settled > 0
        ),
        notices=(
            *climate.notices,
            *fit,
            *verdict.system_notices(asked, system),
            *verdict.crossings(pipes, asked.around),
            *verdict.unseen(asked),
            *_assumptions(asked, climate, float(np.percentile(peak_all, 90))),
            *quality.tested(asked),
            *settling.told(tank),
            *quality.cautions(
                asked,
                from_tap=system.from_tap,
                stored=asked.source.storage is not None
                or settled > 0
                or verdict.advises_store(wanted_store, fit),
            ),
        ),
    )
    return RowsWatered(plan, figures.taken_up(asked, wanted))


def _turns(asked: WaterQuestion, climate: WaterClimate) -> Stages:
    days = asked.seasons
    return stages(climate.years, days.years, days.green_tip, days.first_frost)


def _needs(
    asked: WaterQuestion, climate: WaterClimate, turns: Stages, system: System | None = None
) -> tuple[WaterNeed, ...]:
    """Every site's balance; with a system, no more in a day than it gives in the hours allowed."""
    prepared = [
        prepare(
            site,
            climate,
            turns,
            trees=asked.cover,
            grass=asked.grass,
            mulch=asked.mulch,
            most_a_day=np.inf if system is None else _most_a_day(asked, system, number),
        )
        for number, site in enumerate(asked.sites)
    ]
    return foresee_needs(list(zip(asked.sites, prepared, strict=True)), climate.years)


def _most_a_day(asked: WaterQuestion, system: System, number: int) -> Array:
    """(leaves,) net depth over the floor that the site's slowest zone gives in its share of the day. [mm]"""
    site = asked.sites[number]
    given = []
    for run, hours in zip(system.together, system.hours, strict=True):
        share = asked.source.hours_per_day * hours / system.total_hours
        for zone in (system.zones[member] for member in run):
            if zone.rows[0].block == number:
                given.append(zone.flow / zone.trees * share * 3600)
    most: Array = 1000 * min(given) * EFFICIENCY * site.reaches_roots / site.floor
    return most


def _zone_hours(system: System, volumes: tuple[Array, ...], turns: Stages) -> Array:
    """(zones, leaves, 2, 52) [h] a week by the trees' need alone."""
    weeks = [weekly(part, turns.begins, turns.empties) for part in volumes]  # (52, years, leaves) by site
    hours = []
    for zone in system.zones:
        volume = sum((row.trees * weeks[row.block] for row in zone.rows), np.zeros_like(weeks[0]))
        hours.append(middle_and_nine_in_ten(volume / (zone.flow * 3600)))
    return np.array(hours)


def _store_weather(asked: WaterQuestion, climate: WaterClimate, turns: Stages, draw: Array) -> StoreWeather:
    """What comes and goes at the pond, or at a tank that the source fills in the hours it may run."""
    nothing = np.zeros_like(draw)
    if asked.source_kind is not WaterSource.POND:
        supply = asked.source.flow * asked.source.hours_per_day * 3600
        return StoreWeather(nothing, nothing, nothing + supply, draw, 1)
    ran = runoff(climate.rain, asked.sites[0].soil.curve_number) / 1000 * (asked.catchment or 0.0)
    opened = None if asked.catchment is not None else int(np.median(turns.bud_break))
    return StoreWeather(climate.rain, OPEN_WATER * climate.reference, ran, draw, opened)


def _stored(asked: WaterQuestion, weather: StoreWeather) -> tuple[float | None, Store | None]:
    """Size that is enough in nine years of ten, and the days of the store at hand or of that size."""
    if asked.source_kind is not WaterSource.POND and (weather.draw <= weather.runoff).all():
        wanted: float | None = 0.0
    else:
        wanted = least_size(weather, asked.store_depth)
    size = asked.source.storage or wanted
    return wanted, store_of(weather, size, asked.store_depth) if size else None


def _frost(asked: WaterQuestion) -> float | None:
    """[m] to which the ground freezes: by the plan, or in nine winters of ten by the weather."""
    if asked.frost_depth is not None:
        return asked.frost_depth
    record = asked.weather
    day = record.day.astype("datetime64[D]")
    month = day.astype("datetime64[M]").astype(np.int64)
    index = freezing_index((record.tmin + record.tmax) / 2, month // 12 + 1970, month % 12 + 1)
    return float(freezing_depth(np.percentile(index, 90))) if index.size else None


def _tried(trial: Trial) -> LineTried:
    system = trial.system
    return LineTried(
        trial.line.name,
        system.cost if system else None,
        trial.misses,
        trial.hours,
        pressure_of(system.head_wanted) if system else None,
    )


def _zones(asked: WaterQuestion, system: System, peak: Array) -> tuple[Zone, ...]:
    set_of = {zone: number + 1 for number, run in enumerate(system.together) for zone in run}
    return tuple(
        Zone(
            name=f"zone {number + 1}",
            block=asked.sites[zone.rows[0].block].name,
            rows=tuple(row.address for row in zone.rows),
            trees=zone.trees,
            flow=zone.flow,
            pressure=pressure_of(zone.head),
            uniformity=zone.uniformity,
            lowest_quarter=zone.lowest_quarter,
            manifold=tuple(dict.fromkeys(size.name for size in zone.manifold_sizes.values())),
            peak_hours=peak_hours(zone, peak),
            runs_in_set=set_of[number],
            valve=zone.valve,
            least_pressure=pressure_of(zone.least_head),
            most_pressure=pressure_of(zone.most_head),
            emitters=zone.emitters,
            flow_per_tree=zone.flow / max(zone.trees, 1),
            lines=tuple(row.drip_line(system.line) for row in zone.rows),
            manifold_above=zone.net.above,
            manifold_lengths=tuple(float(length) for length in zone.net.lengths),
            manifold_diameters=tuple(
                zone.manifold_sizes[row].diameter if row in zone.manifold_sizes else 0.0
                for row in range(len(zone.rows))
            ),
        )
        for number, zone in enumerate(system.zones)
    )


def _longest(system: System) -> float:
    """[m] a level line of the chosen kind may be: heads within its range, or emission uniformity at the goal."""
    line, zone = system.line, system.zones[0]
    level = Line(line.spacing(zone.rows[0].tree_spacing), line.diameter, barb=line.barb_m)
    if line.compensating:
        least, mean = line.regulates_from_m + COMPENSATING_MARGIN, np.inf
    else:
        mean = line.litres_per_hour * LITRES_PER_HOUR
        per_tree = zone.emitters / max(zone.trees, 1)
        wanted = least_flow(mean, GOAL, variation=line.variation, per_tree=per_tree)
        least = line.nominal_head_m * (wanted / mean) ** (1 / line.exponent)
    count = longest_line(level, line.hydraulics, last_head=least, most_head=line.most_head_m, mean_flow=mean)
    return count * level.spacing


def _assumptions(asked: WaterQuestion, climate: WaterClimate, peak: float) -> list[Notice]:
    site = asked.sites[int(np.argmax([trees.all for trees in asked.trees]))]
    soaks = site.soaks[0]
    return [
        assumption(
            "water.need",
            source="AP09",
            grassed=asked.grass is not None,
            peak=Measured(peak, Kind.SMALL_VOLUME),
            table=Measured(figures.peak_by_table(asked, climate), Kind.SMALL_VOLUME),
        ),
        assumption(
            "water.efficiency",
            source="SZ86",
            efficiency=EFFICIENCY,
            roots=EFFICIENCY * soaks.roots,
            width=Measured(soaks.width, Kind.LENGTH, 1),
            ball=Measured(2 * float(site.canopy.root_radius[0]), Kind.LENGTH, 1),
        ),
        assumption("water.prices", setting="catalogue/pumps_filters.csv"),
    ]
