"""What to buy for the water, and what the water costs."""

from collections import Counter, defaultdict

from topwire.water.friction import shaft_power
from topwire.water.result import PipeLine
from topwire.water.system import Source, System, line_items
from topwire.water.tables import FittingRow, WaterTables

SLACK = 1.03  # of all tube and pipe: bends, snaking in the sun, cuts; common practice
PUMP_EFFICIENCY = 0.60  # [-] of pump and motor, small sizes, common practice
PROPOSAL = "proposal"
_JOULES_PER_KWH = 3.6e6


def bill(system: System, source: Source, tables: WaterTables) -> tuple[PipeLine, ...]:
    """Every item of the system, prices proposals to be replaced by quotes."""
    rows = [row for zone in system.zones for row in zone.rows]
    lines = [
        PipeLine(item, _up(quantity * (SLACK if price_is_metre else 1.0)), unit, price, PROPOSAL)
        for item, quantity, price, unit, price_is_metre in _lines(system, tables)
    ]
    pipes: defaultdict[str, float] = defaultdict(float)
    for zone in system.zones:
        for size, length in zip(zone.manifold_sizes, zone.manifold_lengths, strict=True):
            pipes[size.name] += float(length)
    for stretch in system.main:
        pipes[stretch.size.name] += stretch.length
    for tube in tables.mains:
        if pipes[tube.name] > 0:
            lines.append(PipeLine(tube.name, _up(pipes[tube.name] * SLACK), "m", tube.price_per_m, PROPOSAL))
    fixed: Counter[str] = Counter()
    items: dict[str, FittingRow] = {}

    def add(fitting: FittingRow, count: int) -> None:
        items[fitting.item] = fitting
        fixed[fitting.item] += count

    zones = len(system.zones)
    most = system.most_flow
    for valve in system.valves:
        add(valve, 1)
    add(tables.fitting("regulator", most), zones)
    for fitting in system.head_fitting:
        add(fitting, 1)
    add(tables.fitting("gauge", most), 2)
    add(tables.fitting("controller", most), 1)
    # air: one where the main is highest, one behind each valve, so that lines do not suck soil when they empty
    add(tables.fitting("air", most), zones + 1)
    add(tables.fitting("manifold flush", most), sum(min(len(zone.rows), 2) for zone in system.zones))
    add(tables.fitting("fitting", most), len(rows))
    add(tables.fitting("flush", most), len(rows))
    lines.extend(
        PipeLine(items[name].item, float(count), "each", items[name].price, PROPOSAL)
        for name, count in fixed.items()
    )
    short = system.head_wanted - source.head
    if short > 0:
        pump = tables.fitting("pump", most)
        kilowatts = shaft_power(most, short, PUMP_EFFICIENCY) / 1000
        lines.append(
            PipeLine("booster pump, kW at the shaft", round(kilowatts + 0.05, 1), "kW", pump.price, PROPOSAL)
        )
    return tuple(lines)


def total(lines: tuple[PipeLine, ...]) -> float:
    return sum(line.quantity * (line.price or 0.0) for line in lines)


def cost_of_water(volume: float, system: System, source: Source, tables: WaterTables) -> float:
    """Power to lift a season's water, or its price where it is bought.

    Parameters
    ----------
    volume : float
        [m3]
    """
    if source.drinking_water:
        return volume * (tables.fitting("drinking water", 0.0).price or 0.0)
    power = shaft_power(1.0, max(system.head_wanted, 0.0), PUMP_EFFICIENCY)  # [J/m3]
    return volume * power / _JOULES_PER_KWH * (tables.fitting("energy", 0.0).price or 0.0)


def _lines(system: System, tables: WaterTables) -> list[tuple[str, float, float, str, bool]]:
    rows = [row for zone in system.zones for row in zone.rows]
    found = []
    for index, (item, quantity, price) in enumerate(line_items(rows, system.line, tables)):
        tube = index == 0
        found.append((item, quantity, price, "m" if tube else "each", tube))
    return found


def _up(quantity: float) -> float:
    return float(int(quantity) + (quantity > int(quantity)))
