"""Tables of what is made and built: Nursery, Trellis, Water."""

from collections.abc import Sequence

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.nursery.result import NurseryOrder
from topwire.show.reader import Reader, date_words, percent
from topwire.show.table import UNKNOWN, Cell, Table, figure
from topwire.trellis.result import BillLine, RowTrellis, TrellisDesign
from topwire.units import Kind
from topwire.water.result import PipeLine, WaterPlan
from topwire.weeks import week_label

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def nursery_tables(orchard: Orchard) -> list[Table]:
    nursery = orchard.nursery
    if nursery is None:
        return []
    reader = Reader(orchard.origin.units)
    found = [grafts(nursery), stocks(nursery), outlook(nursery, reader)]
    if nursery.policies:
        found.append(policies(nursery, orchard.ledger.currency if orchard.ledger else ""))
    if nursery.dates:
        found.append(dates(nursery))
    return found


def grafts(nursery: NurseryOrder) -> Table:
    return Table(
        "What to graft and what to buy",
        (
            "cultivar", "rootstock", "trees wanted", "grafts to make", "trees to buy", "chance of enough, %",
            "scion sticks", "stands in", "remark",
        ),
        tuple(
            (
                line.cultivar, line.rootstock, line.trees, line.grafts, line.bought_trees, percent(line.chance, 1),
                line.scion_sticks, line.stool_rows_note, line.reason,
            )
            for line in nursery.lines
        ),
        f"About {nursery.chain:.0%} of grafts end as good trees; with these numbers all cultivars together reach "
        f"theirs with a chance of {nursery.joint_chance:.0%}.",
        widths=(1.5, 0.8, 0.65, 0.65, 0.6, 0.75, 0.6, 1.1, 2),
    )  # fmt: skip


def stocks(nursery: NurseryOrder) -> Table:
    return Table(
        "Rootstocks to order",
        ("rootstock", "number", "remark"),
        tuple((line.rootstock, line.number, line.note) for line in nursery.stocks),
        widths=(1, 0.6, 2.4),
    )


def outlook(nursery: NurseryOrder, reader: Reader) -> Table:
    rows: list[tuple[Cell, ...]] = [(what, f"{share:.0%}") for what, share in nursery.chain_steps]
    rows.append(("nursery ground", f"{reader.square(nursery.nursery_area):,.0f} {reader.ground}"))
    rows.append(("nursery rows together", reader.text(nursery.nursery_row_metres, Kind.LENGTH)))
    if nursery.bench_hours:
        rows.append(("grafting", f"{nursery.bench_hours:,.0f} hours"))
    if nursery.care_hours:
        rows.append(("lining out, weeding, lifting", f"{nursery.care_hours:,.0f} hours"))
    rows.append(("cost", f"{nursery.cost:,.0f}"))
    return Table(
        "The nursery in figures", ("what", "figure"), tuple(rows), nursery.spares_policy, widths=(1.4, 1)
    )


def policies(nursery: NurseryOrder, currency: str) -> Table:
    return Table(
        "Ways to be sure of the trees",
        (
            "way", "grafts", "spare stocks", "August buds", "chance for all, %", "late trees",
            f"cost, {currency}".rstrip(", "), "this plan",
        ),
        tuple(
            (
                line.name, line.grafts, line.spare_stocks, figure(line.august_buds), percent(line.joint_chance),
                figure(line.late_trees, 1), figure(line.cost), "yes" if line.chosen else "",
            )
            for line in nursery.policies
        ),
        nursery.spares_policy,
        widths=(2.2, 0.7, 0.7, 0.8, 0.8, 0.7, 0.7, 0.6),
    )  # fmt: skip


def dates(nursery: NurseryOrder) -> Table:
    return Table(
        "The nursery's dates",
        ("from", "to", "what", "how"),
        tuple((date_words(line.day), date_words(line.until), line.what, line.how) for line in nursery.dates),
        widths=(0.9, 0.9, 1.4, 3),
    )


def trellis_tables(orchard: Orchard) -> list[Table]:
    trellis = orchard.trellis
    if trellis is None:
        return []
    reader = Reader(orchard.origin.units)
    currency = orchard.ledger.currency if orchard.ledger else ""
    return [
        posts(trellis, reader),
        wires(trellis, reader),
        gusts(trellis, reader),
        tension(trellis, reader),
        bill("Bill of the trellis", trellis.bill, currency, reader),
        build_order(trellis),
    ]


def rows_of(row: RowTrellis) -> str:
    return addresses(row.rows)


def addresses(rows: Sequence[str]) -> str:
    """“South 1 to 8, 10” for a list of row addresses."""
    by_block: dict[str, list[int]] = {}
    for address in rows:
        block, _, number = address.rpartition(" ")
        by_block.setdefault(block, []).append(int(number))
    return "; ".join(f"{block} {_ranges(sorted(numbers))}" for block, numbers in by_block.items())


def _ranges(numbers: list[int]) -> str:
    parts, start = [], numbers[0]
    for number, after in zip(numbers, [*numbers[1:], None], strict=True):
        if after != number + 1:
            parts.append(str(start) if start == number else f"{start} to {number}")
            start = after or 0
    return ", ".join(parts)


