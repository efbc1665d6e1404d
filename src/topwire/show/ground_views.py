"""What the ground map can be coloured by: a class for every tree, each with a sign that needs no colour."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from topwire.choice.findings import Choice
from topwire.layout.findings import Ground, Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.values.calendar import day_label, week_label, week_of_day

Index = npt.NDArray[np.int64]
POLLEN_STEPS = (1.0, 1.5, 2.0, 3.0, 4.0)  # times the pollen that is enough


class View(StrEnum):
    """What a map shows."""

    CULTIVAR = "cultivar"
    USE = "use"
    BLOOM = "bloom week"
    HARVEST = "harvest week"
    POLLEN = "pollen received"
    PLANTED = "year planted"


@dataclass(frozen=True)
class MapClass:
    """One entry of the legend: `sign` stands on the map, `name` explains it."""

    sign: str
    name: str
    trees: int


@dataclass(frozen=True)
class ViewOfTrees:
    """`class_of` (places,) indexes `classes`, -1 where no tree stands; `ordered` classes go from low to high."""

    title: str
    classes: tuple[MapClass, ...]
    class_of: Index
    ordered: bool


def view_of(
    view: View, ground: Ground, layout: Layout, choice: Choice | None, place: PlaceSeasons | None
) -> ViewOfTrees:
    """The trees' classes in one view. A view whose figures are absent shows “not known”."""
    makers: dict[View, Callable[[], ViewOfTrees]] = {
        View.CULTIVAR: lambda: _by_cultivar(layout),
        View.USE: lambda: _by_use(layout, choice),
        View.BLOOM: lambda: _by_week(layout, "Full bloom, by week", _bloom_days(layout, place)),
        View.HARVEST: lambda: _by_week(layout, "First picking, by week", _harvest_days(layout, place)),
        View.POLLEN: lambda: _by_pollen(layout),
        View.PLANTED: lambda: _by_year(layout),
    }
    return makers[view]()


def week_name(week: int) -> str:
    """ "week 35, 27 Aug to 2 Sep" (of a common year)."""
    return f"week {week}, {week_label(week)} to {day_label(min(7 * week, 365))}"


def _gathered(
    title: str, group: Sequence[int], signs: Sequence[str], names: Sequence[str], of: Index, *, ordered: bool
) -> ViewOfTrees:
    """Classes that have trees, from a group number for each cultivar."""
    table = np.append(np.asarray(group, dtype=np.int64), -1)
    class_of = table[of]
    used = [number for number in range(len(names)) if (class_of == number).any()]
    renumber = np.full(len(names) + 1, -1, dtype=np.int64)
    renumber[used] = np.arange(len(used))
    class_of = renumber[class_of]
    classes = tuple(
        MapClass(signs[number], names[number], int((class_of == i).sum())) for i, number in enumerate(used)
    )
    return ViewOfTrees(title, classes, class_of, ordered)


def _by_cultivar(layout: Layout) -> ViewOfTrees:
    order = sorted(range(len(layout.cultivars)), key=lambda kind: layout.cultivars[kind].lower())
    planted = [kind for kind in order if (layout.cultivar == kind).any()]
    rank = {kind: number for number, kind in enumerate(planted)}
    group = [rank.get(kind, 0) for kind in range(len(layout.cultivars))]
    names = [layout.cultivars[kind] for kind in planted]
    signs = [layout.codes[kind] for kind in planted]
    return _gathered("Cultivars", group, signs, names, layout.cultivar, ordered=False)


def _by_use(layout: Layout, choice: Choice | None) -> ViewOfTrees:
    main = {
        row.name: max(row.uses, key=lambda use: (row.uses[use], use)) if row.uses else "not known"
        for row in (choice.chosen if choice else ())
    }
    said = [main.get(name, "not known") for name in layout.cultivars]
    names = sorted(set(said), key=lambda name: (name == "not known", name))
    signs = [name[:2].capitalize() if name != "not known" else "?" for name in names]
    return _gathered(
        "Main use", [names.index(name) for name in said], signs, names, layout.cultivar, ordered=False
    )


def _bloom_days(layout: Layout, place: PlaceSeasons | None) -> list[float]:
    return [_middle(place.full_bloom_of(name)) if place else np.nan for name in layout.cultivars]


def _harvest_days(layout: Layout, place: PlaceSeasons | None) -> list[float]:
    """First picking in the middle of the weather years, as the calendar has it."""
    return [_middle(place.harvest_of(name)) if place else np.nan for name in layout.cultivars]


def _middle(estimate: object) -> float:
    return float(getattr(estimate, "middle", np.nan))


def _by_week(layout: Layout, title: str, days: Sequence[float]) -> ViewOfTrees:
    weeks = [int(week_of_day(day)) if np.isfinite(day) else 0 for day in days]
    found = sorted({week for week in weeks if week})
    names = [week_name(week) for week in found] + ["not known"]
    signs = [str(week) for week in found] + ["?"]
    group = [found.index(week) if week else len(found) for week in weeks]
    return _gathered(title, group, signs, names, layout.cultivar, ordered=True)


def _by_pollen(layout: Layout) -> ViewOfTrees:
    names = ["less than enough in one year of ten"]
    names += [f"{low:g} to {high:g} times enough" for low, high in pairwise(POLLEN_STEPS)]
    names += [f"more than {POLLEN_STEPS[-1]:g} times enough"]
    step = np.searchsorted(POLLEN_STEPS, layout.pollen, side="right")
    of = np.where(layout.cultivar >= 0, step, -1).astype(np.int64)
    signs = [str(number) for number in range(len(names))]
    return _gathered("Useful pollen, worst year of ten", range(len(names)), signs, names, of, ordered=True)


def _by_year(layout: Layout) -> ViewOfTrees:
    years = [int(year) for year in np.unique(layout.year_planted[layout.cultivar >= 0])]
    number = {year: index for index, year in enumerate(years)}
    of = np.array(
        [
            number[int(year)] if kind >= 0 else -1
            for year, kind in zip(layout.year_planted, layout.cultivar, strict=True)
        ],
        dtype=np.int64,
    )
    signs = [f"’{year % 100:02d}" for year in years]
    names = [f"planted {year}" for year in years]
    return _gathered("Year planted", range(len(years)), signs, names, of, ordered=True)
