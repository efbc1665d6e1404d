"""The whole system behind one source: zones, what runs together, the main, and whether the source is enough."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.values.bill import BillLine, SoldBy, together
from topwire.values.mark import Mark
from topwire.values.notice import CannotAnswer, refusal
from topwire.water import tap
from topwire.water.findings import LossPart, Shortcoming
from topwire.water.friction import blasius
from topwire.water.sizing import cheapest_sizes, spanning_tree
from topwire.water.tables import EmitterRow, FittingRow, TubeRow, WaterTables
from topwire.water.ways import NOTHING, Obstacles, PipeNet, shortest
from topwire.water.zone import SizedZone, WateredRow, size_zone, split_rows

Array = npt.NDArray[np.float64]

DETOUR = 1.1  # mains follow headlands, not the bird, common practice
FLOW_USED = 0.95  # share of the source's flow that may be planned, common practice
EFFICIENCY = 0.90  # [-] of water that leaves emitters, common practice for drip
PROPOSAL = "proposal"
_FINER = 1.02  # steps in which a larger source is sought
LEAST_LOSS = 2.0  # [m] a main may always lose, where the source has too little pressure anyway


@dataclass(frozen=True)
class WaterInlet:
    """What feeds the orchard.

    `point` is where its pipe reaches the first block, (x, y, height) [m], or where the source is `placed` the source
    itself, with no distance between; `height` that of the source itself.
    """

    flow: float  # [m3/s]
    head: float  # [m] of pressure at that flow
    height: float  # [m]
    distance: float  # [m] to `point`
    point: tuple[float, float, float]
    hours_per_day: float
    open_water: bool
    drinking_water: bool
    storage: float | None = None  # [m3] pond or tank at hand
    laden: bool = False  # by its test so full that a screen alone would clog
    placed: bool = False  # the plan says where it is


@dataclass(frozen=True)
class Stretch:
    """A pipe of the main, from one point to the next: 0 where the source's pipe reaches the first block (the source
    itself where it is placed), k the valve of zone k (from 1), -1 a source whose place nobody knows. `way` has all
    places it passes, none for that source's pipe."""

    length: float
    flow: float  # [m3/s] the most it carries
    size: TubeRow
    start: int
    end: int
    way: tuple[tuple[float, float, float], ...] = ()


@dataclass(frozen=True)
class System:
    """One sized system.

    Attributes
    ----------
    line : what the rows carry
    zones : sized zones
    together : for each set that runs at one time, the numbers of its zones
    hours : (sets,) run a day at the peak [h]
    main : stretches, the first from the source
    head_wanted : at the source [m]
    losses : what the head goes to, for the zone that needs most: part, item, head [m]
    head_fitting : what stands at the source
    valves, regulator : of each zone; of all
    begin : where the source's pipe reaches the first block, or the source itself where it is placed [m]
    cost : of lines, manifolds and main
    from_tap : its head is that of a garden tap
    """

    line: EmitterRow
    zones: tuple[SizedZone, ...]
    together: tuple[tuple[int, ...], ...]
    hours: tuple[float, ...]
    main: tuple[Stretch, ...]
    head_wanted: float
    losses: tuple[tuple[LossPart, str, float], ...]
    head_fitting: tuple[FittingRow, ...]
    valves: tuple[FittingRow, ...]
    regulator: FittingRow
    begin: tuple[float, float, float]
    cost: float
    from_tap: bool = False

    @property
    def most_flow(self) -> float:
        """[m3/s] the most any set takes."""
        return max(sum(self.zones[zone].flow for zone in run) for run in self.together)

    @property
    def least_uniformity(self) -> float:
        return min(zone.uniformity for zone in self.zones)

    @property
    def total_hours(self) -> float:
        return sum(self.hours)


def pack(flows: Sequence[float], limit: float) -> tuple[tuple[int, ...], ...]:
    """Zones that run together: largest first, each into the first set with room; lower numbers first on a tie."""
    sets: list[list[int]] = []
    used: list[float] = []
    for zone in sorted(range(len(flows)), key=lambda number: (-flows[number], number)):
        for number, taken in enumerate(used):
            if taken + flows[zone] <= limit * (1 + 1e-9):
                sets[number].append(zone)
                used[number] += flows[zone]
                break
        else:
            sets.append([zone])
            used.append(flows[zone])
    return tuple(tuple(sorted(members)) for members in sets)


