"""Sheets to build the trellis from: where posts stand, what is cut, places that have no room, a fence that stands."""

from collections import Counter
from itertools import pairwise
from math import hypot

from topwire.show.sheet import Column, Link, LinkKind, Sheet, StandsIn, Value, setting
from topwire.show.trellis_risk_sheets import POSTS
from topwire.tell.reader import Reader
from topwire.tell.row_names import addresses, stretches
from topwire.tell.trellis_ground import CURES, beside_line
from topwire.tell.words import in_system
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.kinds import EndKind
from topwire.trellis.row_findings import EndDetail, RowTrellis
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_FENCE = (Link(LinkKind.SETTING, "trellis.fence_post"), Link(LinkKind.SETTING, "trellis.fence_post_depth"))


def stake_out(found: TrellisFindings, reader: Reader) -> Sheet:
    """How to set out each kind of row from its start with a tape."""
    return Sheet(
        "trellis.stake_out",
        "Setting out the posts",
        (
            Column("rows", "rows", width=1.1),
            Column("anchor", "anchor eye before the first end post", width=1),
            Column("bays", "trees from one post to the next", width=2.4),
            Column("last", "end post to end post", width=0.9),
            Column("beyond", "anchor eye behind the far end post", width=1),
        ),
        tuple(
            (
                addresses(row.rows),
                _eye(row.end, reader),
                _bays(row),
                reader.tape(row.length),
                _eye(row.ends[1], reader),
            )
            for row in found.rows
        ),
        "Counted from the end where counting starts. A line post stands midway between two trees.",
    )


def _eye(end: EndDetail, reader: Reader) -> str:
    if end.kind is not EndKind.TIE_BACK:
        return "none: braced"
    return f"{reader.tape(end.reach)}, {beside_line(end, reader)}"


def _bays(row: RowTrellis) -> str:
    """“6 times 11 trees, then 5”; places without room are counted along."""
    counts = [sum(a <= tree < b for tree in row.trees) for a, b in pairwise(row.positions)]
    runs: list[list[int]] = []
    for count in counts:
        if runs and runs[-1][1] == count:
            runs[-1][0] += 1
        else:
            runs.append([1, count])
    return ", then ".join(f"{times} times {count}" if times > 1 else f"{count}" for times, count in runs)


def every_post(found: TrellisFindings, reader: Reader) -> Sheet:
    """Every post of every kind of row by its tape distance."""
    return Sheet(
        "trellis.every_post",
        "Every post by the tape",
        (
            Column("rows", "rows", width=1.2),
            Column("number", "post", width=0.5),
            Column("at", "from the first end post", width=1, links=setting("trellis.posts")),
            Column("after", "after tree", width=0.6),
        ),
        tuple(
            (addresses(row.rows), number, reader.tape(at), sum(tree < at for tree in row.trees))
            for row in found.rows
            for number, at in enumerate(row.positions, start=1)
        ),
        "The spacing chosen for the row, moved where a tree would stand too near a post.",
        stands_in=StandsIn.SPREADSHEET,
    )


def cut_list(found: TrellisFindings, reader: Reader) -> Sheet:
    """What is cut from what."""
    pieces: Counter[tuple[str, str, str]] = Counter()
    for row in found.rows:
        for end in row.ends:
            for what, stock, long in _pieces(row, end, reader):
                pieces[what, stock, long] += len(row.rows) * (end.anchors if end.anchor else 1)
        strung = len(row.wire_heights) + (row.low_wire is not None)
        pieces["wire, with a wrap at both ends", row.wire, reader.tape(row.length + 4.0)] += strung * len(
            row.rows
        )
    return Sheet(
        "trellis.cut_list",
        "Cut list",
        (
            Column("what", "what", width=1.6),
            Column("of", "cut from", width=1.6, links=POSTS),
            Column("long", "length of each", width=0.9),
            Column("many", "how many", Plain.COUNT, width=0.6),
        ),
        tuple((*piece, float(many)) for piece, many in pieces.items()),
        "Line posts and end posts are driven whole; what stands more than a hand above the top wire is cut off after "
        "driving.",
    )


def _pieces(row: RowTrellis, end: EndDetail, reader: Reader) -> list[tuple[str, str, str]]:
    top = row.wire_heights[-1]
    if end.kind is EndKind.TIE_BACK:
        return [("guy, with both loops", "guy cable 1/4 in", reader.tape(1.5 * end.reach + 1.0))]
    slant = hypot(0.75 * top, end.reach)
    if end.kind is EndKind.H_BRACE:
        rail = ("rail of an end", end.strut or end.post, reader.tape(end.reach - end.post_diameter))
        return [rail, ("brace wire, doubled", "guy cable 1/4 in", reader.tape(2 * slant))]
    return [("strut of an end", end.strut or end.post, reader.tape(slant))]


