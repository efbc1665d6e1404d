"""From weather, ground and trees to a system that waters them: the step of the Water department."""

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue
from topwire.layout.findings import Ground, Layout
from topwire.notices import Faults, Notice, assumption, fault
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.values.progress import Progress, silent
from topwire.values.units import Kind, UnitSystem, shown
from topwire.water import bill, quality, verdict
from topwire.water.canopy import GROWN_LEAF
from topwire.water.climate import DAYS, climate_of
from topwire.water.emitter import least_flow
from topwire.water.figures import (
    block_needs,
    emitted,
    low_middle_high,
    middle_of,
    monthly,
    need_by_leaf,
    of_planted,
    peak_by_table,
    peak_use,
    what_ifs_of,
)
from topwire.water.friction import shaft_power
from topwire.water.lateral import Line, longest_line
from topwire.water.need import foresee_need, stages
from topwire.water.result import (
    LineTried,
    MainStretch,
    QualityNote,
    WaterPlan,
    Zone,
)
from topwire.water.schedule import LOSSES_OF_A_POND, calendar, scenario_years, storage, weekly
from topwire.water.setting import Setting, setting
from topwire.water.system import EFFICIENCY, System, choose, peak_hours
from topwire.water.tables import LITRES_PER_HOUR, EmitterRow, WaterTables, water_tables
from topwire.water.zone import COMPENSATING_MARGIN, GOAL
from topwire.weather.record import Weather

Array = npt.NDArray[np.float64]

_WEEK = np.ones(7) / 7
_FROSTY = 0.02  # share of bloom lost in a middle year from which water against frost is spoken of