def line_cost(rows: Sequence[WateredRow], line: EmitterRow, tables: WaterTables) -> float:
    """What the rows' lines cost."""
    return together(line_items(rows, line, tables))


def line_items(rows: Sequence[WateredRow], line: EmitterRow, tables: WaterTables) -> tuple[BillLine, ...]:
    """The lines of all rows; lengths are post to post plus the riser."""
    metres = sum(row.length + row.low_wire for row in rows)
    if line.kind == "line":
        return (goods(line.name, metres, line.price_per_m, line.price_source, SoldBy.LENGTH),)
    tube = next((row for row in tables.tubes if row.name == line.tube), None)
    if tube is None:
        raise CannotAnswer(
            [refusal("water.no_tube", setting="catalogue/emitters.csv", line=line.name, tube=line.tube or "")]
        )
    buttons = float(sum(row.emitters(line) for row in rows))
    return (
        goods(tube.name, metres, tube.price_per_m, tube.price_source, SoldBy.LENGTH),
        goods(line.name, buttons, line.price_each, line.price_source, SoldBy.PIECE),
    )


def goods(item: str, quantity: float, price: float | None, price_source: str, sold_by: SoldBy) -> BillLine:
    """A line of the bill; a price that nobody has quoted has no source."""
    source = "" if price_source == PROPOSAL else price_source
    return BillLine(item, quantity, sold_by, price, source, Mark.READ if source else Mark.UNSAID)


def peak_hours(zone: SizedZone, peak: Array) -> float:
    """Run a day that gives a zone's trees their peak net need. [h]

    Parameters
    ----------
    peak : (blocks,) [L/d] net for a tree
    """
    litres = sum(row.trees * float(peak[row.block]) for row in zone.rows)
    return litres / 1000 / EFFICIENCY / (zone.flow * 3600)


def build(
    blocks: Sequence[tuple[WateredRow, ...]],
    line: EmitterRow,
    source: WaterInlet,
    tables: WaterTables,
    peak: Array,
    around: Obstacles = NOTHING,
) -> System | None:
    """A sized system with this line, or None where uniformity cannot be had with it."""
    zones = []
    for rows in blocks:
        for part in split_rows(rows, line, FLOW_USED * source.flow):
            zone = size_zone(part, line, tables.mains, around)
            if zone is None:
                return None
            zones.append(zone)
    together = pack([zone.flow for zone in zones], max(FLOW_USED * source.flow, max(z.flow for z in zones)))
    hours = tuple(max(peak_hours(zones[zone], peak) for zone in run) for run in together)
    return _with_main(tuple(zones), together, hours, line, source, tables, around)