def end_parts(found: TrellisFindings, reader: Reader) -> Sheet:
    """One end taken apart: every part in the order it is put on."""
    seen: dict[EndDetail, list[str]] = {}
    for row in found.rows:
        for end in row.ends:
            seen.setdefault(end, []).extend(row.rows)
    rows: list[tuple[Value, ...]] = []
    for end, where in seen.items():
        wires = max(len(r.wire_heights) + (r.low_wire is not None) for r in found.rows if end in r.ends)
        for part, many in _parts(end, wires, reader):
            rows.append((addresses(tuple(dict.fromkeys(where))), part, many))
    return Sheet(
        "trellis.end_parts",
        "One end, part by part",
        (
            Column("rows", "rows", width=1),
            Column("part", "part, in the order it is put on", width=3),
            Column("many", "how many", Plain.COUNT, width=0.6),
        ),
        tuple(rows),
        "For one end; a strainer is needed at one end of each wire alone.",
    )


def _parts(end: EndDetail, wires: int, reader: Reader) -> list[tuple[str, float]]:
    depth = reader.tape(end.post_depth)
    lean = f", leaning {end.lean:.0f}° away from the row" if end.lean else ""
    parts: list[tuple[str, float]] = [(f"end post {end.post}, {depth} of it in the ground{lean}", 1)]
    if end.kind is EndKind.TIE_BACK and end.anchor is not None:
        out = reader.tape(end.reach)
        parts += [
            (
                f"{end.anchor}, its eye at the ground {out} behind the post, {beside_line(end, reader)}; rod or cable "
                "in line with its guy",
                end.anchors,
            ),
            (
                "guy cable 1/4 in from the anchor’s eye round the post at the top wire, thimble in the eye",
                end.anchors,
            ),
            ("cable clamp, three on each end of a guy, saddle on the loaded side", 6.0 * end.anchors),
        ]
    elif end.kind is EndKind.H_BRACE:
        parts += [
            (f"brace post {end.post}, {depth} in the ground, {reader.tape(end.reach)} into the row", 1),
            (f"rail of {end.strut} at three quarters of the top wire’s height", 1),
            ("brace pin", 2),
            (
                "brace wire from the rail’s height on the brace post to the foot of the end post, doubled and twisted",
                1,
            ),
        ]
    else:
        parts += [
            (f"strut of {end.strut} from ¾ of the top wire’s height to {reader.tape(end.reach)} in the row",
             1),
            ("strut foot: pad dug in on edge across the row", float(end.feet)),
            ("brace pin", 2),
        ]  # fmt: skip
    return [
        *parts,
        ("wire wrapped once round the post, held by a staple", float(wires)),
        ("crimp sleeve", float(wires)),
        ("wire strainer", float(wires)),
    ]


def places_lost(found: TrellisFindings, reader: Reader) -> Sheet:
    return Sheet(
        "trellis.places_lost",
        "Places without room for a tree",
        (Column("rows", "rows", width=1.2), Column("places", "tree places", width=2)),
        tuple((addresses(row.rows), stretches(row.lost)) for row in found.rows if row.lost),
        "Under the braces of the ends, or between two lengths of wire.",
    )


def fences(found: TrellisFindings, reader: Reader) -> Sheet:
    """The verdict first, then what to fix where."""
    return Sheet(
        "trellis.fences",
        "Along a fence or wall that stands",
        (
            Column("row", "row", width=0.7),
            Column("bends", "pull of the wires, of what the end bears", width=0.9, links=_FENCE),
            Column("tips", "of what its ground holds", Plain.SHARE, width=0.8, links=_FENCE[1:]),
            Column("cure", "cheapest cure", width=1.8),
            Column("wires", "wires at", width=1.2),
            Column("eyes", "eyes", width=0.6),
            Column("every", "one on each post, every", width=0.8),
            Column("strung", "strung to", Kind.FORCE, width=0.6),
            Column("eye", "pull on an eye", Kind.FORCE, width=0.7),
        ),
        tuple(
            (
                line.row,
                "not known" if line.end_share is None else f"{line.end_share:.0%}",
                None if line.wall else line.ground_share,
                in_system(CURES[line.cure], reader),
                ", ".join(reader.tape(height) for height in line.strung)
                + ("" if line.low_wire is None else " (the lowest for the drip line)"),
                line.fixings,
                reader.tape(line.fixing_spacing),
                line.pretension,
                line.pull_on_fixing,
            )
            for line in found.fences
        ),
        "Design gust from behind, as if the fence were open to the wind; posts as sound as the catalogue’s weakest. "
        "Each wire runs to the first post at or beyond the row’s end, "
        + ", ".join(f"{line.row}: {reader.tape(line.run)}" for line in found.fences)
        + ".",
    )
