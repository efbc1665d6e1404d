"""Sheets of a garden, in place of a field's: each tree, one list to buy from, the first summers, months, plates."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from topwire.choice.findings import Choice
from topwire.engine.orchard import Orchard
from topwire.growth.findings import CropForecast
from topwire.ledger.findings import Ledger, Spent
from topwire.show.calendar_sheets import SPRAYED, cautions, own_grafts
from topwire.show.kitchen_weeks import ORDER
from topwire.show.sheet import Column, Sheet, Value, cultivar, setting, sheet_of, table
from topwire.show.tree_sheet import CultivarWeeks, cultivar_weeks
from topwire.tell.growth import TRAINING
from topwire.tell.ledger import SPENT, job_words
from topwire.tell.reader import Reader, counted, listed
from topwire.tell.words import in_system
from topwire.values.bill import BillLine, SoldBy, together
from topwire.values.calendar import MONTHS, WEEKS, week_label
from topwire.values.quantities import Plain
from topwire.values.units import Kind
from topwire.water.findings import WaterPlan

SUMMERS = 3  # leaves told one by one; after them the trees are pruned as grown ones
_GROWN = 10  # leaf


@dataclass(frozen=True)
class GardenTree:
    """One tree, counted as in its address."""

    address: str
    along: float  # [m] from where counting starts
    rootstock: str
    of: CultivarWeeks


def garden_trees(orchard: Orchard) -> list[GardenTree]:
    """In the order they stand."""
    ground, layout = orchard.ground, orchard.layout
    if ground is None or layout is None:
        return []
    kinds = cultivar_weeks(orchard)
    found = []
    for index in np.flatnonzero(layout.cultivar >= 0):
        kind = int(layout.cultivar[index])
        stock = ground.standing_rootstock[index] if layout.standing[index] else layout.rootstock[kind]
        address = str(ground.address(int(index)))
        found.append(GardenTree(address, float(layout.along_row[index]), stock, kinds[kind]))
    return found


def each_tree(orchard: Orchard, reader: Reader) -> Sheet:
    """Which tree stands where, and its year."""
    choice = orchard.choice
    crops = _crops(choice)
    rows = tuple(
        (
            tree.address,
            reader.tape(tree.along),
            cultivar(tree.of.cultivar),
            tree.rootstock,
            _days(tree.of),
            week_label(tree.of.first_pick) if tree.of.first_pick else None,
            eaten(choice, tree.of.cultivar),
            crops.get(tree.of.cultivar),
        )
        for tree in garden_trees(orchard)
    )
    return Sheet(
        "layout.each_tree",
        "Each tree",
        (
            Column("address", "tree", width=1.2),
            Column("along", "from the first post", width=0.9),
            Column("cultivar", "cultivar", width=1.5),
            Column("rootstock", "rootstock", width=0.9, links=setting("trees.rootstock")),
            Column("flowers", "flowers", width=1.3),
            Column("picked", "picked from", width=0.8),
            Column("eaten", "eaten", width=1.8),
            Column("crop", "full crop", Kind.MASS, width=0.7, links=table("crop_load")),
        ),
        rows,
        "Middle year. A tree bears its full crop from about its seventh summer on.",
    )


def _crops(choice: Choice | None) -> dict[str, float]:
    if choice is None:
        return {}
    pairs = zip(choice.chosen, choice.yield_per_tree, strict=True)
    return {line.name: float(tree) for line, tree in pairs}


def _days(line: CultivarWeeks) -> str | None:
    if line.first_bloom is None or line.petal_fall is None:
        return None
    reader_free = (round(line.first_bloom), round(line.petal_fall))
    first, last = (date.fromordinal(date(2025, 1, 1).toordinal() + day - 1) for day in reader_free)
    return f"{first.day} {first:%b} to {last.day} {last:%b}"


EARLY = 6  # weeks before the middle first pick in which some years have it; no table of the middle year shows them


def eaten(choice: Choice | None, name: str) -> str | None:
    """Weeks in which it is on the plate in the mean year: “1 Sep to 12 Oct, pie”; None where it is in none."""
    if choice is None:
        return None
    first_picked = {line.name: line.harvest_weeks[0] for line in choice.chosen}.get(name)
    weeks = [
        week
        for week in ORDER
        if (first_picked is None or (week - first_picked) % WEEKS < WEEKS - EARLY)
        and any(
            need.brought_by and name in need.brought_by[week - 1] and need.a_week for need in choice.needs
        )
    ]
    made = [
        need.use.value
        for need in choice.needs
        if not need.a_week and any(name in names for names in need.brought_by)
    ]
    parts = []
    if weeks:
        first, last = week_label(weeks[0]), week_label(weeks[-1])
        parts.append(first if first == last else f"{first} to {last}")
    return "; ".join([*parts, *dict.fromkeys(made)]) or None


def plates(choice: Choice, reader: Reader) -> Sheet:
    """Month by month what is eaten, and from where."""
    rows: list[tuple[Value, ...]] = []
    for month in (*range(7, 13), *range(1, 7)):
        weeks = [week for week in ORDER if _month_of(week) == month]
        names: list[str] = []
        wanted = served = 0.0
        for need in choice.needs:
            for week in weeks:
                wanted += float(need.wanted[week - 1])
                served += float(need.served[:, week - 1].mean())
                names += need.brought_by[week - 1] if need.brought_by else ()
        if wanted > 0:
            rows.append(
                (MONTHS[month - 1], ", ".join(dict.fromkeys(names)) or None, wanted, min(served, wanted))
            )
    return Sheet(
        "choice.plates",
        "What is on the plate, month by month",
        (
            Column("month", "month", width=0.6),
            Column("cultivars", "from", width=3),
            Column("wanted", "wanted", Kind.MASS, width=0.7),
            Column("served", "there is", Kind.MASS, width=0.7),
        ),
        tuple(rows),
        "Mean of the weather years, trees full grown. What is made once a season stands in equal parts in its weeks.",
    )


def _month_of(week: int) -> int:
    return date.fromordinal(date(2025, 1, 1).toordinal() + 7 * (week - 1) + 3).month


def bills(orchard: Orchard) -> dict[Spent, Sequence[BillLine]]:
    """The goods of every department, by what they are for."""
    found: dict[Spent, Sequence[BillLine]] = {}
    if orchard.trellis is not None:
        found[Spent.TRELLIS] = orchard.trellis.bill
    if orchard.water is not None:
        found[Spent.IRRIGATION] = orchard.water.bill
    if orchard.soil is not None:
        found[Spent.SOIL] = orchard.soil.bill
    if orchard.ledger is not None:
        found[Spent.GUARDS] = orchard.ledger.goods
    return found


def shopping(orchard: Orchard, reader: Reader) -> Sheet:
    """Everything to buy on one list; its sum is what establishing costs."""
    ledger = orchard.ledger
    assert ledger is not None
    rows: list[tuple[Value, ...]] = []
    for part, lines in bills(orchard).items():
        for line in lines:
            first = not rows or SPENT[part] not in {row[0] for row in rows}
            rows.append((SPENT[part] if first else "", line.item, _how_much(line, reader), line.cost))
    listed_parts = {part: together(lines) for part, lines in bills(orchard).items()}
    for part, money in ledger.establishment.items():
        left = money - listed_parts.get(part, 0.0)
        if left >= 0.5:
            rows.append((SPENT[part], _REST.get(part, "further"), "", left))
    rows.append(("together", "", "", ledger.cost_to_establish))
    return Sheet(
        "ledger.shopping",
        "Everything it takes until the trees stand",
        (
            Column("part", "for"),
            Column("item", "what"),
            Column("quantity", "how much"),
            Column("cost", "cost", Plain.MONEY, 0, unit=ledger.currency, links=table("prices")),
        ),
        tuple(rows),
        "Prices are proposals where nobody has quoted them: ask two shops. What you have at home costs nothing.",
    )


_REST: Mapping[Spent, str] = {
    Spent.TREES: "trees (the table of ways says how)",
    Spent.WORK: "your own work, at the plan’s wage",
    Spent.GROUND: "digging and clearing the strip",
}


def _how_much(line: BillLine, reader: Reader) -> str:
    kind = {SoldBy.LENGTH: Kind.LENGTH, SoldBy.KILOGRAM: Kind.MASS}.get(line.sold_by)
    if kind is not None:
        return reader.text(line.quantity, kind, 0 if line.quantity > 10 else 1)
    return f"{line.quantity:,.0f}" if line.quantity % 1 == 0 else f"{line.quantity:,.1f}"


def summers(found: CropForecast, planting: int, reader: Reader) -> Sheet:
    """The planting and the first summers, each with its jobs; what comes every summer is said once."""
    rows: list[tuple[Value, ...]] = []
    for rule in sorted(found.training, key=lambda one: (one.first_leaf, one.last_leaf)):
        if rule.first_leaf > SUMMERS:
            continue
        words = TRAINING[rule.job]
        rows.append(
            (
                _which(rule.first_leaf, min(rule.last_leaf, SUMMERS), planting),
                in_system(words.when, reader),
                words.what,
                in_system(words.how, reader),
            )
        )
    return Sheet(
        "years.summers",
        "The first three summers",
        (
            Column("summer", "summer", width=1),
            Column("when", "when", width=1.1),
            Column("what", "what", width=1.2),
            Column("how", "how", width=3.6),
        ),
        tuple(rows),
    )


def _which(first: int, last: int, planting: int) -> str:
    if last == 0:
        return "planting"
    return f"{planting + first}" if first == last else f"{planting + first} to {planting + last}"


def months(ledger: Ledger, reader: Reader) -> Sheet:
    """The year of grown trees, by the month in which each job begins."""
    leaf = min(_GROWN, len(ledger.years) - 1)
    works = {line.item: line for line in ledger.works}
    by_month: dict[int, list[tuple[str, float]]] = {}
    jobs = [job for job in ledger.calendar if job.leaf == leaf]
    for job in jobs:
        said = job_words(job, works, reader).what
        by_month.setdefault(date.fromisoformat(job.start).month, []).append((said, job.hours or 0.0))
    return sheet_of(
        "ledger.months",
        "The year, month by month",
        (
            Column("month", "month", width=0.6, of=lambda line: MONTHS[line[0] - 1]),
            Column("what", "what", width=4, of=lambda line: _together(name for name, _ in line[1])),
            Column(
                "hours",
                "hours",
                Plain.HOURS,
                1,
                width=0.5,
                of=lambda line: sum(hours for _, hours in line[1]),
            ),
        ),
        [(month, by_month[month]) for month in range(1, 13) if month in by_month],
        f"A middle year, trees full grown, {counted(grown_hours(ledger), 'hour')} in all; each job in its first month.",
        tuple(cautions([job for job in jobs if job.work in SPRAYED], ledger, reader)),
    )


def grown_hours(ledger: Ledger) -> float:
    """Of a year with grown trees. [h]"""
    leaf = min(_GROWN, len(ledger.years) - 1)
    return sum(job.hours or 0.0 for job in ledger.calendar if job.leaf == leaf)


def _together(names: Iterable[str]) -> str:
    """What is picked in a month in one phrase."""
    once = list(dict.fromkeys(names))
    picked = [name.removeprefix("pick ") for name in once if name.startswith("pick ")]
    rest = [name for name in once if not name.startswith("pick ")]
    return "; ".join([*rest, *([f"pick {listed(picked)}"] if picked else [])])


def watering(water: WaterPlan, planting: int) -> Sheet:
    """How much a tree gets, summer by summer."""
    return sheet_of(
        "water.by_tree",
        "Water for a tree",
        (
            Column("summer", "summer", of=lambda line: f"{planting + line.leaf}"),
            Column("each", "at one watering", Kind.SMALL_VOLUME, 1),
            Column("waterings", "waterings, middle year", Plain.COUNT, 0),
            Column("peak", "a day in the hottest week", Kind.SMALL_VOLUME, 1, of=lambda line: line.peak[1]),
            Column("season", "in a middle year", Kind.SMALL_VOLUME, 0, of=lambda line: line.season[1]),
            Column("dry", "in a dry year", Kind.SMALL_VOLUME, 0, of=lambda line: line.season[2]),
        ),
        _first_block(water),
        "After the rain that counts. Look at the soil a hand deep before each watering: damp means wait.",
    )


def _first_block(water: WaterPlan) -> Iterator[object]:
    first = water.blocks[0].block if water.blocks else ""
    shown = {1, 2, 3, max((line.leaf for line in water.blocks), default=0)}
    yield from (line for line in water.blocks if line.block == first and line.leaf in shown)


def garden_sheets(orchard: Orchard, name: str, reader: Reader) -> list[Sheet]:
    """What a garden's department shows first."""
    planting = orchard.origin.planting_year
    if name == "layout" and orchard.layout is not None:
        return [each_tree(orchard, reader)]
    if name == "choice" and orchard.choice is not None:
        return [plates(orchard.choice, reader)]
    if name == "years" and orchard.years is not None:
        return [summers(orchard.years, planting, reader)]
    if name == "ledger" and orchard.ledger is not None:
        return [
            shopping(orchard, reader),
            own_grafts(orchard.ledger, reader),
            months(orchard.ledger, reader),
        ]
    if name == "water" and orchard.water is not None:
        return [watering(orchard.water, planting)]
    return []