def _with_main(
    zones: tuple[SizedZone, ...],
    together: tuple[tuple[int, ...], ...],
    hours: tuple[float, ...],
    line: EmitterRow,
    source: WaterInlet,
    tables: WaterTables,
    around: Obstacles,
) -> System:
    net = shortest([source.point, *(zone.valve for zone in zones)], around)
    # stretch 0 is the pipe from the source; stretch k the one to zone k's valve
    length = np.concatenate([[source.distance], net.on_map[1:] * DETOUR])
    way = np.zeros((len(zones), length.size), dtype=bool)
    for zone in range(len(zones)):
        way[zone, [0, *net.passed(zone + 1)]] = True
    flow = np.zeros(length.size)
    for run in together:
        carried = sum((way[zone] * zones[zone].flow for zone in run), np.zeros(length.size))
        flow = np.maximum(flow, carried)
    most = float(flow[0])
    away = float(length[way[0]].sum()) if source.placed else source.distance
    from_tap = source.drinking_water and tap.serves(away, zones, most)
    if from_tap:
        head_fitting, timer, regulator = tap.on_the_tap(tables, most)
        valves: tuple[FittingRow, ...] = (timer,)
    else:
        head_fitting = _head_fittings(source, tables, most)
        valves = tuple(tables.fitting("valve", zone.flow) for zone in zones)
        regulator = tables.fitting("regulator", most)
    fixed = sum(item.loss_dirty_m for item in head_fitting) + regulator.loss_dirty_m
    wanted = np.array(
        [
            zone.head + valve.loss_dirty_m + fixed + zone.valve[2] - source.height
            for zone, valve in zip(zones, valves, strict=True)
        ]
    )
    used = length > 0
    available = source.head - wanted
    sizes = None
    for allowed in (available, np.maximum(available, LEAST_LOSS)):
        if sizes is None and (allowed > 0).all():
            sizes = cheapest_sizes(
                flow[used],
                length[used],
                paths=way[:, used],
                allowed=allowed,
                diameters=np.array([tube.diameter for tube in tables.mains]),
                prices=np.array([tube.price_per_m or 0.0 for tube in tables.mains]),
                above=_upstream(net, used),
            )
    if sizes is None:
        # even the widest pipes lose too much: take the widest, and let the pump head say so
        sizes = np.full(int(used.sum()), len(tables.mains) - 1)
    chosen = [tables.mains[int(size)] for size in sizes]
    loss = np.zeros(length.size)
    loss[used] = blasius(flow[used], np.array([size.diameter for size in chosen]))[0] * length[used]
    friction = way @ loss
    hardest = int((wanted + friction).argmax())
    ends = np.flatnonzero(used)
    main = tuple(
        Stretch(float(length[end]), float(flow[end]), size, net.above[end], int(end), net.ways[end])
        for end, size in zip(ends, chosen, strict=True)
    )
    rows = [row for zone in zones for row in zone.rows]
    cost = (
        line_cost(rows, line, tables)
        + sum(zone.manifold_cost for zone in zones)
        + sum(stretch.length * (stretch.size.price_per_m or 0.0) for stretch in main)
    )
    losses = (
        (LossPart.HEIGHT, "", zones[hardest].valve[2] - source.height),
        (LossPart.MAIN, "", float(friction[hardest])),
        *((LossPart.FITTING, item.item, item.loss_dirty_m) for item in head_fitting),
        (LossPart.VALVE, valves[hardest].item, valves[hardest].loss_dirty_m),
        (LossPart.VALVE, regulator.item, regulator.loss_dirty_m),
        (LossPart.ZONE, "", zones[hardest].head),
    )
    return System(
        line,
        zones,
        together,
        hours,
        main,
        float((wanted + friction).max()),
        losses,
        head_fitting,
        valves,
        regulator,
        source.point,
        cost,
        from_tap,
    )


def _upstream(net: PipeNet, used: npt.NDArray[np.bool_]) -> list[int]:
    """Of each stretch used, the one its water comes from, both counted among those used; -1 where from the source."""
    number = {int(end): at for at, end in enumerate(np.flatnonzero(used))}
    found = []
    for end in number:
        upper = [*net.passed(end)[1:], *([0] if end else [])]
        found.append(next((number[point] for point in upper if point in number), -1))
    return found


def _head_fittings(source: WaterInlet, tables: WaterTables, flow: float) -> tuple[FittingRow, ...]:
    """What stands at the source: against backflow, the filter, the meter."""
    guard = tables.fitting("backflow" if source.drinking_water else "check", flow)
    cleaner = tables.fitting("media filter" if source.open_water or source.laden else "filter", flow)
    return (guard, cleaner, tables.fitting("meter", flow))


def hours_at(blocks: Sequence[tuple[WateredRow, ...]], line: EmitterRow, flow: float, peak: Array) -> float:
    """Run a day at the peak that a source of this flow [m3/s] would need, at nominal emitter flow. [h]"""
    single = line.litres_per_hour / 3.6e6
    flows, hours = [], []
    for rows in blocks:
        for part in split_rows(rows, line, FLOW_USED * flow):
            given = sum(row.emitters(line) for row in part) * single
            litres = sum(row.trees * float(peak[row.block]) for row in part)
            flows.append(given)
            hours.append(litres / 1000 / EFFICIENCY / (given * 3600))
    together = pack(flows, max(FLOW_USED * flow, max(flows)))
    return sum(max(hours[zone] for zone in run) for run in together)


