"""A row as a strip to scale: posts, runs by their code, places and tape distances. Black on white, at 7 pt or more."""

from collections.abc import Sequence
from xml.sax.saxutils import escape

from topwire.layout.staking import PlantingLine, PlantingSheet
from topwire.tell.reader import Reader

WIDTH = 1000.0  # drawing units across the text of a page, 487 pt on the narrower of the two papers
LETTERS = 16.0  # units: 7.8 pt
EDGE, TOP, BAND = 14.0, 58.0, 26.0
INK, GREY = "#1d1d1b", "#dcdcd8"
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"
LETTER = 0.56 * LETTERS  # units a letter takes, in the mean


def draw_strip(sheet: PlantingSheet, codes: Sequence[str], posts: Sequence[float], reader: Reader) -> str:
    """The strip as one SVG document.

    Parameters
    ----------
    codes : of the sheet's lines, "" where left empty
    posts : [m] from the start post, ends included, or of the fence; none where no trellis was sized
    """
    scale = (WIDTH - 2 * EDGE) / max([sheet.length, *posts])  # a fence may go on beyond its row
    marked = list(zip(sheet.lines, codes, strict=True))
    parts = [_band(line, code, number, sheet, scale) for number, (line, code) in enumerate(marked)]
    parts += [_post(EDGE + at * scale, end=at in (posts[0], posts[-1])) for at in posts]
    parts += _said_above(sheet, codes, scale)
    parts += _said_below(sheet, scale, reader)
    height = TOP + BAND + 66
    says = ", ".join(
        f"{code or 'empty'} {line.first} to {line.last}"
        for line, code in zip(sheet.lines, codes, strict=True)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {height:.0f}" font-family="{FONT}" '
        f'font-size="{LETTERS:g}" fill="{INK}"><title>{escape(f"{sheet.block} {sheet.row}")}</title>'
        f"<desc>{escape(says)}</desc>{''.join(parts)}</svg>"
    )


def _span(line: PlantingLine, sheet: PlantingSheet, scale: float) -> tuple[float, float]:
    half = sheet.tree_spacing / 2
    return EDGE + max(line.start - half, 0.0) * scale, EDGE + min(line.end + half, sheet.length) * scale


def _band(line: PlantingLine, code: str, index: int, sheet: PlantingSheet, scale: float) -> str:
    left, right = _span(line, sheet, scale)
    fill = "#ffffff" if not code or index % 2 else GREY
    dash = "" if code else ' stroke-dasharray="4 4"'
    return (
        f'<rect x="{left:.1f}" y="{TOP:g}" width="{right - left:.1f}" height="{BAND:g}" fill="{fill}" stroke="{INK}" '
        f'stroke-width="1"{dash}/>'
    )


def _post(x: float, *, end: bool) -> str:
    above, below, thick = (16, 12, 5) if end else (7, 5, 2.5)
    return (
        f'<line x1="{x:.1f}" y1="{TOP - above:g}" x2="{x:.1f}" y2="{TOP + BAND + below:g}" stroke="{INK}" '
        f'stroke-width="{thick:g}"/>'
    )


def _said_above(sheet: PlantingSheet, codes: Sequence[str], scale: float) -> list[str]:
    """Codes over their runs, on a second level where they would touch."""
    return _levels(
        [
            ((sum(_span(line, sheet, scale)) / 2), code)
            for line, code in zip(sheet.lines, codes, strict=True)
            if code
        ],
        base=TOP - 20.0,
        step=-18.0,
        bold=True,
        to=TOP,
    )


def _said_below(sheet: PlantingSheet, scale: float, reader: Reader) -> list[str]:
    """First place of every run with its distance from the start post, and the whole length."""
    marks = [
        (EDGE + line.start * scale, f"{line.first}: {reader.tape(line.start)}")
        for line in sheet.lines
        if line.cultivar
    ]
    return _levels(marks, base=TOP + BAND + 27.0, step=17.0, bold=False, to=TOP + BAND)


def _levels(
    marks: Sequence[tuple[float, str]], *, base: float, step: float, bold: bool, to: float
) -> list[str]:
    """Words at places, each on the first of three levels where it touches no other; what finds none is listed.

    A hair leads from words on a further level to the band.
    """
    taken: list[list[tuple[float, float]]] = [[], [], []]
    found = []
    for x, says in marks:
        half = len(says) * LETTER / 2
        middle = min(max(x, EDGE / 2 + half), WIDTH - EDGE / 2 - half)
        for level, spans in enumerate(taken[:2] if bold else taken):
            if all(middle + half + 4 < left or middle - half - 4 > right for left, right in spans):
                spans.append((middle - half, middle + half))
                y = base + level * step
                weight = ' font-weight="bold"' if bold else ""
                if level:
                    edge = y + 3 if bold else y - LETTERS + 2
                    found.append(
                        f'<path d="M{x:.1f} {edge:.1f}V{to:.1f}" stroke="{INK}" stroke-width="0.6"/>'
                    )
                found.append(
                    f'<text x="{middle:.1f}" y="{y:.1f}" text-anchor="middle"{weight}>{escape(says)}</text>'
                )
                break
    return found
