"""Is the source enough, and is the system sound: notices with the smallest change that would do."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.notices import Notice, remark, warning
from topwire.plan.model import Plan
from topwire.plan.trees import WaterSource
from topwire.values.units import Kind, shown
from topwire.water.emitter import manufacturing_class
from topwire.water.friction import DENSITY, GRAVITY, velocity
from topwire.water.schedule import LEAST_FLUSH
from topwire.water.setting import Setting
from topwire.water.system import EFFICIENCY, FLOW_USED, System, build, flow_for
from topwire.water.tables import EmitterRow, WaterTables
from topwire.water.zone import GOAL

Array = npt.NDArray[np.float64]

_BAR = 0.90
# How large a change is: times the source must be better; a tank and fewer trees count as larger by these.
_TANK_IS_LIKE = 0.5
_FEWER_IS_LIKE = 1.0
_HOURS_SLACK = 0.005
_WORTH_A_TANK = 0.5  # [m3] less is within a day's slack


def source_notices(
    system: System,
    place: Setting,
    peak: Array,
    tables: WaterTables,
    plan: Plan,
    storage: float,
    lines: Sequence[EmitterRow],
) -> tuple[bool, tuple[Notice, ...]]:
    """Whether the source is enough, and what to say about it; `lines` are those to choose from."""
    source, units = place.source, plan.unit_system
    found: list[Notice] = []
    hours = system.total_hours
    enough = True
    if hours > source.hours_per_day * (1 + 1e-9) or system.most_flow > source.flow * (1 + 1e-9):
        enough = False
        found.append(_too_little(system, place, peak, tables, lines, plan))
    if system.head_wanted > source.head + 1e-6:
        enough = False
        short = system.head_wanted - source.head
        found.append(
            warning(
                "water",
                f"the source's pressure is too low: {shown(_pressure(system.head_wanted), Kind.PRESSURE, units)} is "
                f"wanted at it, it has {shown(_pressure(source.head), Kind.PRESSURE, units)}.",
                f"Smallest change: a booster pump that adds {shown(_pressure(short), Kind.PRESSURE, units)} at "
                f"{shown(system.most_flow, Kind.FLOW, units, digits=1)} (in the bill).",
            )
        )
    if storage > _WORTH_A_TANK:
        found.append(_store(storage, tables, plan))
    return enough, tuple(found)


def _store(storage: float, tables: WaterTables, plan: Plan) -> Notice:
    units, at_hand = plan.unit_system, plan.water.storage
    size = shown(storage, Kind.VOLUME, units)
    if at_hand is not None and at_hand >= storage:
        return remark("water", f"the dry year of ten asks for {size} in store, which is at hand.")
    fence = "A pond or tank drowns children: fence it, with a way to climb out."
    if plan.water.source is WaterSource.POND:
        return warning(
            "water",
            f"the dry year of ten takes {size} from the pond, evaporation and seepage counted.",
            f"It must hold that in spring or be filled as fast as it is drawn; state water.storage. {fence}",
        )
    have = (
        "none is named in the plan" if at_hand is None else f"{shown(at_hand, Kind.VOLUME, units)} is at hand"
    )
    price = (tables.fitting("storage", 0.0).price or 0.0) * (storage - (at_hand or 0.0))
    return warning(
        "water",
        f"the dry year of ten asks for {size} in store; {have}.",
        f"State water.storage if there is one; to dig and line it costs about {price:,.0f} (proposal). {fence}",
    )


def _pressure(head: float) -> float:
    return head * DENSITY * GRAVITY


def _least_source(
    place: Setting, peak: Array, tables: WaterTables, lines: Sequence[EmitterRow]
) -> tuple[float, str] | None:
    """Least flow that would do [m3/s] and the line that does with it, its system built to make sure."""
    flows = (
        (flow_for(place.rows, line, place.source.hours_per_day, peak), line.name, line) for line in lines
    )
    known = sorted((flow, name, line) for flow, name, line in flows if flow is not None)
    for flow, name, line in known:
        # the planned share of the flow leaves room for emitters that run a little above their nominal flow
        system = build(place.rows, line, replace(place.source, flow=flow), tables, peak)
        if system is not None and system.total_hours <= place.source.hours_per_day * (1 + _HOURS_SLACK):
            return flow, name
    return None


def _too_little(
    system: System, place: Setting, peak: Array, tables: WaterTables, lines: Sequence[EmitterRow], plan: Plan
) -> Notice:
    """What the source lacks, and the changes that would do, the smallest first."""
    source, units = place.source, plan.unit_system
    hours = system.total_hours
    least = _least_source(place, peak, tables, lines)
    ways = []
    if hours <= 24:
        ways.append((hours / source.hours_per_day, f"let it run {hours:.1f} hours a day"))
    litres = float(sum(row.trees * peak[row.block] for rows in place.rows for row in rows))
    day = litres / 1000 / EFFICIENCY
    given = source.flow * source.hours_per_day * 3600 * FLOW_USED
    if least is not None:
        flow, name = least
        wanted = shown(flow, Kind.FLOW, units, digits=1)
        ways.append((flow / source.flow, f"a source of {wanted} (with the {name})"))
        if given < day <= source.flow * 24 * 3600 * FLOW_USED:
            tank = shown(day - given, Kind.VOLUME, units)
            filled = f"a tank of {tank} that fills round the clock, with a pump of {wanted}"
            ways.append((flow / source.flow + _TANK_IS_LIKE, filled))
    trees = sum(item.all for item in place.trees)
    fewer = int(trees * source.hours_per_day / hours)
    ways.append(
        (trees / max(fewer, 1) + _FEWER_IS_LIKE, f"fewer trees: about {fewer:,} instead of {trees:,}")
    )
    ways.sort(key=lambda way: way[0])
    others = "; or ".join(way for _, way in ways[1:])
    return warning(
        "water",
        f"the source gives too little: at the peak all zones together run {hours:.1f} hours a day, it may "
        f"run {source.hours_per_day:g}.",
        f"Smallest change: {ways[0][1]}." + (f" Or: {others}." if others else ""),
    )


def system_notices(system: System, place: Setting, plan: Plan) -> tuple[Notice, ...]:
    """What is to be known of the lines and pipes themselves."""
    units = plan.unit_system
    found: list[Notice] = []
    if system.least_uniformity < _BAR:
        found.append(
            warning(
                "water",
                f"emission uniformity is {system.least_uniformity:.2f} in the worst zone; {GOAL:.2f} is aimed at.",
                "Choose a compensating line.",
            )
        )
    line = system.line
    soil = place.sites[0].soil
    spacing = line.spacing(system.zones[0].rows[0].tree_spacing)
    rate = line.litres_per_hour / (spacing * soil.wetted_width_m)  # [mm/h] on the strip
    if rate > soil.infiltration_mm_h:
        found.append(
            warning(
                "water",
                f"the line gives {rate:.1f} mm an hour to its strip, more than {soil.texture} takes in for long "
                f"({soil.infiltration_mm_h:g} mm an hour): water will stand or run.",
                "Water in several short runs a day, or take a line with emitters of lower flow.",
                "INFIL",
            )
        )
    if spacing > 0.8 * soil.wetted_width_m and line.kind == "line":
        found.append(
            remark(
                "water",
                f"on {soil.texture} emitters every {shown(spacing, Kind.LENGTH, units, digits=1)} wet spots rather "
                "than one strip.",
                "Closer emitters, or two lines a row, wet more of it.",
                "KB90",
            )
        )
    shares = [site.wetted_share for site in place.sites]
    if min(shares) < 0.20:
        found.append(
            remark(
                "water",
                f"one line wets about {min(shares):.0%} of the floor; a fifth is wanted where it rains in summer, a "
                "third where it does not.",
                "",
                "KB90",
            )
        )
    make = manufacturing_class(line.variation, line=line.kind == "line")
    found.append(
        remark(
            "water",
            f"{line.name}: variation of the make {line.variation:g}, {make}. The figure is the maker's to give: ask.",
            "",
            "EP405",
        )
    )
    end_flow = LEAST_FLUSH * np.pi / 4 * line.diameter**2
    zone_flow = min(zone.flow for zone in system.zones)
    at_once = max(int(zone_flow / end_flow), 1)
    found.append(
        remark(
            "water",
            f"flush lines by opening no more than {at_once} ends of a zone at a time, so that water leaves at "
            f"{shown(LEAST_FLUSH, Kind.LENGTH, units, digits=1)} a second or more.",
            "",
            "KB90",
        )
    )
    found.append(
        remark(
            "water",
            "the drip line (lateral) hangs on the low wire, "
            f"{shown(place.rows[0][0].low_wire, Kind.LENGTH, units, digits=1)} above ground; its length "
            "in the bill is post to post with the riser.",
        )
    )
    fast = [s for s in system.main if float(velocity(s.flow, s.size.diameter)) > 1.5]
    if fast:
        found.append(
            warning(
                "water",
                "even the widest main of the catalogue runs faster than 1.5 m/s.",
                "Add a wider pipe to tubing.csv, or water in smaller sets.",
            )
        )
    return tuple(found)
