"""Sheets of the Years: growth to the top wire, crop by leaf, fruit and thinning."""

from collections.abc import Callable, Collection, Sequence

from topwire.choice.findings import NeedLine
from topwire.growth.asked import ThinningRule
from topwire.growth.findings import CropForecast
from topwire.show import training_sheets
from topwire.show.sheet import (
    Column,
    Link,
    Linked,
    LinkKind,
    Sheet,
    StandsIn,
    Value,
    cultivar,
    setting,
    sheet_of,
    source,
    table,
)
from topwire.tell.choice import need_label
from topwire.tell.growth import RULES, SET_ADVICE, SUGAR, TRIAL_FIGURES
from topwire.tell.reader import Reader
from topwire.tell.words import in_system
from topwire.values.quantities import Plain, Quantity
from topwire.values.units import Kind

_LOAD = table("crop_load")
_CURVE = (Link(LinkKind.TABLE, "yield_by_leaf"), *_LOAD)
_WIRE = setting("trellis.wire_heights", "trees.rootstock")
_SUGAR = source("CANOPY-CE82", "CARBON-LJ90")
_SMALL = 1000.0  # [m2] of blocks below which areas are told in square feet or square metres
_CULTIVAR = Column("cultivar", "cultivar", width=1.8, leads=LinkKind.CULTIVAR)


def sheets(
    found: CropForecast,
    needs: Sequence[NeedLine],
    planting: int,
    reader: Reader,
    pressed: Collection[str] = (),
) -> list[Sheet]:
    """Every sheet; `needs` are those of the kitchen, `planting` the year of the planting autumn, `pressed` the
    cultivars whose fruit is for cider, which no one thins by hand to a number."""
    by_hand = [fruit(found, pressed), gauge(found, reader, pressed)]
    made = [
        crop(found, planting, reader),
        to_the_wire(found, reader),
        by_cultivar(found),
        *(sheet for sheet in by_hand if sheet.rows),
        sizes(found),
    ]
    optional: Sequence[tuple[object, Callable[[], Sheet]]] = (
        (found.kitchen and needs, lambda: kitchen(found, needs, reader)),
        (found.rules, lambda: rules(found)),
        (found.sets, lambda: own_fruitlets(found)),
        (found.sugar, lambda: sugar(found)),
        (found.training, lambda: training_sheets.training(found, reader)),
        (found.whips, lambda: training_sheets.wires(found, planting)),
        (found.whips, lambda: training_sheets.whip_heights(found)),
        (found.whips, lambda: training_sheets.feathers(found)),
        (found.whips, lambda: training_sheets.starts(found, planting)),
        (found.thinning, lambda: thinning(found, reader)),
        (found.rows, lambda: by_row(found)),
        (found.trials, lambda: trials(found)),
    )
    return made + [sheet() for there, sheet in optional if there]


def crop(found: CropForecast, planting: int, reader: Reader) -> Sheet:
    low, middle, high = (reader.text(value, Kind.CROP, 0) for value in found.mature_crop)
    areas = found.areas
    kind = Kind.GROUND if areas.blocks < _SMALL else Kind.AREA
    ground = f"tree ground {reader.text(areas.tree_ground, kind)} (row spacing times tree spacing)"
    fenced = "" if areas.fenced is None else f", inside the fence {reader.text(areas.fenced, kind)}"
    return Sheet(
        "years.crop",
        "The crop by leaf",
        (
            Column("leaf", "leaf"),
            Column("summer", "summer of", Plain.YEAR, links=setting("years.planting")),
            Column("low", "crop, low year", Kind.MASS, links=_CURVE),
            Column("middle", "middle", Kind.MASS, links=_CURVE),
            Column("high", "high", Kind.MASS, links=_CURVE),
            Column("on_ground", "middle on tree ground", Kind.CROP, 1, links=_CURVE),
            Column("goal", "what specialists aim at", Kind.CROP, 1, links=_CURVE[:1]),
        ),
        tuple(
            (int(leaf), planting + int(leaf), *map(float, band), float(ground_crop[1]), float(goal))
            for leaf, band, ground_crop, goal in zip(
                found.leaf, found.orchard_kg, found.crop_on_ground, found.goal_on_ground, strict=True
            )
        ),
        f"New trees only. Full grown: {low} in a low year, {middle} in a middle one, {high} in a high one, of tree "
        "ground.",
        (
            "A tree planted in autumn opens its first leaf the next spring. This is all that the trees bear: the "
            "choice and the ledger count only what frost, disease and heat leave sound of it.",
            f"Areas: {ground}, blocks with headlands {reader.text(areas.blocks, kind)}{fenced}.",
        ),
        ("crop",),
    )