def plan_water(
    plan: Plan,
    catalogue: Catalogue,
    weather: Weather,
    seasons: PlaceSeasons,
    ground: Ground,
    layout: Layout,
    *,
    progress: Progress = silent,
) -> WaterPlan:
    """How much water the orchard needs, the system that brings it, and when to run it.

    Raises
    ------
    Faults
        Where there is no tree, no whole weather year, or the emitter named is not in the catalogue.
    """
    tables = water_tables(catalogue)
    lines = _lines(plan, tables)
    if not (layout.cultivar >= 0).any():
        raise Faults([fault("water", "there is no tree to water.", "Choose and lay out trees first.")])
    place = setting(plan, tables, ground, layout)
    progress("need for water over all weather years")
    climate = climate_of(weather, latitude=plan.place.latitude, elevation=plan.place.elevation)
    turns = stages(climate.years, seasons.years, seasons.green_tip, seasons.first_frost)
    needs = tuple(
        foresee_need(site, climate, turns, trees=place.cover, grass=place.grass, mulch=place.mulch)
        for site in place.sites
    )
    peaks = np.array([peak_use(need)[:, -1] for need in needs])  # (sites, years) [L/d]
    peak = np.percentile(peaks, 90, axis=1)
    progress("lines, manifolds and main")
    system, tried = choose(place.rows, lines, place.source, tables, peak)
    if system is None:
        raise Faults(
            [
                fault(
                    "water",
                    f"no line of the catalogue waters these rows with an emission uniformity of {GOAL:.2f}.",
                    "Add a compensating line of a larger inside diameter to emitters.csv, or shorten the rows.",
                )
            ]
        )
    progress("schedule")
    litres = emitted(needs)  # by site: (days, years, leaves) out of the emitters, a tree
    daily_grown = sum(
        (part[:, :, -1] * trees.all / 1000 for part, trees in zip(litres, place.trees, strict=True)),
        np.zeros((DAYS, climate.years.size)),
    )
    season = daily_grown.sum(axis=0)
    picked = scenario_years(season, climate)
    zone_hours = _zone_hours(system, litres, picked)
    trees_of = np.array([trees.all for trees in place.trees], dtype=float)
    supply = place.source.flow * place.source.hours_per_day * 3600
    wanted = storage(np.convolve(daily_grown[:, picked[1]], _WEEK, "same"), supply)
    if plan.water.source.value == "pond":
        wanted = float(season[picked[1]]) * LOSSES_OF_A_POND
    by_leaf = need_by_leaf(litres, place)
    peak_all = (peaks * trees_of[:, np.newaxis]).sum(axis=0) / trees_of.sum()
    lines_to_buy = bill.bill(system, place.source, tables)
    what_ifs = what_ifs_of(
        place,
        climate,
        turns,
        needs,
        bloom=middle_of(of_planted(seasons.full_bloom, seasons, layout), 120.0),
        harvest=middle_of(of_planted(seasons.harvest_first, seasons, layout), 260.0),
    )
    enough, fit_notices = verdict.source_notices(system, place, peak, tables, plan, wanted, lines)
    starts, ends = _watering_season(zone_hours)
    notices = (
        *climate.notices,
        *fit_notices,
        *verdict.system_notices(system, place, plan),
        *_assumptions(place, float(np.percentile(peak_all, 90)), peak_by_table(climate, place), plan),
        *quality.tested(plan.water.salt, plan.water.iron, tables.quality),
        *quality.notices(
            plan.water.source,
            floor=float(
                sum(site.floor * trees.all for site, trees in zip(place.sites, place.trees, strict=True))
            ),
            flow=plan.water.flow,
            units=plan.unit_system,
            frosty=middle_of(of_planted(seasons.bloom_kill, seasons, layout), 0.0) > _FROSTY,
        ),
    )
    return WaterPlan(
        reference_et=monthly(climate.reference),
        peak_need_l_per_tree=low_middle_high(peak_all),
        years=climate.years,
        season_need=season,
        need_by_leaf=by_leaf,
        emitter=system.line.name,
        emitters_per_tree=sum(zone.emitters for zone in system.zones)
        / max(sum(z.trees for z in system.zones), 1),
        zones=_zones(system, place, peak),
        pump_head=system.head_wanted,
        pump_power=shaft_power(system.most_flow, max(system.head_wanted, 0.0), bill.PUMP_EFFICIENCY),
        weekly_hours=zone_hours[:, -1].mean(axis=0),
        storage_wanted=wanted,
        bill=lines_to_buy,
        cost=bill.total(lines_to_buy),
        water_cost_per_year=bill.cost_of_water(float(np.median(season)), system, place.source, tables),
        notices=notices,
        source_head=place.source.head,
        source_enough=enough,
        hours_at_peak=system.total_hours,
        scenario_years=(
            int(climate.years[picked[0]]),
            int(climate.years[picked[1]]),
            int(climate.years[picked[2]]),
        ),
        zone_hours=zone_hours,
        hargreaves=monthly(climate.by_temperature)[:, 1],
        blocks=block_needs(needs, litres, tables.covers["grass alone, cool season"].basal_middle),
        what_ifs=what_ifs,
        calendar=calendar(
            bud_break=float(np.median(turns.bud_break)),
            leaf_fall=float(np.median(turns.leaf_fall)),
            first_frost=middle_of(seasons.first_frost, 300.0),
            starts=starts,
            ends=ends,
            drinking_water=place.source.drinking_water,
            zones=[_name(number) for number in range(len(system.zones))],
        ),
        losses=tuple((name, float(head)) for name, head in system.losses),
        main=tuple(MainStretch(part.length, part.flow, part.size.name) for part in system.main),
        lines_tried=tuple(LineTried(name, cost, why) for name, cost, why in tried),
        quality=tuple(
            QualityNote(
                row.what, row.unit, row.well_below, row.trouble_above, row.says, row.remedy, row.source
            )
            for row in tables.quality
        ),
        longest_row=_longest(system),
        table_peak_l_per_tree=peak_by_table(climate, place),
        mains_flow=system.most_flow,
        season_cost_by_leaf=np.array(
            [bill.cost_of_water(float(volume), system, place.source, tables) for volume in by_leaf]
        ),
    )


def _lines(plan: Plan, tables: WaterTables) -> tuple[EmitterRow, ...]:
    if plan.water.emitter == "choose":
        return tables.emitters
    named = tuple(row for row in tables.emitters if row.name == plan.water.emitter)
    if not named:
        names = "; ".join(row.name for row in tables.emitters)
        raise Faults(
            [
                fault(
                    "plan.yaml, water.emitter",
                    f"there is no emitter “{plan.water.emitter}” in the catalogue.",
                    f"Write choose, or one of: {names}.",
                )
            ]
        )
    return named