def posts(trellis: TrellisDesign, reader: Reader) -> Table:
    return Table(
        "Posts and ends",
        ("rows", "length", "line post", "long", "in the ground", "spacing", "spans", "end", "end post", "anchor"),
        tuple(
            (
                rows_of(row), reader.tape(row.length), row.post, reader.tape(row.post_length),
                reader.tape(row.post_depth), reader.tape(row.post_spacing), row.spans,
                row.end_assembly, row.end_post, row.anchor,
            )
            for row in trellis.rows
        ),
        f"Design gust {reader.text(trellis.design_gust, Kind.SPEED)}: {trellis.gust_basis}.",
        widths=(1.1, 0.9, 1.3, 0.8, 0.8, 0.9, 0.5, 0.9, 1.2, 1.3),
    )  # fmt: skip


def wires(trellis: TrellisDesign, reader: Reader) -> Table:
    force = reader.unit(Kind.FORCE)
    return Table(
        "Wires",
        (
            "rows", "wire", "heights", "low wire", f"strung to, {force}", f"greatest tension, {force}",
            "share of breaking load, %", "sag", f"heaviest crop, {reader.per_length}",
        ),
        tuple(
            (
                rows_of(row), row.wire, ", ".join(reader.tape(height) for height in row.wire_heights),
                reader.tape(row.low_wire) if row.low_wire else UNKNOWN, reader.figure(row.pretension, Kind.FORCE),
                reader.figure(row.loaded_tension, Kind.FORCE), percent(row.share_of_breaking),
                reader.tape(row.sag), figure(reader.mass_per_length(row.crop_per_metre), 1),
            )
            for row in trellis.rows
        ),
        "The greatest of all load cases: crop, wind, ice, wet snow, cold.",
        widths=(1, 1.2, 1.6, 0.8, 0.7, 0.8, 0.8, 0.8, 0.8),
    )  # fmt: skip


def gusts(trellis: TrellisDesign, reader: Reader) -> Table:
    speed = reader.unit(Kind.SPEED)
    return Table(
        "At which gust what gives first",
        ("rows", "part", "when", f"gust at high drag, {speed}", "middle", "low drag"),
        tuple(
            (
                rows_of(row),
                gust.part,
                gust.condition,
                *(reader.figure(value, Kind.SPEED) for value in (gust.low, gust.middle, gust.high)),
            )
            for row in trellis.rows
            for gust in sorted(row.gusts, key=lambda gust: gust.middle)
        ),
        f"Set these beside the design gust of {reader.text(trellis.design_gust, Kind.SPEED)} ({trellis.gust_basis}).",
        (trellis.next_better,) if trellis.next_better else (),
        (1.2, 1.4, 2, 0.9, 0.7, 0.7),
    )


def tension(trellis: TrellisDesign, reader: Reader) -> Table:
    return Table(
        "Tension to set on the day",
        (f"air, {reader.unit(Kind.TEMPERATURE)}", f"tension, {reader.unit(Kind.FORCE)}"),
        tuple(
            (reader.figure(celsius, Kind.TEMPERATURE), reader.figure(newton, Kind.FORCE))
            for celsius, newton in trellis.tension_table
        ),
        "A cold wire is tighter: set what the day's temperature asks for, read it with a gauge.",
    )


def bill(title: str, lines: Sequence[BillLine | PipeLine], currency: str, reader: Reader) -> Table:
    rows: list[tuple[Cell, ...]] = []
    total, unpriced = 0.0, 0
    for line in lines:
        quantity, unit = _quantity(line.quantity, line.unit, reader)
        price = (
            None if line.price is None else line.price * line.quantity / quantity if quantity else line.price
        )
        cost = None if line.price is None else line.price * line.quantity
        total += cost or 0.0
        unpriced += line.price is None
        rows.append(
            (
                line.item,
                figure(quantity),
                unit,
                figure(price, 2) if price is not None else "ask the maker",
                figure(cost),
                line.source or UNKNOWN,
            )
        )
    rows.append(("together", "", "", "", figure(total), ""))
    note = (f"{unpriced} lines have no price: ask the maker.",) if unpriced else ()
    return Table(
        title,
        (
            "item",
            "quantity",
            "unit",
            f"each, {currency}".rstrip(", "),
            f"cost, {currency}".rstrip(", "),
            "price from",
        ),
        tuple(rows),
        "The catalogue's prices, or your own where you have laid them over.",
        note,
        (2.6, 0.8, 0.6, 0.9, 0.8, 1),
    )


def _quantity(value: float, unit: str, reader: Reader) -> tuple[float, str]:
    """Lengths of wire and pipe in the person's unit; pieces as they are."""
    return (reader.convert(value, Kind.LENGTH), "ft") if unit == "m" and reader.us else (value, unit)


def build_order(trellis: TrellisDesign) -> Table:
    return Table(
        "Build in this order",
        ("step", "what"),
        tuple(enumerate(trellis.build_order, start=1)),
        f"About {trellis.labour_hours:,.0f} hours of work.",
        widths=(0.3, 4),
    )


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
