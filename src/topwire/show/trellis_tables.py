"""Tables of the Trellis department: posts, wires, the gusts that break them, tension, bill and build order."""

from collections.abc import Sequence

from topwire.engine.orchard import Orchard
from topwire.show.bill_table import bill
from topwire.show.reader import Reader, percent
from topwire.show.table import UNKNOWN, Cell, Table, figure
from topwire.trellis.result import FailureGust, RowTrellis, TrellisDesign
from topwire.units import Kind

EVERY_CONDITION = "Gusts in every condition"  # too long for the book


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
        all_gusts(trellis, reader),
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
    """Each part in the condition that lets it go first."""
    rows = []
    for row in trellis.rows:
        weakest: dict[str, FailureGust] = {}
        for gust in sorted(row.gusts, key=lambda gust: gust.middle):
            weakest.setdefault(gust.part, gust)
        rows += [_gust(row, gust, reader) for gust in weakest.values()]
    return Table(
        "At which gust what gives first",
        _gust_captions(reader),
        tuple(rows),
        f"Set these beside the design gust of {reader.text(trellis.design_gust, Kind.SPEED)} ({trellis.gust_basis}). "
        "Each part in the condition that is worst for it.",
        (trellis.next_better,) if trellis.next_better else (),
        (1.2, 1.4, 2, 0.9, 0.7, 0.7),
    )


def all_gusts(trellis: TrellisDesign, reader: Reader) -> Table:
    """Each part in every condition: wet and dry soil, outer and inner row, before and after harvest."""
    return Table(
        EVERY_CONDITION,
        _gust_captions(reader),
        tuple(
            _gust(row, gust, reader)
            for row in trellis.rows
            for gust in sorted(row.gusts, key=lambda gust: gust.middle)
        ),
        f"Design gust {reader.text(trellis.design_gust, Kind.SPEED)} ({trellis.gust_basis}).",
        widths=(1.2, 1.4, 2, 0.9, 0.7, 0.7),
    )


def _gust_captions(reader: Reader) -> tuple[str, ...]:
    speed = reader.unit(Kind.SPEED)
    return ("rows", "part", "when", f"gust at high drag, {speed}", "middle", "low drag")


def _gust(row: RowTrellis, gust: FailureGust, reader: Reader) -> tuple[Cell, ...]:
    speeds = (reader.figure(value, Kind.SPEED) for value in (gust.low, gust.middle, gust.high))
    return (rows_of(row), gust.part, gust.condition, *speeds)


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


def build_order(trellis: TrellisDesign) -> Table:
    return Table(
        "Build in this order",
        ("step", "what"),
        tuple(enumerate(trellis.build_order, start=1)),
        f"About {trellis.labour_hours:,.0f} hours of work.",
        widths=(0.3, 4),
    )