def _zone_hours(system: System, litres: tuple[Array, ...], picked: tuple[int, int, int]) -> Array:
    """(zones, leaves, 3, 52) [h/week]"""
    weeks = [weekly(part[:, list(picked), :]) for part in litres]  # (52, 3, leaves) by site
    hours = np.zeros((len(system.zones), GROWN_LEAF, 3, weeks[0].shape[0]))
    for number, zone in enumerate(system.zones):
        volume = sum((row.trees * weeks[row.block] for row in zone.rows), np.zeros_like(weeks[0]))
        hours[number] = (volume / 1000 / (zone.flow * 3600)).transpose(2, 1, 0)
    return hours


def _watering_season(zone_hours: Array) -> tuple[float, float]:
    """First and last day of the weeks in which a full-grown zone runs, normal year."""
    running = np.flatnonzero(zone_hours[:, -1, 0].max(axis=0) > 0.05)
    if running.size == 0:
        return 152.0, 244.0
    return float(running[0] * 7 + 1), float(running[-1] * 7 + 7)


def _name(number: int) -> str:
    return f"zone {number + 1}"


def _zones(system: System, place: Setting, peak: Array) -> tuple[Zone, ...]:
    set_of = {zone: number + 1 for number, run in enumerate(system.together) for zone in run}
    found = []
    for number, zone in enumerate(system.zones):
        widths: dict[str, float] = {}
        for size, length in zip(zone.manifold_sizes, zone.manifold_lengths, strict=True):
            widths[size.name] = widths.get(size.name, 0.0) + float(length)
        found.append(
            Zone(
                name=_name(number),
                rows=tuple(row.address for row in zone.rows),
                trees=zone.trees,
                flow=zone.flow,
                head=zone.head,
                uniformity=zone.uniformity,
                tubing=system.line.name,
                manifold=", ".join(widths) or "none: one row on the valve",
                peak_hours_per_day=peak_hours(zone, peak),
                block=place.sites[zone.rows[0].block].name,
                runs_in_set=set_of[number],
                valve=(zone.valve[0], zone.valve[1]),
                flow_variation=zone.flow_variation,
                least_head=zone.least_head,
                most_head=zone.most_head,
                emitters=zone.emitters,
                litres_per_tree_hour=zone.flow * 3.6e6 / max(zone.trees, 1),
            )
        )
    return tuple(found)


def _longest(system: System) -> float:
    """[m] a level line of the chosen kind may be: heads within its range, or emission uniformity at the goal."""
    line, zone = system.line, system.zones[0]
    level = Line(1, line.spacing(zone.rows[0].tree_spacing), line.diameter, barb=line.barb_m)
    if line.compensating:
        least = line.regulates_from_m + COMPENSATING_MARGIN
        count = longest_line(level, line.hydraulics, last_head=least, most_head=line.most_head_m)
    else:
        mean = line.litres_per_hour * LITRES_PER_HOUR
        per_tree = zone.emitters / max(zone.trees, 1)
        least_flow_wanted = least_flow(mean, GOAL, variation=line.variation, per_tree=per_tree)
        least = line.nominal_head_m * (least_flow_wanted / mean) ** (1 / line.exponent)
        count = longest_line(
            level, line.hydraulics, last_head=least, most_head=line.most_head_m, mean_flow=mean
        )
    return count * level.spacing


def _assumptions(place: Setting, peak: float, by_table: float, plan: Plan) -> tuple[Notice, ...]:
    digits = 1 if plan.unit_system is UnitSystem.US else 3
    ours, theirs = (
        shown(litres / 1000, Kind.VOLUME, plan.unit_system, digits=digits) for litres in (peak, by_table)
    )
    alley = "grass in the alleys" if place.grass is not None else "bare alleys"
    return (
        assumption(
            "water",
            f"tree size, roots and ground cover by leaf are common practice ({alley}); the coefficients for a tall, "
            "narrow wall (multiplier 1.5, stomata 0.90) are from memory and weak: need may be a quarter off either "
            f"way. At the peak we count {ours} a tree and day; the plain table of FAO-56 for a full orchard gives "
            f"{theirs}.",
            "Watch the soil with an auger or a probe at two depths and correct the run time.",
            "AP09",
        ),
        assumption(
            "water",
            f"of what leaves the emitters {EFFICIENCY:.0%} reaches roots; soil figures are the middle of the table for "
            "the texture named. Measured drip systems mostly stand at a distribution uniformity of 0.65 to 0.80: "
            "flushing and filters keep it up.",
            "",
            "PERDU",
        ),
        assumption(
            "water", "all prices of the water bill are proposals.", "Replace them by quotes in the catalogue."
        ),
    )
