"""A small invented orchard for the tests of the nursery, the years and the ledger; no weather record needed."""

from dataclasses import MISSING, fields, replace
from typing import Any

import numpy as np

from topwire.catalogue.model import Catalogue, Right
from topwire.catalogue.tables import read_tables
from topwire.choice.findings import Choice, ChosenCultivar, NeedLine
from topwire.layout.findings import Ground, GroundBlock, GroundRow, Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.values.terms import Use

NAMES = ("Gala", "GoldRush", "Honeycrisp", "Dabinett", "Yellow Transparent", "Esopus Spitzenburg")
TREES = (30, 24, 20, 40, 12, 14)
YEARS = 30
# Mean lows and highs of the months, rain.
NORMALS = np.array(
    [[-6, 4, 70], [-5, 6, 60], [-1, 11, 80], [5, 18, 80], [10, 23, 100], [15, 28, 95], [18, 30, 95], [17, 29, 90],
     [13, 25, 90], [6, 19, 75], [1, 13, 80], [-4, 6, 75]],
    dtype=float,
)  # fmt: skip


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


def blank(kind: type[Any], **given: Any) -> Any:
    """A result of another room with only the fields that matter here; the others are empty."""
    for item in fields(kind):
        required = item.default is MISSING and item.default_factory is MISSING
        if required and item.name not in given:
            said = str(item.type)
            given[item.name] = (
                ()
                if "tuple" in said
                else {}
                if "dict" in said
                else None
                if "None" in said
                else np.zeros((0, 0))
                if "Floats" in said or "Integers" in said
                else ""
                if said == "<class 'str'>"
                else 0
            )
    return kind(**given)


def ground() -> Ground:
    rows, places = 4, 35
    made = tuple(
        blank(
            GroundRow,
            block="South",
            number=number,
            start=(0.0, 3.3 * number),
            end=(33.0, 3.3 * number),
            length=33.0,
            tree_spacing=0.92,
            places=places,
        )
        for number in range(1, rows + 1)
    )
    outline = np.array([[0.0, 0.0], [40.0, 0.0], [40.0, 16.0], [0.0, 16.0]])
    block = blank(
        GroundBlock, name="South", outline=outline, area=640.0, row_spacing=3.3, tree_spacing=0.92, rows=made,
        along_fence=False,
    )  # fmt: skip
    return blank(
        Ground,
        blocks=(block,),
        block=np.zeros(rows * places, dtype=int),
        row=np.repeat(np.arange(rows), places),
        place=np.tile(np.arange(1, places + 1), rows),
        x=np.tile(np.arange(places) * 0.92, rows),
        y=np.repeat(np.arange(rows) * 3.3, places),
        wall_height=3.2,
        fence=(outline,),
    )


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
    return blank(
        Layout,
        cultivars=names,
        cultivar=cultivar,
        rootstock=stock,
        year_planted=np.full(count, 2027),
        standing=old,
    )


def choice(names: tuple[str, ...] = NAMES, trees: tuple[int, ...] = TREES, kg: float = 9.0) -> Choice:
    uses = {"Gala": "fresh", "GoldRush": "fresh", "Honeycrisp": "fresh", "Dabinett": "cider"}
    chosen = tuple(
        blank(
            ChosenCultivar,
            name=name,
            trees=number,
            rootstock="G.41",
            own_graft=True,
            harvest_weeks=(35, 37),
            uses={uses.get(name, "sauce"): 0.8 * kg * number},
        )
        for name, number in zip(names, trees, strict=True)
    )
    stored = np.tile(np.linspace(0.0, 1000.0, 52), (YEARS, 1))
    taken: dict[str, float] = {}
    for line in chosen:
        for use, amount in line.uses.items():
            taken[use] = taken.get(use, 0.0) + amount
    return blank(
        Choice,
        needs=tuple(_need(Use(use), amount) for use, amount in taken.items()),
        chosen=chosen,
        trees=sum(trees),
        yield_per_tree=np.full(len(names), kg),
        stored=stored,
        harvest=np.full((1, len(names)), kg) * np.array(trees),
    )


def _need(use: Use, kg: float) -> NeedLine:
    """All that is picked for it reaches the kitchen, a week as another."""
    found = blank(
        NeedLine,
        use=use,
        weight=1.0,
        wanted=np.full(52, kg / 52),
        served=np.full((YEARS, 52), kg / 52),
    )
    assert isinstance(found, NeedLine)
    return found


def seasons(frost: float = 1.0) -> PlaceSeasons:
    """Thirty invented years for every cultivar of the catalogue, with a fixed share of the crop left by frost."""
    cultivars = tuple(row.name for row in catalogue().cultivars)
    random = np.random.default_rng(4)
    shape = (YEARS, len(cultivars))
    spring = random.normal(0, 6, (YEARS, 1))
    bloom = 115 + spring + np.zeros(shape)
    ripe = 190 + 90 * np.linspace(0, 1, shape[1]) + spring
    return blank(
        PlaceSeasons,
        years=np.arange(1990, 1990 + YEARS),
        cultivars=cultivars,
        first_bloom=bloom - 5,
        full_bloom=bloom,
        petal_fall=bloom + 9,
        offset_error=np.zeros(shape[1]),
        single_error=0.0,
        harvest_first=ripe,
        harvest_last=ripe + 14,
        crop_after_frost=np.full(shape, frost),
        green_tip=85 + spring[:, 0],
        last_frost=118 + spring[:, 0],
        first_frost=np.full(YEARS, 285.0),
        normals=NORMALS,
        heat_degree_days=random.normal(1700, 120, YEARS),
    )
