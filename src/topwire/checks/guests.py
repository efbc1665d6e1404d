"""Outside checks of what guests are told: times and homes of old apples, as the handbook of 1851 has them by number."""

import re
from collections.abc import Callable
from functools import cache

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.tables import read_tables
from topwire.checks import Check, checks_of
from topwire.guests.dated import dated
from topwire.guests.question import StoryRow, story_fact

# Story of ours, number of the entry, the year printed there. Some of the stories rest on another book.
YEARS = (
    ("Ashmead's Kernel 1", 11, 1780), ("D'Arcy Spice 1", 14, 1848), ("Devonshire Quarrenden 1", 92, 1693),
    ("Dumelow's Seedling 1", 101, 1820), ("Golden Noble 1", 146, 1820), ("Lemon Pippin 1", 207, 1744),
    ("London Pippin 1", 211, 1580), ("Ribston Pippin 1", 301, 1688),
)  # fmt: skip
CENTURIES = (("Ashmead's Kernel 2", 11, 18), ("Golden Pippin 1", 148, 17))
PLACES = (
    ("Ashmead's Kernel 1", 11, "Gloucester"), ("D'Arcy Spice 1", 14, "Broomfield near Chelmsford"),
    ("Duchess of Oldenburg 1", 99, "Russia"), ("Dumelow's Seedling 1", 101, "Shackerstone"),
    ("Golden Noble 1", 146, "Downham"), ("Lady 1", 6, "Brittany"), ("Ribston Pippin 1", 301, "Ribston Hall"),
)  # fmt: skip
# Figures a story names beside its own year.
NAMED = (("Ribston Pippin 1", 301, 1810), ("Ribston Pippin 1", 301, 1835), ("Golden Harvey 1", 143, 1085))
_SOURCE = "HOGG1851, no. {}"


@cache
def _stories() -> dict[str, StoryRow]:
    table = read_tables()["cultivar_stories"]
    rows = Catalogue(read_tables()).rows("cultivar_stories", StoryRow)
    return dict(zip(table.rows, rows, strict=True))


def _year(story: str) -> float:
    found = dated(story_fact(_stories()[story]).when)
    return float("nan") if found is None else float(found.year)


def _century(story: str) -> float:
    found = dated(story_fact(_stories()[story]).when)
    return float("nan") if found is None or found.century is None else float(found.century)


def _names(story: str, place: str) -> float:
    return float(place in story_fact(_stories()[story]).place)


def _nearest(story: str, figure: int) -> float:
    """The number of the story's text nearest to a figure."""
    numbers = [float(found) for found in re.findall(r"\d{3,4}", story_fact(_stories()[story]).says)]
    return min(numbers, key=lambda number: abs(number - figure), default=float("nan"))


def _of(function: Callable[..., float], *values: object) -> Callable[[], float]:
    return lambda: function(*values)


def checks() -> list[Check]:
    check = checks_of("Guests")
    found = [
        check(f"{story}: year told", _SOURCE.format(number), year, _of(_year, story), 0.0, Mark.READ)
        for story, number, year in YEARS
    ]
    found += [
        check(f"{story}: century told", _SOURCE.format(number), century, _of(_century, story), 0.0, Mark.READ)
        for story, number, century in CENTURIES
    ]
    for story, number, place in PLACES:
        asked = f"{story}: {place} is named (1 = yes)"
        found.append(check(asked, _SOURCE.format(number), 1.0, _of(_names, story, place), 0.0, Mark.READ))
    found += [
        check(
            f"{story}: figure told",
            _SOURCE.format(number),
            figure,
            _of(_nearest, story, figure),
            0.0,
            Mark.READ,
        )
        for story, number, figure in NAMED
    ]
    return found
