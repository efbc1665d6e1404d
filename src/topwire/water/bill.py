"""What to buy for the water, and what the water costs."""

from collections import defaultdict
from math import ceil

from topwire.values.bill import BillLine, SoldBy
from topwire.water.findings import PipeMap, PointKind
from topwire.water.friction import shaft_power
from topwire.water.joints import joints
from topwire.water.system import System, WaterInlet, goods, line_items
from topwire.water.tables import FittingRow, WaterTables

SLACK = 1.03  # of all tube and pipe: bends, snaking in the sun, cuts; common practice
PUMP_EFFICIENCY = 0.60  # [-] of pump and motor, small sizes, common practice
_JOULES_PER_KWH = 3.6e6


def bill(
    system: System, source: WaterInlet, tables: WaterTables, pipes: PipeMap, settled: float = 0.0
) -> tuple[BillLine, ...]:
    """Every item of the system; behind a tank of `settled` [m3] a pump gives all the pressure."""
    rows = [row for zone in system.zones for row in zone.rows]
    lines = [
        goods(line.item, _up(line.quantity * SLACK), line.price, line.source or "proposal", line.sold_by)
        if line.sold_by is SoldBy.LENGTH
        else line
        for line in line_items(rows, system.line, tables)
    ]
    lengths: defaultdict[str, float] = defaultdict(float)
    for run in pipes.runs:
        lengths[run.item] += run.length
    for tube in tables.mains:
        if lengths[tube.name] > 0:
            metres = _up(lengths[tube.name] * SLACK)
            lines.append(goods(tube.name, metres, tube.price_per_m, tube.price_source, SoldBy.LENGTH))
    lines += [_line(fitting, count) for fitting, count in _fittings(system, tables, pipes)]
    wire = tables.fitting("valve wire", 0.0)
    metres = _up(_wire(system) * SLACK)
    if metres:
        lines.append(goods(wire.item, metres, wire.price, wire.price_source, SoldBy.LENGTH))
    if settled:
        lines.append(_line(tables.fitting("aerator", system.most_flow), 1))
        lines.append(_line(tables.fitting("settling", 0.0), ceil(settled * 10 - 1e-9) / 10))
    short = system.head_wanted - (0.0 if settled else source.head)
    if short > 0:
        pump = tables.fitting("pump", system.most_flow)
        watts = shaft_power(system.most_flow, short, PUMP_EFFICIENCY)
        lines.append(_line(pump, round(watts / 1000 + 0.05, 1)))
    return tuple(lines)


def cost_of_water(
    volume: float, system: System, source: WaterInlet, tables: WaterTables, *, settled: bool = False
) -> float:
    """Power to bring a season's water, or its price where it is bought.

    A source with pressure of its own spends the power for all of it, whatever the zones need; water that has stood in
    a settling tank is lifted twice.

    Parameters
    ----------
    volume : float
        [m3]
    """
    lifted = (
        max(system.head_wanted - source.head, 0.0)
        if source.drinking_water
        else max(system.head_wanted, source.head)
    )
    if settled:
        lifted = source.head + system.head_wanted
    power = shaft_power(1.0, lifted, PUMP_EFFICIENCY)  # [J/m3]
    cost = volume * power / _JOULES_PER_KWH * (tables.fitting("energy", 0.0).price or 0.0)
    if source.drinking_water:
        cost += volume * (tables.fitting("drinking water", 0.0).price or 0.0)
    return cost


def _line(fitting: FittingRow, count: float) -> BillLine:
    return goods(fitting.item, float(count), fitting.price, fitting.price_source, SoldBy.PIECE)


def _fittings(system: System, tables: WaterTables, pipes: PipeMap) -> list[tuple[FittingRow, int]]:
    """Pieces and how many, in the order water meets them."""
    zones, most = len(system.zones), system.most_flow
    rows = sum(len(zone.rows) for zone in system.zones)
    wanted: defaultdict[FittingRow, int] = defaultdict(int)
    for fitting in system.head_fitting:
        wanted[fitting] += 1
    for valve in system.valves:
        wanted[valve] += 1
    wanted[system.regulator] += zones
    if system.from_tap:
        wanted[tables.fitting("fitting", most)] += rows
        wanted[tables.fitting("flush", most)] += rows
        return list(wanted.items())
    wanted[tables.fitting("gauge", most)] += 2
    wanted[tables.fitting("valve box", most)] += zones
    wanted[tables.fitting("controller" if zones > 1 else "timer", most)] += 1
    wanted[tables.fitting("air", most)] += pipes.count(PointKind.AIR)
    for (kind, pipe), count in sorted(
        joints(system).items(), key=lambda item: (item[0][0], item[0][1].outside_mm)
    ):
        wanted[tables.joining(kind, pipe)] += count
    wanted[tables.fitting("drain", most)] += pipes.count(PointKind.DRAIN)
    wanted[tables.fitting("manifold flush", most)] += pipes.count(PointKind.FLUSH)
    wanted[tables.fitting("fitting", most)] += rows
    wanted[tables.fitting("flush", most)] += rows
    return [(fitting, count) for fitting, count in wanted.items() if count]


def _wire(system: System) -> float:
    """[m] from the controller at the source to each valve, and one wire common to all."""
    above = {stretch.end: stretch for stretch in system.main}

    def way(point: int) -> float:
        metres = 0.0
        while point in above:
            metres += above[point].length
            point = above[point].start
        return metres

    ways = [way(number + 1) for number in range(len(system.zones))]
    return sum(ways) + max(ways)


def _up(quantity: float) -> float:
    return float(ceil(quantity - 1e-9))
