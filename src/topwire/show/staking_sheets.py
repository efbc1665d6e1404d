"""Sheets for the crew: corners to find, two tapes to every end post, what to bring out."""

from dataclasses import replace

from topwire.layout.bundles import bundles, loads
from topwire.layout.findings import Ground, Layout
from topwire.layout.ties import BlockTies, TwoTapes, block_ties
from topwire.show.sheet import Column, LinkKind, Sheet, StandsIn, Value, setting, sheet_of, value_of
from topwire.tell.layout import post_words
from topwire.tell.reader import Reader
from topwire.tell.staking import bearing_words, needle_words, other_words, side_words
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_DECLINATION = setting("place.declination")


def sheets(ground: Ground, layout: Layout) -> list[Sheet]:
    """For the spreadsheet: the printed cards tell the same, block by block."""
    tied = block_ties(ground, layout)
    found = [corners(tied), sides(tied, ground.declination), tapes(tied)]
    found += [listed for listed in (bring_out(ground, layout), totals(ground, layout)) if listed.rows]
    return [replace(sheet, stands_in=StandsIn.SPREADSHEET) for sheet in found]


def on_tape(sheet: Sheet, reader: Reader) -> Sheet:
    """A sheet whose lengths read as the tape shows them, in feet and inches where the reader's tape does."""
    lengths = [column.quantity is Kind.LENGTH for column in sheet.columns]

    def taped(cell: Value, length: bool) -> Value:
        value = value_of(cell)
        return reader.tape(value) if length and isinstance(value, float) else cell

    return replace(
        sheet,
        columns=tuple(
            replace(column, quantity=None) if length else column
            for column, length in zip(sheet.columns, lengths, strict=True)
        ),
        rows=tuple(
            tuple(taped(cell, length) for cell, length in zip(row, lengths, strict=True))
            for row in sheet.rows
        ),
    )


def corners(tied: tuple[BlockTies, ...]) -> Sheet:
    return Sheet(
        "staking.corners",
        "Corners to find",
        (
            Column("block", "block", width=1),
            Column("corner", "corner", width=0.6),
            Column("east", "east", Kind.LENGTH, 2, width=1),
            Column("north", "north", Kind.LENGTH, 2, width=1),
            Column("longitude", "longitude", width=1.2),
            Column("latitude", "latitude", width=1.2),
        ),
        tuple(
            (
                ties.block,
                corner.letter,
                corner.east,
                corner.north,
                f"{corner.longitude:.6f}",
                f"{corner.latitude:.6f}",
            )
            for ties in tied
            for corner in ties.corners
        ),
        "East and north of the orchard's origin; A is the corner the plan names first, the others follow around.",
    )


def sides(tied: tuple[BlockTies, ...], declination: float | None) -> Sheet:
    return Sheet(
        "staking.sides",
        "From corner to corner, around and across",
        (
            Column("block", "block", width=1),
            Column("from", "from", width=0.6),
            Column("to", "to", width=0.6),
            Column("length", "along the ground", Kind.LENGTH, 2, width=1.2),
            Column("bearing", "bearing, true", Plain.ANGLE, 1, width=1, links=_DECLINATION),
            Column("compass", "by compass", width=1, links=_DECLINATION),
        ),
        tuple(
            (
                ties.block,
                side.start,
                side.end,
                side.length,
                side.bearing,
                bearing_words(side.bearing, declination),
            )
            for ties in tied
            for side in (*ties.from_other, *ties.sides)
        ),
        needle_words(declination),
    )


def tapes(tied: tuple[BlockTies, ...]) -> Sheet:
    """Two tapes to every end post, and to the corners of a further block."""
    rows: list[tuple[Value, ...]] = []
    for ties in tied:
        rows += [
            (ties.block, f"corner {letter}", *_tapes(found, f"{ties.other} "))
            for letter, found in ties.to_other
        ]
        rows += [(ties.block, post_words(post), *_tapes(found)) for post, found in ties.posts]
    return Sheet(
        "staking.tapes",
        "Two tapes to every end post",
        (
            Column("block", "block", width=0.8),
            Column("point", "point", width=1),
            Column("first_corner", "from", width=0.8),
            Column("first_tape", "first tape", Kind.LENGTH, 2, width=1.1),
            Column("second_corner", "from", width=0.8),
            Column("second_tape", "second tape", Kind.LENGTH, 2, width=1.1),
            Column("side", "where they cross", width=1.6),
            Column("error", "right to about", Kind.SMALL_LENGTH, width=0.8),
        ),
        tuple(rows),
        "Along the ground; right to about: with tapes read to a finger's breadth and stretched by a thousandth "
        "(common practice, no source).",
        tuple(other_words(ties) for ties in tied if ties is not tied[0]),
    )


def _tapes(found: TwoTapes, before: str = "") -> tuple[Value, ...]:
    return (
        f"{before}{found.first}",
        found.first_length,
        f"{before}{found.second}",
        found.second_length,
        side_words(found),
        found.error,
    )


def bring_out(ground: Ground, layout: Layout) -> Sheet:
    """Bundles in the order of walking."""
    return sheet_of(
        "staking.bring_out",
        "What to bring out, in the order of walking",
        (
            Column("row", "row", width=1),
            Column(
                "walk",
                "walk",
                width=1.1,
                of=lambda bundle: "from start" if bundle.from_start else "back from end",
            ),
            Column("first", "from tree", width=0.7),
            Column("last", "to tree", width=0.7),
            Column("code", "code", width=0.6),
            Column("cultivar", "cultivar", width=1.8, leads=LinkKind.CULTIVAR),
            Column("rootstock", "rootstock", width=1),
            Column("trees", "trees", width=0.6),
        ),
        bundles(ground, layout),
        "Up one row and down the next. Keep the roots wet and covered until each tree is in the ground.",
    )


def totals(ground: Ground, layout: Layout) -> Sheet:
    """The trees to have at hand."""
    found = loads(bundles(ground, layout))
    return sheet_of(
        "staking.totals",
        "Trees to have at hand",
        (
            Column("code", "code", width=0.6),
            Column("cultivar", "cultivar", width=2, leads=LinkKind.CULTIVAR),
            Column("rootstock", "rootstock", width=1),
            Column("trees", "trees", width=0.7),
            Column("bundles", "bundles", width=0.7),
        ),
        found,
        f"{sum(load.trees for load in found):,} trees in {sum(load.bundles for load in found)} bundles.",
    )
