"""The kitchen's calendar and the year's strip as SVG: cells filled by where fruit comes from, by pattern too."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from topwire.engine.orchard import Orchard
from topwire.show.kitchen_weeks import ORDER, NeedWeek, OrchardWeek, need_weeks, orchard_weeks
from topwire.tell.reader import Reader, counted, listed
from topwire.values.calendar import MONTHS, WEEKS, first_day
from topwire.values.units import Kind

INK, FAINT, PAPER = "#1d1d1b", "#8a8a85", "#ffffff"
TREE, CELLAR, JAR, HARM, BLOSSOM = "#4b6b3f", "#a9c29a", "#d8b36a", "#9c3d2e", "#f3c9d2"
ONCE = "#b9c4cf"
HIGH, GAP = 34, 10  # drawing units: a need's height, the room between needs
FEWEST = 0.01  # share of a week that is drawn
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"


@dataclass(frozen=True)
class _Room:
    """How wide a drawing is: a week's width, the room left of the weeks, and whether names stand above them instead."""

    cell: float
    left: int
    mark: str  # what its patterns' names end in: two drawings may stand in one page

    @property
    def gap(self) -> int:
        return 2 if self.left else 1

    @property
    def above(self) -> int:
        return 0 if self.left else 16


WIDE_CALENDAR, WIDE_YEAR, NARROW = _Room(16, 290, ""), _Room(16, 110, ""), _Room(6.3, 0, "-n")
PARTS = (("off_tree", "from the tree", TREE, ""), ("cellar", "from the cellar", CELLAR, "w-bars"),
         ("put_by", "put by before", JAR, "w-dots"), ("made", "made once, when ripe", ONCE, ""),
         ("short", "short", PAPER, "w-cross"))  # fmt: skip


def _patterns(mark: str) -> str:
    size = 3 if mark else 6
    return (
        f'<pattern id="w-bars{mark}" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M 0 6 L 6 0" '
        f'stroke="{INK}" stroke-width="0.9" fill="none"/></pattern>'
        f'<pattern id="w-dots{mark}" width="5" height="5" patternUnits="userSpaceOnUse"><circle cx="2.5" cy="2.5" '
        f'r="1" fill="{INK}"/></pattern>'
        f'<pattern id="w-cross{mark}" width="{size}" height="{size}" patternUnits="userSpaceOnUse"><path '
        f'd="M 0 0 L {size} {size} M 0 {size} L {size} 0" stroke="{HARM}" stroke-width="1" fill="none"/></pattern>'
    )


def draw_calendar(orchard: Orchard, reader: Reader, *, narrow: bool = False) -> str:
    """Weeks across, needs down; a cell is as full as its week is served. Empty where nothing was chosen.

    Parameters
    ----------
    narrow : for a phone held upright: names stand above their weeks
    """
    if orchard.choice is None:
        return ""
    room = NARROW if narrow else WIDE_CALENDAR
    weeks = need_weeks(orchard.choice, reader)
    needs = list(dict.fromkeys((line.number, line.need) for line in weeks))
    by_need = {number: [line for line in weeks if line.number == number] for number, _ in needs}
    body, y = [_months(room, 14)], 24
    for number, label in needs:
        body.append(_label(label, y, room))
        y += room.above
        body += [_cell(line, y, reader, room) for line in by_need[number]]
        y += HIGH + GAP
    body.append(_legend(y + 6, room))
    return _svg("The kitchen’s calendar", room, y + (76 if narrow else 34), body)


def _cell(line: NeedWeek, y: int, reader: Reader, room: _Room) -> str:
    x, filled, parts = _x(line.week, room), 0.0, []
    for key, _, colour, pattern in PARTS:
        share = getattr(line, key) / line.wanted
        if share < FEWEST:
            continue
        high = share * HIGH
        box = (
            f'x="{x:.6g}" y="{y + HIGH - filled - high:.1f}" width="{room.cell - 1:.6g}" height="{high:.1f}"'
        )
        parts.append(f'<rect {box} fill="{colour}"/>')
        if pattern:
            parts.append(f'<rect {box} fill="url(#{pattern}{room.mark})"/>')
        filled += high
    edge = (
        f'<rect x="{x:.6g}" y="{y}" width="{room.cell - 1:.6g}" height="{HIGH}" fill="none" stroke="{FAINT}" '
        'stroke-width="0.6"/>'
    )
    return f'<g class="cell"><title>{escape(said(line, reader))}</title>{"".join(parts)}{edge}</g>'


def said(line: NeedWeek, reader: Reader) -> str:
    """A cell in words."""
    parts = [
        f"{reader.text(getattr(line, key), Kind.MASS)} {words}"
        for key, words, _, _ in PARTS
        if getattr(line, key) > FEWEST * line.wanted
    ]
    wanted = reader.text(line.wanted, Kind.MASS)
    by = f" By {listed(line.cultivars[:8])}." if line.cultivars else ""
    return f"{line.need}; week {line.week}, from {line.starts}: {wanted} wanted; {', '.join(parts)}.{by}"


def _label(label: str, y: int, room: _Room) -> str:
    """The need's name, on two lines where it is long and there is room beside the weeks."""
    head, _, rest = label.partition(",")
    if room.above:
        name = f"<tspan{_bold(True)}>{escape(head)}</tspan>{escape(rest[:44])}"
        return f'<text x="0" y="{y + 11}" font-size="12">{name}</text>'
    lines = [head, rest.strip()] if rest else [label]
    return "".join(
        f'<text x="{room.left - 8}" y="{y + 14 + 14 * number}" text-anchor="end" font-size="12.5"'
        f"{_bold(not number)}>{escape(line[:44])}</text>"
        for number, line in enumerate(lines)
    )


