"""Checks against the outside world: published tables, worked examples, standards, trial data.

Each department's module gives a list; `topwire sources --checks` prints it, the test suite asserts every line.
"""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from pkgutil import iter_modules

from topwire.catalogue.model import Mark


@dataclass(frozen=True)
class Check:
    """One quantity held against a published value.

    Attributes
    ----------
    department : page the quantity belongs to
    quantity : what, with its inputs and unit
    source : bibliography key, then page, table or example ("FAO56, example 18"), or
        "common practice, no source"
    published : the outside value
    ours : computes our value
    tolerance : greatest difference that still agrees, in the quantity's unit
    mark : READ or MEMORY: whether the outside value was seen in its source
    """

    department: str
    quantity: str
    source: str
    published: float
    ours: Callable[[], float]
    tolerance: float
    mark: Mark


def all_checks() -> list[Check]:
    """Every check of every department, in the order of the modules' names."""
    found: list[Check] = []
    for module in sorted(iter_modules(__path__), key=lambda item: item.name):
        department = import_module(f"{__name__}.{module.name}")
        if hasattr(department, "checks"):  # a long department keeps its figures in modules beside it
            found.extend(department.checks())
    return found