def kitchen(found: CropForecast, needs: Sequence[NeedLine], reader: Reader) -> Sheet:
    return Sheet(
        "years.kitchen",
        "Until the trees are full grown, of each need served",
        (
            Column("leaf", "leaf", width=0.6),
            Column("year", "harvest of", Plain.YEAR, width=0.8, links=setting("years.autumns")),
            *(
                Column(f"need_{number}", need_label(need, reader), Plain.SHARE, width=1, links=_CURVE)
                for number, need in enumerate(needs, start=1)
            ),
        ),
        tuple((line.leaf, line.year, *line.served) for line in found.kitchen),
        "From the mean crop of each cultivar by leaf; means over a good, a middling and a bad weather year. Standing "
        "trees crop at once.",
    )


def to_the_wire(found: CropForecast, reader: Reader) -> Sheet:
    shown = (1, 2, 3, 4)
    return Sheet(
        "years.leader",
        f"The leader on its way to the top wire at {reader.tape(found.wire_height)}",
        (
            _CULTIVAR,
            Column("vigour", "vigour, M.9 = 1", Plain.RATIO, width=0.8, links=_WIRE[1:]),
            *(
                Column(
                    f"height_{leaf}",
                    f"height after leaf {leaf}" if leaf == 1 else f"leaf {leaf}",
                    Kind.LENGTH,
                    1,
                    width=1 if leaf == 1 else 0.8,
                )
                for leaf in shown
            ),
            Column("strong", "at the wire in leaf, strong tree", width=1, links=_WIRE),
            Column("middle", "middle", width=0.7, links=_WIRE),
            Column("weak", "weak tree", width=0.7, links=_WIRE),
        ),
        tuple(
            (cultivar(name), float(vigour), *map(float, height[: len(shown), 1]), *map(_leaf, reaches))
            for name, vigour, height, reaches in zip(
                found.cultivars, found.vigour, found.height, found.reaches_wire, strict=True
            )
        ),
        "Middle heights; “not” = not within fifteen leaves. A tree carries no crop before its leader is at the wire.",
        charts=("leader",),
    )


def _leaf(value: float) -> Value:
    return "not" if value != value else round(value)


def _by_leaf(
    found: CropForecast,
    shown: Sequence[int],
    quantity: Quantity | None,
    digits: int | None,
    links: tuple[Link, ...],
) -> tuple[list[int], tuple[Column, ...]]:
    """Indexes of the leaves shown, and a column for each."""
    leaves = [leaf for leaf in shown if leaf in found.leaf]
    columns = tuple(Column(f"leaf_{leaf}", f"leaf {leaf}", quantity, digits, links=links) for leaf in leaves)
    return [leaf - int(found.leaf[0]) for leaf in leaves], columns


def by_cultivar(found: CropForecast) -> Sheet:
    places, columns = _by_leaf(found, (2, 3, 4, 5, 6, 8, 10, 15), Kind.MASS, 1, _CURVE)
    return Sheet(
        "years.trees",
        "Crop of a tree by leaf, middle year",
        (
            Column("cultivar", "cultivar"),
            *columns,
            Column("heaviest", "heaviest", Kind.MASS, 1),
            Column("alternation", "swing from year to year, 0 to 1", Plain.RATIO),
        ),
        tuple(
            (cultivar(name), *(float(kg[place, 1]) for place in places), float(heaviest), float(swing))
            for name, kg, heaviest, swing in zip(
                found.cultivars,
                found.kg_per_tree,
                found.full_crop_kg_per_tree,
                found.bearing_index,
                strict=True,
            )
        ),
        "Heaviest: the high year of a full-grown tree, which the wires must hold. Swing: 0 bears evenly, 1 every "
        "other year.",
    )


