"""Is the source enough, and is the system sound: notices with the smallest change that would do."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.values.notice import Fact, Measured, Notice, Severity, remark, warning
from topwire.values.quantities import Plain
from topwire.values.terms import WaterSource
from topwire.values.units import Kind
from topwire.water.asked import WaterQuestion
from topwire.water.emitter import manufacturing_class
from topwire.water.findings import PipeMap, Store
from topwire.water.friction import pressure_of, velocity
from topwire.water.schedule import LEAST_FLUSH
from topwire.water.sizing import FASTEST
from topwire.water.system import EFFICIENCY, FLOW_USED, System, build, flow_for
from topwire.water.ways import CROSSING, Obstacles
from topwire.water.wetting import AT_TRUNK
from topwire.water.zone import GOAL

Array = npt.NDArray[np.float64]

_BAR = 0.90
# How large a change is: times the source must be better; a tank and fewer trees count as larger by these.
_TANK_IS_LIKE = 0.5
_FEWER_IS_LIKE = 1.0
_HOURS_SLACK = 0.005
_WORTH_A_TANK = 0.5  # [m3] less is within a day's slack


def source_notices(
    asked: WaterQuestion,
    system: System,
    peak: Array,
    storage: float | None,
    store: Store | None,
    *,
    settled: bool = False,
) -> tuple[bool, list[Notice]]:
    """Whether the source is enough, and what to say about it.

    Parameters
    ----------
    peak : (sites,) [L/d] net for a tree
    storage : [m3] wanted in store, None where no store serves nine years of ten
    store : the one at hand or wanted
    settled : a tank stands between, and a pump behind it gives the pressure
    """
    source = asked.source
    found: list[Notice] = []
    hours = system.total_hours
    enough = True
    if hours > source.hours_per_day * (1 + 1e-9) or system.most_flow > source.flow * (1 + 1e-9):
        enough = False
        found.append(_too_little(asked, system, peak))
    short = system.head_wanted - source.head
    if short > 1e-6 and not settled:
        enough = False
        found.append(
            warning(
                "water.low_pressure",
                setting="water.pressure",
                wanted=Measured(pressure_of(system.head_wanted), Kind.PRESSURE),
                has=Measured(pressure_of(source.head), Kind.PRESSURE),
                short=Measured(pressure_of(short), Kind.PRESSURE),
                flow=Measured(system.most_flow, Kind.FLOW),
            )
        )
    if _wants_store(storage):
        found.append(_store(asked, storage, store))
    return enough, found


def _wants_store(storage: float | None) -> bool:
    return storage is None or storage > _WORTH_A_TANK


def advises_store(storage: float | None, told: Iterable[Notice]) -> bool:
    """Whether nine years of ten take a store, of `storage` [m3], or what was `told` of the source advises a tank."""
    return _wants_store(storage) or any("tank" in notice.facts for notice in told)


def _store(asked: WaterQuestion, storage: float | None, store: Store | None) -> Notice:
    at_hand = asked.source.storage
    if storage is None:
        catchment = Measured(asked.catchment or 0.0, Kind.AREA)
        return warning("water.never_full", setting="water.catchment", catchment=catchment)
    digits = 0 if storage >= 10 else 1
    size = Measured(storage, Kind.VOLUME, digits)
    if at_hand is not None and at_hand >= storage:
        return remark("water.store_at_hand", setting="water.storage", size=size)
    has = Measured(at_hand or 0.0, Kind.VOLUME, digits)
    if asked.source_kind is WaterSource.POND:
        return warning(
            "water.pond",
            setting="water.storage",
            size=size,
            stated=at_hand is not None,
            has=has,
            full=asked.catchment is None,
            dry=store.dry_years if store else 0,
        )
    price = (asked.tables.fitting("storage", 0.0).price or 0.0) * (storage - (at_hand or 0.0))
    return warning(
        "water.store",
        setting="water.storage",
        size=size,
        stated=at_hand is not None,
        has=has,
        price=Measured(price, Plain.MONEY),
    )


def _least_source(asked: WaterQuestion, peak: Array) -> tuple[float, str] | None:
    """Least flow that would do [m3/s] and the line that does with it, its system built to make sure."""
    source = asked.source
    flows = (
        (flow_for(asked.rows, line, source.hours_per_day, peak), line.name, line) for line in asked.lines
    )
    known = sorted((flow, name, line) for flow, name, line in flows if flow is not None)
    for flow, name, line in known:
        # the planned share of the flow leaves room for emitters that run a little above their nominal flow
        system = build(asked.rows, line, replace(source, flow=flow), asked.tables, peak, asked.around)
        if system is not None and system.total_hours <= source.hours_per_day * (1 + _HOURS_SLACK):
            return flow, name
    return None


def _too_little(asked: WaterQuestion, system: System, peak: Array) -> Notice:
    """What the source lacks, and the changes that would do by name, the smallest first."""
    source, hours = asked.source, system.total_hours
    facts: dict[str, Fact] = {
        "hours": Measured(hours, Plain.HOURS, 1),
        "allowed": Measured(source.hours_per_day, Plain.HOURS),
    }
    ways: list[tuple[float, str]] = []
    if hours <= 24:
        ways.append((hours / source.hours_per_day, "hours"))
    day = sum(row.trees * float(peak[row.block]) for rows in asked.rows for row in rows) / 1000 / EFFICIENCY
    given = source.flow * source.hours_per_day * 3600 * FLOW_USED
    least = _least_source(asked, peak)
    if least is not None:
        flow, facts["line"] = least
        facts["flow"] = Measured(flow, Kind.FLOW)
        ways.append((flow / source.flow, "flow"))
        if given < day <= source.flow * 24 * 3600 * FLOW_USED:
            facts["tank"] = Measured(day - given, Kind.VOLUME)
            ways.append((flow / source.flow + _TANK_IS_LIKE, "tank"))
    trees = sum(item.all for item in asked.trees)
    facts["trees"], facts["fewer"] = trees, int(trees * source.hours_per_day / hours)
    ways.append((trees / max(int(trees * source.hours_per_day / hours), 1) + _FEWER_IS_LIKE, "fewer"))
    facts["ways"] = tuple(way for _, way in sorted(ways))
    return Notice("water.too_little", Severity.WARNING, "water.flow", facts=facts)


def crossings(pipes: PipeMap, around: Obstacles) -> list[Notice]:
    """Pipes for which the way around an obstacle was too long."""
    found: dict[int, dict[str, None]] = {}
    for run in pipes.runs:
        for number in around.crossed([run.start, run.end]) if run.start else ():
            found.setdefault(number, {})[run.zone or str(run.kind)] = None
    most = Measured(CROSSING, Kind.LENGTH)
    return [
        warning(
            "water.pipe_crosses", setting="ground.obstacles", concerns=[*names], obstacle=number, around=most
        )
        for number, names in sorted(found.items())
    ]


def unseen(asked: WaterQuestion) -> list[Notice]:
    """That nobody looked what stands in the way of the source's pipe, where the plan does not say where it begins."""
    source = asked.source
    if source.placed or not source.distance or not asked.around.rings:
        return []
    length = Measured(source.distance, Kind.LENGTH)
    return [remark("water.pipe_unseen", setting="water.at", length=length)]


