"""A small invented orchard for the tests of the nursery, the years and the ledger; no weather record needed."""

from dataclasses import replace

import numpy as np

from topwire.catalogue.model import Catalogue, Right
from topwire.catalogue.tables import read_tables
from topwire.choice.result import Choice, ChosenCultivar
from topwire.layout.result import Ground, GroundBlock, GroundRow, Layout
from topwire.phenology.result import PlaceSeasons
from topwire.plan.model import Plan

NAMES = ("Gala", "GoldRush", "Honeycrisp", "Dabinett", "Yellow Transparent", "Esopus Spitzenburg")
TREES = (30, 24, 20, 40, 12, 14)
YEARS = 30


def catalogue(**rights: Right) -> Catalogue:
    """The shipped catalogue; `rights` override the right to propagate, by cultivar with _ for blanks."""
    found = Catalogue(read_tables())
    if rights:
        wanted = {name.replace("_", " "): right for name, right in rights.items()}
        changed = tuple(
            replace(row, propagation_right=wanted.get(row.name, row.propagation_right))
            for row in found.cultivars
        )
        object.__setattr__(found, "cultivars", changed)
    return found


def plan(**sections: object) -> Plan:
    """A plan of the invented place; sections override."""
    base: dict[str, object] = {
        "name": "Invented",
        "place": {"latitude": 39.2, "longitude": -78.2, "elevation": "200 m"},
        "ground": {"blocks": [{"name": "South", "rectangle": {"length": "50 m", "width": "15 m"}}]},
        "kitchen": {
            "needs": [{"use": "fresh", "amount": "20 kg/week", "from": "1 Aug", "to": "30 Apr"}],
            "press": {"from": "15 Aug", "to": "10 Dec"},
        },
        "years": {"planting": 2027, "horizon": 20},
    }
    return Plan.model_validate(base | sections)


def ground(names: tuple[str, ...] = NAMES, trees: tuple[int, ...] = TREES) -> Ground:
    rows, places = 4, 35
    made = tuple(
        GroundRow(
            "South",
            number,
            (0.0, 3.3 * number),
            (33.0, 3.3 * number),
            0.0,
            0.0,
            90.0,
            33.0,
            0.92,
            0.5,
            places,
            number in (1, rows),
            "west end",
        )
        for number in range(1, rows + 1)
    )
    outline = np.array([[0.0, 0.0], [40.0, 0.0], [40.0, 16.0], [0.0, 16.0]])
    block = GroundBlock("South", outline, (), 640.0, 0.0, 180.0, 90.0, 3.3, 0.92, made, (), False, "stated")
    count = rows * places
    return Ground(
        39.2, -78.2, (block,), np.zeros(count, dtype=int), np.repeat(np.arange(rows), places),
        np.tile(np.arange(1, places + 1), rows), np.tile(np.arange(places) * 0.92, rows),
        np.repeat(np.arange(rows) * 3.3, places), np.zeros(count), ("",) * count, ("",) * count,
        np.zeros(count, dtype=int), 3.2, (), None, (),
    )  # fmt: skip


def layout(
    stocks: str | dict[str, str] = "G.41",
    names: tuple[str, ...] = NAMES,
    trees: tuple[int, ...] = TREES,
    standing: int = 0,
) -> Layout:
    """Trees in runs over the ground's places, the last `standing` of them old."""
    count = 140
    index = np.repeat(np.arange(len(names)), trees)[:count]
    cultivar = np.full(count, -1)
    cultivar[: len(index)] = index
    old = np.zeros(count, dtype=bool)
    old[len(index) - standing : len(index)] = True
    stock = tuple(stocks.get(name, "G.41") if isinstance(stocks, dict) else stocks for name in names)
    zeros = np.zeros(count)
    return Layout(
        names, cultivar, stock, np.full(count, 2027), old, zeros, zeros, zeros, zeros + 1, np.full(count, 3), (), 0.0,
        0.0, 0.0, None, 0.0, (), (),
    )  # fmt: skip


def choice(names: tuple[str, ...] = NAMES, trees: tuple[int, ...] = TREES, kg: float = 9.0) -> Choice:
    uses = {"Gala": "fresh", "GoldRush": "fresh", "Honeycrisp": "fresh", "Dabinett": "cider"}
    chosen = tuple(
        ChosenCultivar(
            name,
            number,
            0,
            "G.41",
            True,
            (35, 37),
            {uses.get(name, "sauce"): 0.8 * kg * number},
            (),
            None,
            (),
        )
        for name, number in zip(names, trees, strict=True)
    )
    return Choice(
        chosen, (), np.arange(1990, 1990 + YEARS), (), np.zeros((YEARS, 52), dtype=int), np.zeros(52, dtype=int),
        np.zeros((YEARS, len(names))), np.zeros(YEARS), np.zeros((YEARS, 52)), sum(trees), 0.0, 0.0, 0.0, 1.0,
        np.full(len(names), kg), None, (),
    )  # fmt: skip


def seasons(frost: float = 1.0) -> PlaceSeasons:
    """Thirty invented years for every cultivar of the catalogue, with a fixed share of the crop left by frost."""
    cultivars = tuple(row.name for row in catalogue().cultivars)
    random = np.random.default_rng(4)
    shape = (YEARS, len(cultivars))
    spring = random.normal(0, 6, (YEARS, 1))
    bloom = 115 + spring + np.zeros(shape)
    ripe = 190 + 90 * np.linspace(0, 1, shape[1]) + spring
    return PlaceSeasons(
        np.arange(1990, 1990 + YEARS), cultivars, bloom - 5, bloom, bloom + 9, ripe, ripe + 14, np.zeros(shape),
        np.full(shape, frost), 85 + spring[:, 0], 118 + spring[:, 0], np.full(YEARS, 285.0), np.full(YEARS, 80.0),
        random.normal(1700, 120, YEARS), np.full(YEARS, -15.0), np.full(YEARS, 35.0), np.zeros((12, 3)), (),
        np.zeros(len(cultivars)), {}, (), 4.0, 7.0, "6b",
    )  # fmt: skip