def fruit(found: CropForecast, pressed: Collection[str] = ()) -> Sheet:
    places, columns = _by_leaf(found, (2, 3, 4, 5, 6, 8, 10), Plain.COUNT, 0, _LOAD)
    widths = tuple(
        Column(f"trunk_{leaf}", f"trunk across after leaf {leaf}", Kind.FINE_LENGTH)
        for leaf in (1, 3, 5)
        if leaf in found.leaf
    )
    return Sheet(
        "years.fruit",
        "Fruits to leave on a tree when thinning",
        (Column("cultivar", "cultivar"), *columns, *widths),
        tuple(
            (
                cultivar(name),
                *(float(target[place]) for place in places),
                *(float(width[int(column.key.removeprefix("trunk_")) - 1]) for column in widths),
            )
            for name, target, width in zip(
                found.cultivars, found.fruit_target, found.trunk_width, strict=True
            )
            if name not in pressed
        ),
        "From trunk area, later from ground area; 0 = strip every flower. A trunk is measured a foot above the union; "
        "where yours differ from these, go by the next table."
        + (" Cider fruit is not thinned by hand to a number and stands in neither." if pressed else ""),
    )


def gauge(found: CropForecast, reader: Reader, pressed: Collection[str] = ()) -> Sheet:
    widths = [(round(1000 * width), reader.text(width, Kind.FINE_LENGTH)) for width in found.gauge_width]
    return Sheet(
        "years.gauge",
        "The most a trunk may carry, by its width",
        (
            Column("cultivar", "cultivar"),
            *(
                Column(f"trunk_{mm}mm", f"trunk of {wide}", Plain.COUNT, 0, links=_LOAD)
                for mm, wide in widths
            ),
        ),
        tuple(
            (cultivar(name), *map(float, fruits))
            for name, fruits in zip(found.cultivars, found.gauge_fruits, strict=True)
            if name not in pressed
        ),
        "Fruits a tree, while it still fills its room; a full-grown one is held by its ground (table above).",
    )


def sizes(found: CropForecast) -> Sheet:
    return sheet_of(
        "years.sizes",
        "What thinning buys: fruit and next year’s flowers",
        (
            _CULTIVAR,
            Column("load", "fruits on the trunk", Kind.FRUIT_LOAD, width=0.9, links=_LOAD),
            Column("mass", "fruit", Kind.SMALL_MASS, width=0.7),
            Column("width", "across", Kind.FINE_LENGTH, (1, 0), width=0.7),
            Column("flowers_next_year", "flowers next year", Plain.SHARE, width=0.9),
            Column("mass_overloaded", "half as many fruits again: fruit", Kind.SMALL_MASS, width=1.1),
            Column("width_overloaded", "across", Kind.FINE_LENGTH, (1, 0), width=0.7),
            Column("flowers_overloaded", "flowers next year", Plain.SHARE, width=0.9),
        ),
        found.sizes,
        "Loss of size by load and the flowers’ answer are proposals; the loads are read for the groups of cultivars.",
    )


def rules(found: CropForecast) -> Sheet:
    return sheet_of(
        "years.rules",
        "When to let a young tree crop",
        (
            Column("rule", "rule", width=2, words=RULES),
            Column("leaf_at_wire", "at the wire, leaf", Plain.COUNT, 1, width=1),
            Column("never", "trees never there", Plain.SHARE, width=1, of="never_at_wire"),
            Column("to_leaf_5", "crop of a tree to leaf 5", Kind.MASS, 1, width=1, of="kg_to_leaf_5"),
            Column("to_leaf_10", "to leaf 10", Kind.MASS, width=1, of="kg_to_leaf_10"),
            Column("chosen", "this plan", width=0.7),
        ),
        found.rules,
        "Means over the orchard’s trees.",
    )