def system_notices(asked: WaterQuestion, system: System) -> list[Notice]:
    """What is to be known of the lines and pipes themselves."""
    found: list[Notice] = []
    if system.least_uniformity < _BAR:
        found.append(
            warning("water.uneven", setting="water.emitter", uniformity=system.least_uniformity, goal=GOAL)
        )
    line = system.line
    soil = asked.sites[0].soil
    spacing = line.spacing(system.zones[0].rows[0].tree_spacing)
    rate = line.litres_per_hour / (spacing * soil.wetted_width_m)  # [mm/h] on the strip
    if rate > soil.infiltration_mm_h:
        found.append(
            warning(
                "water.floods",
                setting="water.emitter",
                source="INFIL",
                rate=Measured(rate, Kind.RAIN, 1),
                takes=Measured(soil.infiltration_mm_h, Kind.RAIN, 1),
                soil=soil.texture,
            )
        )
    if spacing > 0.8 * soil.wetted_width_m and line.kind == "line":
        found.append(
            remark(
                "water.spots",
                setting="water.emitter",
                source="KB90",
                soil=soil.texture,
                spacing=Measured(spacing, Kind.LENGTH),
            )
        )
    away = max(row.farthest(line) for zone in system.zones for row in zone.rows)
    if away > AT_TRUNK + 1e-9:
        found.append(warning("water.away", setting="water.emitter", away=Measured(away, Kind.SMALL_LENGTH)))
    narrowest = min(site.wetted_share for site in asked.sites)
    if narrowest < 0.20:
        found.append(remark("water.narrow_strip", source="KB90", share=narrowest))
    make = manufacturing_class(line.variation, line=line.kind == "line")
    found.append(
        remark("water.make", source="EP405", line=line.name, variation=line.variation, grade=make.value)
    )
    end_flow = LEAST_FLUSH * np.pi / 4 * line.diameter**2
    at_once = max(int(min(zone.flow for zone in system.zones) / end_flow), 1)
    found.append(
        remark("water.flushing", source="KB90", ends=at_once, speed=Measured(LEAST_FLUSH, Kind.LENGTH, 1))
    )
    found.append(
        remark("water.hangs", setting="trellis.low_wire", height=Measured(asked.low_wire, Kind.LENGTH))
    )
    if any(float(velocity(part.flow, part.size.diameter)) > FASTEST for part in system.main):
        found.append(
            warning("water.fast", setting="catalogue/tubing.csv", speed=Measured(FASTEST, Kind.LENGTH, 1))
        )
    return found
