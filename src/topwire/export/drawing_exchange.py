"""The map as a drawing for a contractor's program: DXF of release 12, in metres, a layer for each kind of thing.

Group codes after Autodesk, DXF Reference (release 12): 0 entity, 8 layer, 10 20 30 place, 40 height of letters, 70
flags, 1 words. A library for it is not brought along: it would weigh more than these lines.
"""

from collections.abc import Iterable, Iterator

from topwire.engine.orchard import Orchard
from topwire.export.map_items import MapItem, Points, Shape2D, map_items
from topwire.layout.findings import Layout

LETTERS = 0.5  # [m]
COLOURS = (7, 3, 1, 5, 6, 2, 4)  # index colours, taken in turn
Pair = tuple[int, object]


def dxf(orchard: Orchard) -> bytes:
    """The whole drawing; places are metres east and north of the orchard's origin, 1 unit = 1 m.

    Raises
    ------
    Absent
        When the ground was not computed.
    """
    items = list(map_items(orchard))
    layers = [*list(dict.fromkeys(_layer(item.layer) for item in items)), "NAMES", "RUNS"]
    pairs: list[Pair] = [(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009"), (0, "ENDSEC")]
    pairs += [(0, "SECTION"), (2, "TABLES"), (0, "TABLE"), (2, "LAYER"), (70, len(layers))]
    for number, layer in enumerate(layers):
        pairs += [(0, "LAYER"), (2, layer), (70, 0), (62, COLOURS[number % len(COLOURS)]), (6, "CONTINUOUS")]
    pairs += [(0, "ENDTAB"), (0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")]
    for item in items:
        pairs += _entity(item)
    if orchard.layout is not None:
        pairs += _run_names(orchard, orchard.layout)
    pairs += [(0, "ENDSEC"), (0, "EOF")]
    return "".join(f"{code:3d}\r\n{_value(value)}\r\n" for code, value in pairs).encode("ascii")


def _value(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.4f}"
    return "".join(sign if 32 <= ord(sign) < 127 else f"\\U+{ord(sign):04X}" for sign in str(value))


def _layer(name: str) -> str:
    """Letters, figures and underlines, as release 12 wants its names."""
    return "".join(sign if sign.isascii() and sign.isalnum() else "_" for sign in name.upper())[:31]


def _entity(item: MapItem) -> Iterator[Pair]:
    layer = _layer(item.layer)
    if item.shape is Shape2D.POINT:
        yield from [(0, "POINT"), (8, layer), *_at(item.points[0])]
        return
    for rings in item.rings:
        for ring in rings:
            yield from _polyline(layer, ring, closed=item.shape is Shape2D.AREA)
    if item.name and item.layer in ("block", "row"):
        yield from _text("NAMES", item.rings[0][0][0], item.name)


def _polyline(layer: str, points: Points, *, closed: bool) -> Iterator[Pair]:
    yield from [(0, "POLYLINE"), (8, layer), (66, 1), *_at((0.0, 0.0)), (70, int(closed))]
    for point in points:
        yield from [(0, "VERTEX"), (8, layer), *_at(point)]
    yield from [(0, "SEQEND"), (8, layer)]


def _text(layer: str, at: Iterable[float], says: str) -> Iterator[Pair]:
    yield from [(0, "TEXT"), (8, layer), *_at(at), (40, LETTERS), (1, says)]


def _at(point: Iterable[float]) -> list[Pair]:
    east, north = point
    return [(10, float(east)), (20, float(north)), (30, 0.0)]


def _run_names(orchard: Orchard, layout: Layout) -> Iterator[Pair]:
    """Each run's code where it begins."""
    ground = orchard.ground
    assert ground is not None
    code = dict(zip(layout.cultivars, layout.codes, strict=True))
    at = {ground.address(index): index for index in range(ground.capacity)}
    places = {(address.block, address.row, address.place): index for address, index in at.items()}
    for run in layout.runs:
        index = places[run.block, run.row, run.first]
        yield from _text("RUNS", (float(ground.x[index]), float(ground.y[index])), code[run.cultivar])
