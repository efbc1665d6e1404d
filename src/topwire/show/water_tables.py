"""Tables of the Water department: need, zones, schedule, bill."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.show.bill_table import bill
from topwire.show.reader import Reader, day, percent
from topwire.show.table import Cell, Table, figure
from topwire.tell.row_names import addresses
from topwire.values.calendar import week_label
from topwire.values.units import Kind
from topwire.water.result import WaterPlan

LINES_TRIED = "Drip lines tried"
_PASCAL_PER_METRE = 9806.65  # of water column, conventional (NIST SP 811, appendix B.8)
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def water_tables(orchard: Orchard) -> list[Table]:
    water = orchard.water
    if water is None:
        return []
    reader = Reader(orchard.origin.units)
    currency = orchard.ledger.currency if orchard.ledger else ""
    found = [need(water, reader)]
    if water.blocks:
        found.append(by_age(water, reader))
    if water.what_ifs:
        found.append(what_ifs(water, reader))
    found += [evaporation(water, reader), zones(water, reader)]
    if water.losses:
        found.append(losses(water, reader))
    if water.lines_tried:
        found.append(lines_tried(water, currency))
    found.append(schedule(water))
    if water.zone_hours.size:
        found.append(first_summer(water))
    if water.calendar:
        found.append(calendar(water))
    if water.quality:
        found.append(quality(water))
    return [
        *found,
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
        f"{water.emitters_per_tree:.1f} emitters a tree: {water.emitter}.",
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


def by_age(water: WaterPlan, reader: Reader) -> Table:
    """A tree's water at each leaf told, block by block."""
    digits = 1 if reader.us else 0
    volume = reader.small_volume
    return Table(
        "A tree's water by its age",
        (
            "block", "leaf", "floor under crowns, %", f"in a season, low, {volume}", "middle", "high",
            f"on a hot week's day, {volume}", "waterings, middle", f"each, {volume}",
        ),
        tuple(
            (
                line.block,
                line.leaf,
                percent(line.ground_cover),
                *(figure(reader.litres(value)) for value in line.season),
                figure(reader.litres(line.peak[1]), digits),
                figure(line.waterings),
                figure(reader.litres(line.litres_each), digits),
            )
            for line in water.blocks
        ),
        f"Day by day over {len(water.years)} weather years, after the rain that counts.",
    )  # fmt: skip


def what_ifs(water: WaterPlan, reader: Reader) -> Table:
    return Table(
        "What a change would do",
        (
            "change", f"a tree's season, low, {reader.small_volume}", "middle", "high", "growth lost in a dry year, %",
            "remark",
        ),
        tuple(
            (
                line.name,
                *(figure(reader.litres(value)) for value in line.season),
                percent(line.transpiration_lost[2], 1),
                line.says,
            )
            for line in water.what_ifs
        ),
        "Full-grown trees of the largest block; growth lost: share of full transpiration, high year.",
        widths=(1.5, 0.8, 0.7, 0.7, 0.9, 2.4),
    )  # fmt: skip


def losses(water: WaterPlan, reader: Reader) -> Table:
    unit = reader.unit(Kind.PRESSURE)
    rows: list[tuple[Cell, ...]] = [
        (what, reader.figure(head * _PASCAL_PER_METRE, Kind.PRESSURE, 1)) for what, head in water.losses
    ]
    rows.append(
        (
            "together",
            reader.figure(sum(head for _, head in water.losses) * _PASCAL_PER_METRE, Kind.PRESSURE, 1),
        )
    )
    if water.source_head:
        rows.append(
            ("the source has", reader.figure(water.source_head * _PASCAL_PER_METRE, Kind.PRESSURE, 1))
        )
    return Table(
        "Where the pressure goes",
        ("what", f"pressure, {unit}"),
        tuple(rows),
        "At the flow of the thirstiest set.",
    )


def lines_tried(water: WaterPlan, currency: str) -> Table:
    return Table(
        LINES_TRIED,
        ("line", f"whole system, {currency}".rstrip(", "), "verdict"),
        tuple((line.name, figure(line.cost), line.verdict or "would do") for line in water.lines_tried),
        widths=(2, 0.9, 2),
    )


def first_summer(water: WaterPlan) -> Table:
    """Hours of each zone in the trees' first leaf, normal year, weeks with water only."""
    hours = water.zone_hours[:, 0, 0, :]
    return Table(
        "Hours to run in the trees' first summer, normal year",
        ("week from", *(zone.name for zone in water.zones)),
        tuple(
            (week_label(week + 1), *(figure(float(value), 1) for value in hours[:, week]))
            for week in range(hours.shape[1])
            if hours[:, week].max() >= 0.05
        ),
        "A small root ball dries out fast: little and often. Later leaves stand in between.",
    )


def calendar(water: WaterPlan) -> Table:
    return Table(
        "The irrigation's year",
        ("day", "what", "how"),
        tuple((day(entry.day), entry.title, entry.says) for entry in water.calendar),
        widths=(0.6, 1.4, 3.4),
    )


def quality(water: WaterPlan) -> Table:
    return Table(
        "Have the water analysed",
        ("what", "no trouble below", "trouble above", "unit", "what it does", "what to do"),
        tuple(
            (
                note.what,
                figure(note.well_below, _digits(note.well_below)),
                figure(note.trouble_above, _digits(note.trouble_above)),
                note.unit,
                note.says,
                note.remedy,
            )
            for note in water.quality
        ),
        "Sources: " + ", ".join(sorted({note.source for note in water.quality if note.source})) + ".",
        widths=(1.1, 0.7, 0.7, 0.6, 2, 2),
    )


def _digits(value: float) -> int:
    return 0 if value >= 10 else 1 if value >= 1 else 2


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
                reader.figure(zone.head * _PASCAL_PER_METRE, Kind.PRESSURE), percent(zone.uniformity), zone.tubing,
                zone.manifold, figure(zone.peak_hours_per_day, 1),
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
