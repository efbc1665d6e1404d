"""Charts and drawings as SVG, made once for a plan, units and theme, and kept."""

import re
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from topwire.engine.orchard import Orchard
from topwire.show.charts import department_charts, svg
from topwire.show.ground_drawing import draw_ground
from topwire.show.ground_views import View
from topwire.show.trellis_drawing import draw_elevation, draw_end, kinds_of_ends
from topwire.show.trellis_sheets import rows_of

KEPT = 120  # drawings
# Colours of charts and drawings, and what stands for them on dark paper.
_DARK = {
    "#1d1d1b": "#ece6d8", "#ffffff": "#211f1b", "white": "#211f1b", "#e6e4dc": "#3a372f", "#8a8a85": "#9b958a",
    "#e4e2d8": "#47433a", "#f1d9d2": "#5a332c",
    "#cfd8c7": "#3f5340", "#4b6b3f": "#9cc48c", "#9c3d2e": "#e58e7d", "#f6f3ea": "#2b2822", "#efe8d8": "#353027",
    "#dfe9d4": "#3c4d38", "#8a6a45": "#b9946a", "#d9d9d4": "#45423b",
}  # fmt: skip
_COLOUR = re.compile("|".join(f'"{colour}"' for colour in _DARK))


@dataclass(frozen=True)
class Drawing:
    """One picture of a page: its name in the address, its heading, how to read it, how it is made, and the sheet its
    figures stand in where that is not the sheet it belongs to.
    """

    name: str
    title: str
    says: str
    make: Callable[[], str]
    sheet: str = ""


def charts_of(orchard: Orchard, departments: Iterable[str]) -> list[Drawing]:
    """The departments' charts, not yet drawn."""
    return [
        Drawing(chart.name, chart.title, chart.says, lambda chart=chart: svg(chart))  # type: ignore[misc]
        for name in departments
        for chart in department_charts(orchard, name)
    ]


def elevations_of(orchard: Orchard) -> list[Drawing]:
    """An outer and an inner row from the side, and how a row ends."""
    trellis, system = orchard.trellis, orchard.origin.units
    if trellis is None or not trellis.rows:
        return []
    kinds = [next((row for row in trellis.rows if row.outer is outer), None) for outer in (True, False)]
    found = [
        Drawing(
            "row-outer" if row.outer else "row-inner",
            "An outer row" if row.outer else "An inner row",
            f"{rows_of(row)}, from the side, to scale.",
            lambda row=row: draw_elevation(row, system=system),  # type: ignore[misc]
            "trellis.posts",
        )
        for row in kinds
        if row is not None
    ]
    for number, (title, where, row, end) in enumerate(kinds_of_ends(trellis.rows), start=1):
        name = "row-end" if number == 1 else f"row-end-{number}"
        drawn = lambda row=row, end=end: draw_end(row, end, system=system)  # noqa: E731
        found.append(Drawing(name, title, f"The ends of {where}, to scale.", drawn, "trellis.end_parts"))
    return found


def map_of(orchard: Orchard, view: View) -> Drawing | None:
    """The ground plan by one view."""
    ground = orchard.ground
    if ground is None:
        return None
    says = "North is up. Signs and hatching tell the runs apart; row numbers stand at the end counting starts from."
    return Drawing(
        f"map-{view.name.lower()}",
        f"The map by {view}",
        says,
        lambda: draw_ground(
            ground, orchard.layout, view=view, system=orchard.origin.units, choice=orchard.choice, place=orchard.place
        ),
    )  # fmt: skip


class Gallery:
    """Pictures made once: (plan, units, theme, name) -> SVG."""

    def __init__(self) -> None:
        self._kept: OrderedDict[tuple[str, ...], bytes] = OrderedDict()
        self._guard = threading.Lock()
        self._drawing = threading.Lock()  # one at a time: the renderer is not asked by two threads at once

    def get(self, key: tuple[str, ...], dark: bool, make: Callable[[], str]) -> bytes:
        whole = (*key, "dark" if dark else "light")
        with self._guard:
            if whole in self._kept:
                self._kept.move_to_end(whole)
                return self._kept[whole]
        if dark:  # out of the light one, which paper wants too
            found = on_dark(self.get(key, False, make).decode()).encode()
        else:
            with self._drawing:
                found = make().encode()
        with self._guard:
            self._kept[whole] = found
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        return found


def on_dark(drawn: str) -> str:
    """The same drawing in the colours of dark paper."""
    return _COLOUR.sub(lambda found: f'"{_DARK[found[0][1:-1]]}"', drawn)