def own_fruitlets(found: CropForecast) -> Sheet:
    return sheet_of(
        "years.fruitlets",
        "What your own fruitlets say",
        (
            Column("cultivar", "cultivar", width=1.3, links=table("fruitlets"), leads=LinkKind.CULTIVAR),
            Column("measured", "measured", width=0.7),
            Column("stay", "will stay", width=0.7, of="persisting"),
            Column("share", "share that stays", Plain.SHARE, width=0.8),
            Column("fruits", "fruits a tree", Plain.COUNT, width=0.7, of="fruits_per_tree"),
            Column("wanted", "wanted", Plain.COUNT, width=0.6),
            Column("advice", "advice", width=2, words=SET_ADVICE),
        ),
        found.sets,
        "From the growth rates you measured.",
    )


def sugar(found: CropForecast) -> Sheet:
    return sheet_of(
        "years.sugar",
        "Sugar in the thinning window, year by year",
        (
            Column("year", "year", Plain.YEAR),
            Column("from", "from", Plain.DAY_OF_YEAR, of="first_day"),
            Column("to", "to", Plain.DAY_OF_YEAR, of="last_day"),
            Column("made", "made a day, of the middle year", Plain.SHARE, links=_SUGAR),
            Column("wanted", "wanted a day, of the middle year", Plain.SHARE, links=_SUGAR[1:]),
            Column("shorter", "other years that were shorter", Plain.SHARE),
            Column("thinning", "thinning by hand in such a year", width=0, of="stands", words=SUGAR),
        ),
        found.sugar,
        "Each year beside the others here: sugar made by light on leaves (Charles-Edwards 1982, as Lakso and Johnson "
        "1990 took it for apple), wanted by shoots and fruit by warmth. Only the order of the years counts.",
    )


def _marked(rule: ThinningRule) -> Value:
    return (
        Linked(f"{rule.mark} {rule.source}", Link(LinkKind.SOURCE, rule.source)) if rule.source else rule.mark
    )


def thinning(found: CropForecast, reader: Reader) -> Sheet:
    return sheet_of(
        "years.thinning",
        "Rules for thinning",
        (
            Column("rule", "rule", width=1, links=table("thinning_rules")),
            Column("when", "when", width=2, of=lambda rule: in_system(rule.condition, reader)),
            Column("what", "what to do", width=2, of=lambda rule: in_system(rule.action, reader)),
            Column("rests_on", "rests on", width=1, of=_marked),
        ),
        found.thinning,
        "For thinning by hand.",
    )


def by_row(found: CropForecast) -> Sheet:
    places, columns = _by_leaf(found, (3, 4, 5, 8, 10), Kind.MASS, 0, _CURVE)
    return Sheet(
        "years.rows",
        "Crop of each row by leaf, middle year",
        (Column("row", "row"), *columns),
        tuple(
            (name, *(float(kg[place, 1]) for place in places))
            for name, kg in zip(found.rows, found.row_kg, strict=True)
        ),
        "New trees only.",
    )


def trials(found: CropForecast) -> Sheet:
    return sheet_of(
        "years.trials",
        "Beside published trials",
        (
            Column("trial", "trial", width=3.1, links=table("crop_trials")),
            Column("figure", "what", width=1.5, words=TRIAL_FIGURES),
            Column("published", "published", width=0.8),
            Column("thinned", "ours, thinned as advised", width=0.9, of="thinned_to_rule"),
            Column("cropped", "ours, cropped as there", width=0.9, of="as_cropped"),
            Column("source", "source", width=0.9, leads=LinkKind.SOURCE),
        ),
        found.trials,
        "The forecast run for the trial’s own stock and spacing.",
        stands_in=StandsIn.SURENESS,
    )
