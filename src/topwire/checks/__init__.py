"""Checks against the outside world: published tables, worked examples, standards, trial data.

Each department's module gives a list; `topwire sources --checks` prints it, the test suite asserts every line.
"""

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from importlib import import_module
from importlib.resources import files
from pkgutil import iter_modules

import numpy as np

from topwire.catalogue.model import Mark

DEPARTMENTS = (
    "Place", "Ground", "Choice", "Cellar", "Press", "Years", "Nursery", "Trellis", "Water", "Protection", "Soil",
    "Ledger", "Guests",
)  # fmt: skip


@dataclass(frozen=True)
class Check:
    """One quantity held against a published value.

    Attributes
    ----------
    department : page the quantity belongs to, one of `DEPARTMENTS`
    quantity : what, with its inputs and unit
    source : bibliography key, then page, table or example ("FAO56, example 18"), or
        "common practice, no source"
    published : the outside value
    ours : computes our value
    tolerance : greatest difference that still agrees, in the quantity's unit
    mark : READ or MEMORY: whether the outside value was seen in its source; COMPUTED: it was worked out apart
    """

    department: str
    quantity: str
    source: str
    published: float
    ours: Callable[[], float]
    tolerance: float
    mark: Mark

    def __post_init__(self) -> None:
        if self.department not in DEPARTMENTS:
            raise ValueError(f"{self.department} is no department of {', '.join(DEPARTMENTS)}")


def checks_of(department: str) -> Callable[..., Check]:
    """Makes checks of one department; a value whose source was not seen is from memory."""

    def made(
        quantity: str,
        source: str,
        published: float,
        ours: Callable[[], float],
        tolerance: float,
        mark: Mark = Mark.MEMORY,
    ) -> Check:
        return Check(department, quantity, source, published, ours, tolerance, mark)

    return made


def figure(function: Callable[..., object], *values: object, **named: object) -> Callable[[], float]:
    """A call to be made later, its answer as a float."""
    return lambda: float(np.asarray(function(*values, **named)))


def table(name: str) -> tuple[Mapping[str, str], ...]:
    """Rows of a file of published values."""
    with files(__name__).joinpath("data", name).open(encoding="utf-8") as stream:
        return tuple(csv.DictReader(stream))


# Reference solutions, not publications: neither read nor remembered, but worked out apart from this program.
WORKED_OUT_APART = frozenset(
    {
        "CORO-REF",
        "DAYCHECK",
        "EPANET",
        "NPV-SYN",
        "PROTECTION-CASES",
        "PVLIB",
        "PYPROJ",
        "TRELLIS-SKETCH",
        "UNITLOAD",
        "WATER-CASES",
        "WHIP-SEASONS",
        "LIME-WORKED",
    }
)


def all_checks() -> list[Check]:
    """Every check of every department, in the order of the modules' names."""
    found: list[Check] = []
    for module in sorted(iter_modules(__path__), key=lambda item: item.name):
        department = import_module(f"{__name__}.{module.name}")
        if hasattr(department, "checks"):  # a long department keeps its figures in modules beside it
            found.extend(department.checks())
    return [
        replace(check, mark=Mark.COMPUTED) if check.source.partition(",")[0] in WORKED_OUT_APART else check
        for check in found
    ]
