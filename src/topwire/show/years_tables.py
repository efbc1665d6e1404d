"""Tables of the Years department: growth to the top wire, crop by leaf, training and thinning."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.growth.result import CropForecast
from topwire.show.reader import Reader, day, percent
from topwire.show.table import Cell, Table, figure
from topwire.values.units import Kind


def years_tables(orchard: Orchard) -> list[Table]:
    years = orchard.years
    if years is None:
        return []
    reader = Reader(orchard.origin.units)
    found = [
        crop(years, orchard, reader),
        to_the_wire(years, reader),
        by_cultivar(years, reader),
        fruit(years),
    ]
    if years.rules:
        found.append(rules(years, reader))
    if years.sets:
        found.append(own_fruitlets(years))
    if years.sugar:
        found.append(sugar(years))
    if years.training:
        found.append(training(years))
    if years.thinning:
        found.append(thinning(years))
    if years.rows:
        found.append(by_row(years, reader))
    return found + beside(years, reader)


def crop(years: CropForecast, orchard: Orchard, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    rows = []
    for index, leaf in enumerate(years.leaf):
        cells: list[Cell] = [int(leaf), orchard.origin.planting_year + int(leaf)]
        cells += [reader.figure(float(kg), Kind.MASS) for kg in years.orchard_kg[index]]
        if years.t_per_ha.size:
            cells += [figure(reader.yield_per_area(float(years.t_per_ha[index, 1])), 1)]
        rows.append(tuple(cells))
    columns = ["leaf", "summer of", f"crop, low year, {mass}", f"middle, {mass}", f"high, {mass}"]
    if years.t_per_ha.size:
        columns.append(f"middle, {reader.yield_unit}")
    low, middle, high = (reader.yield_per_area(value) for value in years.mature_t_per_ha)
    return Table(
        "The crop by leaf",
        tuple(columns),
        tuple(rows),
        f"New trees only. Full grown: {low:.0f}, {middle:.0f}, {high:.0f} {reader.yield_unit} (low, middle, high).",
        ("A tree planted in autumn opens its first leaf the next spring.",),
        charts=("crop",),
    )


def to_the_wire(years: CropForecast, reader: Reader) -> Table:
    rows = []
    for index, name in enumerate(years.cultivars):
        reaches = years.reaches_wire[index]
        first = [_at(years, index, leaf) for leaf in (1, 2, 3, 4)]
        rows.append(
            (name, *(reader.figure(height, Kind.LENGTH, 1) for height in first), *map(_leaf, reaches))
        )
    unit = reader.unit(Kind.LENGTH)
    wire = f" at {reader.tape(years.wire_height)}" if years.wire_height else ""
    return Table(
        f"The leader on its way to the top wire{wire}",
        (
            "cultivar", f"height after leaf 1, {unit}", f"leaf 2, {unit}", f"leaf 3, {unit}", f"leaf 4, {unit}",
            "at the wire in leaf, strong tree", "middle", "weak tree",
        ),
        tuple(rows),
        "Middle heights; “not” = not within fifteen leaves. A tree carries no crop before its leader is at the wire.",
        widths=(1.8, 1, 1, 1, 1, 1, 0.8, 0.8),
        charts=("leader",),
    )  # fmt: skip


def _at(years: CropForecast, cultivar: int, leaf: int) -> float | None:
    found = np.flatnonzero(years.leaf == leaf)
    return float(years.height[cultivar, found[0], 1]) if found.size else None


def _leaf(value: float) -> Cell:
    return "not" if np.isnan(value) else figure(float(value))


def by_cultivar(years: CropForecast, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    shown = [leaf for leaf in (2, 3, 4, 5, 6, 8, 10, 15) if leaf in years.leaf]
    places = [int(np.flatnonzero(years.leaf == leaf)[0]) for leaf in shown]
    rows = []
    for index, name in enumerate(years.cultivars):
        cells: list[Cell] = [name]
        cells += [reader.figure(float(years.kg_per_tree[index, place, 1]), Kind.MASS, 1) for place in places]
        cells.append(reader.figure(float(years.full_crop_kg_per_tree[index]), Kind.MASS, 1))
        rows.append(tuple(cells))
    return Table(
        f"Crop of a tree by leaf, middle year, {mass}",
        ("cultivar", *(f"leaf {leaf}" for leaf in shown), "heaviest"),
        tuple(rows),
        "Heaviest: the high year of a full-grown tree, which the wires must hold.",
    )


def fruit(years: CropForecast) -> Table:
    shown = [leaf for leaf in (2, 3, 4, 5, 6, 8, 10) if leaf in years.leaf]
    places = [int(np.flatnonzero(years.leaf == leaf)[0]) for leaf in shown]
    return Table(
        "Fruits to leave on a tree when thinning",
        ("cultivar", *(f"leaf {leaf}" for leaf in shown)),
        tuple(
            (name, *(figure(float(years.fruit_target[index, place])) for place in places))
            for index, name in enumerate(years.cultivars)
        ),
        "From trunk area, later from ground area; 0 = strip every flower.",
    )


def rules(years: CropForecast, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    return Table(
        "When to let a young tree crop",
        (
            "rule", "at the wire, leaf", "never there, % of trees", f"crop of a tree to leaf 5, {mass}",
            f"to leaf 10, {mass}", "this plan",
        ),
        tuple(
            (
                rule.name,
                figure(rule.leaf_at_wire, 1),
                percent(rule.never_at_wire),
                reader.figure(rule.kg_to_leaf_5, Kind.MASS, 1),
                reader.figure(rule.kg_to_leaf_10, Kind.MASS),
                "yes" if rule.chosen else "",
            )
            for rule in years.rules
        ),
        "Means over the orchard's trees.",
        widths=(2, 1, 1, 1, 1, 0.7),
    )  # fmt: skip


def own_fruitlets(years: CropForecast) -> Table:
    return Table(
        "What your own fruitlets say",
        ("cultivar", "measured", "will stay", "share that stays, %", "fruits a tree", "wanted", "advice"),
        tuple(
            (
                line.cultivar, line.measured, line.persisting, percent(line.share), figure(line.fruits_per_tree),
                figure(line.wanted), line.advice,
            )
            for line in years.sets
        ),
        "From the growth rates you measured.",
        widths=(1.3, 0.7, 0.7, 0.8, 0.7, 0.6, 2),
    )  # fmt: skip


def sugar(years: CropForecast) -> Table:
    return Table(
        "Sugar in the thinning window, year by year",
        ("year", "from", "to", "index"),
        tuple(
            (line.year, day(line.first_day), day(line.last_day), figure(line.index, 1))
            for line in years.sugar
        ),
        "Relative: 0 is the ordinary day after bloom here; below it sugar was short and fruit drops by itself.",
    )


def training(years: CropForecast) -> Table:
    return Table(
        "Training and pruning by leaf",
        ("leaf", "when", "what", "how", "source"),
        tuple(
            (_leaves(rule.first_leaf, rule.last_leaf), rule.when, rule.what, rule.how, rule.source)
            for rule in years.training
        ),
        "Leaf 0 is the planting.",
        widths=(0.6, 1.1, 1.2, 3, 1),
    )  # fmt: skip


def _leaves(first: int, last: int) -> str:
    if last >= 40:
        return f"{first} on"
    return str(first) if first == last else f"{first} to {last}"


def thinning(years: CropForecast) -> Table:
    return Table(
        "Rules for thinning",
        ("rule", "when", "what to do", "rests on"),
        tuple(
            (rule.rule, rule.condition, rule.action, f"{rule.mark} {rule.source or ''}".strip())
            for rule in years.thinning
        ),
        "A relative guide; nothing here is a dose, and the label of a product is the law.",
        widths=(1, 2, 2, 1),
    )  # fmt: skip


def by_row(years: CropForecast, reader: Reader) -> Table:
    shown = [leaf for leaf in (3, 4, 5, 8, 10) if leaf in years.leaf]
    places = [int(np.flatnonzero(years.leaf == leaf)[0]) for leaf in shown]
    return Table(
        f"Crop of each row by leaf, middle year, {reader.unit(Kind.MASS)}",
        ("row", *(f"leaf {leaf}" for leaf in shown)),
        tuple(
            (name, *(reader.figure(float(years.row_kg[index, place, 1]), Kind.MASS) for place in places))
            for index, name in enumerate(years.rows)
        ),
        "New trees only.",
    )


def beside(years: CropForecast, reader: Reader) -> list[Table]:
    if years.trials:
        return [
            Table(
                "Beside published trials",
                (
                    "trial", "quantity", "unit", "published", "ours, thinned as advised", "ours, cropped as there",
                    "source",
                ),
                tuple(
                    (
                        line.trial,
                        line.quantity,
                        line.unit,
                        figure(line.published, 1),
                        figure(line.thinned_to_rule, 1),
                        figure(line.as_cropped, 1),
                        line.source,
                    )
                    for line in years.trials
                ),
                "The forecast run for the trial's own stock and spacing; in the trial's units.",
                widths=(3.1, 1.3, 0.6, 0.8, 0.9, 0.9, 0.9),
            )
        ]  # fmt: skip
    if not years.beside_trials:
        return []
    return [
        Table(
            "Beside published trials",
            ("trial", "its value, kg a tree", "ours, kg a tree"),
            tuple((name, figure(theirs, 1), figure(ours, 1)) for name, theirs, ours in years.beside_trials),
            "In the trial's units.",
            widths=(3, 1, 1),
        )
    ]
