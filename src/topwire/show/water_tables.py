"""Tables of the Water department: need, zones, schedule, bill."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.show.bill_table import bill
from topwire.show.reader import Reader, percent
from topwire.show.table import Cell, Table, figure
from topwire.show.trellis_tables import addresses
from topwire.units import Kind
from topwire.water.result import WaterPlan
from topwire.weeks import week_label

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def water_tables(orchard: Orchard) -> list[Table]:
    water = orchard.water
    if water is None:
        return []
    reader = Reader(orchard.origin.units)
    currency = orchard.ledger.currency if orchard.ledger else ""
    return [
        need(water, reader),
        evaporation(water, reader),
        zones(water, reader),
        schedule(water),
        bill("Bill of the water", water.bill, currency, reader),
    ]


def need(water: WaterPlan, reader: Reader) -> Table:
    low, middle, high = (reader.litres(value) for value in water.peak_need_l_per_tree)
    digits = 1 if reader.us else 0
    season = np.percentile(water.season_need, [10, 50, 90]) if water.season_need.size else np.full(3, np.nan)
    rows: list[tuple[Cell, ...]] = [
        (
            f"a full-grown tree on a hot week's day, {reader.small_volume}",
            figure(low, digits), figure(middle, digits), figure(high, digits),
        ),
        (
            f"the orchard in a season, {reader.unit(Kind.VOLUME)}",
            *(reader.figure(float(value), Kind.VOLUME) for value in season),
        ),
    ]  # fmt: skip
    notes = [
        f"{water.emitters_per_tree:g} emitters a tree: {water.emitter}.",
        f"Pump: {reader.text(water.pump_head, Kind.LENGTH)} of head, {water.pump_power:,.0f} W.",
        f"Store for the dry year in ten: {reader.text(water.storage_wanted, Kind.VOLUME)}."
        if water.storage_wanted > 0
        else "The source does without a store in the dry year in ten.",
    ]
    return Table(
        "Water wanted",
        ("what", "low", "middle", "high"),
        tuple(rows),
        f"Over {len(water.years)} weather years, after the rain that counts.",
        tuple(notes),
        (2.6, 1, 1, 1),
    )


def evaporation(water: WaterPlan, reader: Reader) -> Table:
    return Table(
        "Reference evapotranspiration by month",
        ("month", f"low, {reader.unit(Kind.RAIN)} a day", "middle", "high"),
        tuple(
            (month, *(reader.figure(float(value), Kind.RAIN, 2 if reader.us else 1) for value in values))
            for month, values in zip(_MONTHS, water.reference_et, strict=True)
        ),
        f"Monthly means over {len(water.years)} weather years.",
    )


def zones(water: WaterPlan, reader: Reader) -> Table:
    return Table(
        "Zones",
        (
            "zone", "rows", "trees", f"flow, {reader.unit(Kind.FLOW)}",
            f"pressure at its valve, {reader.unit(Kind.PRESSURE)}", "evenness, %",
            "drip line", "manifold", "hours a day at the peak",
        ),
        tuple(
            (
                zone.name, addresses(zone.rows), zone.trees, reader.figure(zone.flow, Kind.FLOW, 1),
                reader.figure(zone.head * 9806.65, Kind.PRESSURE), percent(zone.uniformity), zone.tubing, zone.manifold,
                figure(zone.peak_hours_per_day, 1),
            )
            for zone in water.zones
        ),
        "Evenness: emission uniformity over all emitters of the zone.",
        widths=(0.6, 2.4, 0.6, 0.7, 1, 0.8, 1, 1, 0.8),
    )  # fmt: skip


def schedule(water: WaterPlan) -> Table:
    """Weeks with water to give; the others are left out."""
    rows = [
        (week_label(week + 1), *(figure(float(value), 1) for value in water.weekly_hours[:, week]))
        for week in range(water.weekly_hours.shape[1])
        if water.weekly_hours[:, week].max() >= 0.05
    ]
    return Table(
        "Hours to run each zone, week by week, trees full grown",
        ("week from", "normal year", "dry year", "hot year"),
        tuple(rows),
        f"Water costs {water.water_cost_per_year:,.0f} in a middle year."
        if water.water_cost_per_year
        else "",
        charts=("watering",),
    )