def _bold(yes: bool) -> str:
    return ' font-weight="bold"' if yes else ""


def _legend(y: int, room: _Room) -> str:
    found, x = [], room.left
    for number, (_, words, colour, pattern) in enumerate(PARTS):
        if room.above and number in (2, 4):
            x, y = room.left, y + 22
        box = f'x="{x}" y="{y}" width="22" height="14"'
        found.append(f'<rect {box} fill="{colour}" stroke="{FAINT}" stroke-width="0.6"/>')
        if pattern:
            found.append(f'<rect {box} fill="url(#{pattern}{room.mark})"/>')
        found.append(f'<text x="{x + 28}" y="{y + 11.5}" font-size="12.5">{words}</text>')
        x += 150 if room.above else 42 + 8 * len(words)
    return "".join(found)


def draw_year(orchard: Orchard, reader: Reader, *, narrow: bool = False) -> str:
    """The year as one strip of 52 weeks: what blooms, what is picked, what lies in the cellar, what guests eat."""
    weeks = orchard_weeks(orchard)
    if not weeks:
        return ""
    lanes = (
        ("in bloom", [len(one.bloom) for one in weeks], BLOSSOM, "w-dots",
         [_kinds(one.bloom, "in bloom") for one in weeks]),
        ("picked", [len(one.pick) for one in weeks], TREE, "", [_kinds(one.pick, "picked") for one in weeks]),
        ("in the cellar", [one.stored for one in weeks], CELLAR, "w-bars",
         [f"{reader.text(one.stored, Kind.MASS)} in the cellar" for one in weeks]),
    )  # fmt: skip
    room = NARROW if narrow else WIDE_YEAR
    body, y = [_months(room, 14)], 24
    for name, values, colour, pattern, words in lanes:
        body.append(_lane(name, y, room))
        y += room.above
        body += _bars(weeks, values, words, room, y, colour, pattern)
        y += 50
    body.append(_lane("on the plates", y, room))
    y += room.above
    most = max((one.wanted for one in weeks), default=0.0) or 1.0
    for one in weeks:
        body.append(_plate(one, most, room, y, reader))
    return _svg("The orchard’s year", room, y + 54, body)


def _lane(name: str, y: int, room: _Room) -> str:
    if room.above:
        return f'<text x="0" y="{y + 13}" font-size="12.5">{name}</text>'
    return f'<text x="{room.left - 8}" y="{y + 26}" text-anchor="end" font-size="13">{name}</text>'


def _bars(
    weeks: Sequence[OrchardWeek],
    values: Sequence[float],
    words: Sequence[str],
    room: _Room,
    y: int,
    colour: str,
    pattern: str,
) -> list[str]:
    most = max(values) or 1.0
    found = [
        f'<path d="M {room.left} {y + 40} h {WEEKS * room.cell:.6g}" stroke="{FAINT}" stroke-width="0.8"/>'
    ]
    for one, value, says in zip(weeks, values, words, strict=True):
        if value <= 0:
            continue
        high = 36 * value / most
        wide = f"{room.cell - room.gap:.6g}"
        box = f'x="{_x(one.week, room):.6g}" y="{y + 40 - high:.1f}" width="{wide}" height="{high:.1f}"'
        fill = f'<rect {box} fill="{colour}"/>' + (
            f'<rect {box} fill="url(#{pattern}{room.mark})"/>' if pattern else ""
        )
        title = f"week {one.week}, from {one.starts}: {says}"
        found.append(f'<g class="cell"><title>{escape(title)}</title>{fill}</g>')
    return found


def _plate(one: OrchardWeek, most: float, room: _Room, y: int, reader: Reader) -> str:
    if one.wanted <= 0:
        return ""
    high, full = 36 * one.wanted / most, 36 * min(one.served, one.wanted) / most
    x, wide = f"{_x(one.week, room):.6g}", f"{room.cell - room.gap:.6g}"
    title = (
        f"week {one.week}, from {one.starts}: {reader.text(one.wanted, Kind.MASS)} wanted, "
        f"{reader.text(one.served, Kind.MASS)} served"
    )
    box = f'x="{x}" y="{y + 40 - high:.1f}" width="{wide}"'
    return (
        f'<g class="cell"><title>{escape(title)}</title><rect {box} height="{max(0.0, high - full):.1f}" '
        f'fill="url(#w-cross{room.mark})"/><rect x="{x}" y="{y + 40 - full:.1f}" width="{wide}" height="{full:.1f}" '
        f'fill="{JAR}"/><rect {box} height="{high:.1f}" fill="none" stroke="{FAINT}" stroke-width="0.8"/></g>'
    )


def _kinds(names: tuple[str, ...], doing: str) -> str:
    if not names:
        return f"none {doing}"
    return f"{counted(len(names), 'cultivar')} {doing}: {listed(names)}"


def _x(week: int, room: _Room) -> float:
    return room.left + ORDER.index(week) * room.cell


def _months(room: _Room, y: int) -> str:
    """Names of the months over the week in which each begins."""
    starts = {first_day(week).month: week for week in range(WEEKS, 0, -1)}
    return "".join(
        f'<text x="{_x(week, room):.6g}" y="{y}" font-size="{10.5 if room.above else 12}">{MONTHS[month - 1]}</text>'
        for month, week in starts.items()
    )


def _svg(title: str, room: _Room, height: int, body: Sequence[str]) -> str:
    width = math.ceil(room.left + WEEKS * room.cell) + 8
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
        f'font-family="{FONT}" fill="{INK}" role="img" aria-label="{title}"><defs>{_patterns(room.mark)}</defs>'
        f'<rect width="{width}" height="{height}" fill="{PAPER}"/>{"".join(body)}</svg>'
    )