def flow_for(
    blocks: Sequence[tuple[WateredRow, ...]], line: EmitterRow, hours_per_day: float, peak: Array
) -> float | None:
    """Least flow of a source that waters all in the hours of a day, to 2 %; None where no flow does. [m3/s]

    Zones come in whole rows, so that a little more flow may need more hours than a little less: flows are tried from
    the least upwards.
    """
    litres = sum(row.trees * float(peak[row.block]) for rows in blocks for row in rows)
    flow = litres / 1000 / EFFICIENCY / (hours_per_day * 3600) / FLOW_USED
    everything = sum(row.emitters(line) for rows in blocks for row in rows) * line.litres_per_hour / 3.6e6
    most = everything / FLOW_USED
    while flow < most:
        if hours_at(blocks, line, flow, peak) <= hours_per_day:
            return flow
        flow *= _FINER
    return most if hours_at(blocks, line, most, peak) <= hours_per_day else None


@dataclass(frozen=True)
class Trial:
    """A line looked at, and why it was not taken; no miss: it would do."""

    line: EmitterRow
    misses: tuple[Shortcoming, ...]
    hours: float  # [h] a day at the peak
    system: System | None  # None where not built


def choose(
    blocks: Sequence[tuple[WateredRow, ...]],
    lines: Sequence[EmitterRow],
    source: WaterInlet,
    tables: WaterTables,
    peak: Array,
    around: Obstacles = NOTHING,
) -> tuple[System | None, tuple[Trial, ...]]:
    """The cheapest system that meets uniformity within the source; where none does, the one that misses least.

    Lines with an emitter at every trunk go before all others: a first summer's tree drinks from no other.

    Lines are tried from the cheapest on; one that even with the narrowest pipes costs more than the best system
    so far is not built.
    """
    every = [row for rows in blocks for row in rows]
    near = [line for line in lines if all(row.in_step(line) for row in every)]
    trials = [Trial(line, (Shortcoming.AWAY,), 0.0, None) for line in lines if near and line not in near]
    lines = near or lines
    order = sorted(lines, key=lambda line: (line_cost(every, line, tables), line.name))
    pipes = _least_pipe_cost(every, source, tables)
    best: System | None = None
    fallback: System | None = None
    for line in order:
        hours = hours_at(blocks, line, source.flow, peak)
        bar = 1.0 if best is not None else _shortfall(fallback, source) if fallback is not None else np.inf
        if best is not None and line_cost(every, line, tables) + pipes >= best.cost:
            trials.append(Trial(line, (Shortcoming.DEARER,), hours, None))
        elif hours / source.hours_per_day > bar + 1e-9:
            trials.append(Trial(line, (Shortcoming.HOURS,), hours, None))
        else:
            system = build(blocks, line, source, tables, peak, around)
            if system is None:
                trials.append(Trial(line, (Shortcoming.UNEVEN,), hours, None))
                continue
            trials.append(Trial(line, _misses(system, source), system.total_hours, system))
            if _shortfall(system, source) <= 1 + 1e-9:
                if best is None or system.cost < best.cost:
                    best = system
            elif fallback is None or _shortfall(system, source) < _shortfall(fallback, source):
                fallback = system
    return best or fallback, tuple(trials)


def _least_pipe_cost(rows: Sequence[WateredRow], source: WaterInlet, tables: WaterTables) -> float:
    """What the shortest net from the source to all row ends costs in the cheapest pipe: no system has cheaper."""
    spots = np.array([source.point, *(row.feed for row in rows)])
    parent = spanning_tree(spots[:, 0], spots[:, 1])
    net = np.hypot(*(spots[1:, :2] - spots[parent[1:], :2]).T).sum()
    return float((source.distance + net) * min(tube.price_per_m or 0.0 for tube in tables.mains))


def _shortfall(system: System, source: WaterInlet) -> float:
    """How many times the source would have to be better in its worst respect; 1 or less: it is enough."""
    return max(
        system.head_wanted / source.head,
        system.total_hours / source.hours_per_day,
        system.most_flow / source.flow,
    )


def _misses(system: System, source: WaterInlet) -> tuple[Shortcoming, ...]:
    found = {
        Shortcoming.PRESSURE: system.head_wanted / source.head,
        Shortcoming.HOURS: system.total_hours / source.hours_per_day,
        Shortcoming.FLOW: system.most_flow / source.flow,
    }
    return tuple(miss for miss, times in found.items() if times > 1 + 1e-9)
