"""Words of the Ledger."""

from collections.abc import Mapping

from topwire.ledger.findings import Budget, Event, Maturity, Moved, Running, Spent, WorkText
from topwire.tell.reader import Reader
from topwire.tell.words import Facts, Speech, Words, in_system
from topwire.values.units import Kind


def by_area(per_square_metre: float, reader: Reader, digits: int = 0) -> str:
    """An amount by ground as its reader says it, without the amount's unit: "540" an acre, "1,334" a hectare."""
    return f"{per_area(per_square_metre, reader):,.{digits}f}"


def per_area(per_square_metre: float, reader: Reader) -> float:
    """An amount by square metre as one by hectare or acre."""
    return per_square_metre / reader.convert(1.0, Kind.AREA)


def _hours_beside(facts: Facts) -> Words:
    ours, small, commercial = (
        by_area(float(str(facts[name])), facts.reader) for name in ("ours", "small_farm", "commercial")
    )
    return Words(
        f"a full-grown year takes {ours} hours [a hectare|an acre] of tree ground without pressing and preserving, "
        f"against {small} on a small hands-on farm and about {commercial} in commercial blocks."
    )


WORDS: Mapping[str, Speech] = {
    "ledger.bill_missing": Words(
        "the {concerns} could not be sized, so its bill and hours are missing from every sum here."
    ),
    "ledger.short_of_hands": Words(
        "{weeks} weeks of the {years} years need more hours than {hands:g} people give; the worst is week {week} of "
        "{year}, {beyond:.0f} hours beyond.",
        "Hire for these weeks, choose cultivars that ripen apart, or spread planting over two autumns.",
    ),
    "ledger.dangers": Words(
        "ladders, wire under tension, pruning tools and tractors on a slope cause most injuries in orchards.",
        "See the cautions in the calendar; never work alone with the auger, the chain saw or the tractor.",
    ),
    "ledger.hours_beside": _hours_beside,
    "ledger.per_tree": Words(
        "establishment comes to {each:,.2f} {currency} a tree; published budgets of 2005 ran from 8.83 to 21.94 USD a "
        "tree in the money of that year."
    ),
    "ledger.valued": Words(
        "fruit is valued at what it would cost to buy, not at the price on the menu; own hours are paid the wage of "
        "the plan; no tax, grant or land price is in it; money is of one year, without inflation."
    ),
    "ledger.one_autumn": lambda facts: Words(
        "trees are planted in {autumns} autumns, {first} to {last}; all sums and hours here take them as planted in "
        "{first}.",
        "Cost, work and crops of the last batch come {later} year"
        + ("" if facts["later"] == 1 else "s")
        + " later than shown here.",
    ),
}
SPENT: Mapping[Spent, str] = {
    Spent.TREES: "trees",
    Spent.TRELLIS: "trellis",
    Spent.IRRIGATION: "irrigation",
    Spent.GROUND: "ground preparation",
    Spent.FENCE: "fence",
    Spent.GUARDS: "guards and ties",
    Spent.WORK: "work",
}
RUNNING: Mapping[Running, str] = {
    Running.WORK: "work",
    Running.GOODS: "goods",
    Running.MACHINES: "machines",
    Running.OVERHEADS: "overheads",
    Running.CONTAINERS: "containers",
    Running.WATER: "water",
}
MOVED: Mapping[Moved, str] = {
    Moved.PRICES: "worth of fruit, cider and preserves",
    Moved.HOURS: "hours a task takes",
    Moved.WAGE: "wage, a third either way",
    Moved.INTEREST: "interest, two points either way",
    Moved.BILLS: "bills of trees, trellis and water, a quarter either way",
    Moved.AS_FRUIT: "cider, juice and preserves valued as bare fruit",
    Moved.UNSOLD: "surplus fruit left unsold",
    Moved.CROP: "crop: the poorest and the best orchard of ten",
}
_PYRAMID = (
    "establishment of a slender pyramid of [840 trees a hectare|340 trees an acre], New York, money of 2005"
)
_SPINDLE = (
    "establishment of a super spindle of [5,382 trees a hectare|2,178 trees an acre], New York, money of 2005"
)
BUDGETS: Mapping[Budget, str] = {
    Budget.SMALL_FARM_HOURS: "hours [a hectare|an acre] of tree ground on a small hands-on farm",
    Budget.PYRAMID_BY_AREA: f"{_PYRAMID}, USD [a hectare|an acre] of tree ground",
    Budget.PYRAMID_BY_TREE: f"{_PYRAMID}, USD a tree",
    Budget.SPINDLE_BY_AREA: f"{_SPINDLE}, USD [a hectare|an acre] of tree ground",
    Budget.SPINDLE_BY_TREE: f"{_SPINDLE}, USD a tree",
    Budget.RECOVERED: "year in which costs are recovered, tall spindle, New York",
    Budget.RETURN_LEAST: "internal rate of return, least of five systems, New York, %",
    Budget.RETURN_MOST: "internal rate of return, most of five systems, New York, %",
}
STAGES: Mapping[str, str] = {
    "green_tip": "green tip",
    "full_bloom": "full bloom",
    "petal_fall": "petal fall",
    "first_harvest": "the first harvest",
    "last_harvest": "the last harvest",
    "last_frost": "the last frost",
    "first_frost": "the first autumn frost",
}


def event_words(event: Event, works: Mapping[str, WorkText], reader: Reader) -> WorkText:
    """What is to be done, how, and the danger, in the reader's units."""
    if event.cultivar:
        how = "two or three picks by colour" + _ripe(event.maturity, reader)
        return WorkText("", f"pick {event.cultivar}", how, "Windfalls apart: never into raw juice.")
    said = works[event.work]
    return WorkText(said.item, *(in_system(text, reader) for text in (said.what, said.how, said.caution)))


def _ripe(found: Maturity | None, reader: Reader) -> str:
    if found is None:
        return ""
    starch = f"; starch {found.starch_mature:g} to {found.starch_over:g} on the 1-8 scale"
    if not found.listed:
        return f"{starch} (a start for cultivars nobody has listed)"
    if found.firmness_short is None or found.firmness_long is None:
        return starch
    short, long = (
        reader.text(kilograms, Kind.MASS, 0 if reader.us else 1)
        for kilograms in (found.firmness_short, found.firmness_long)
    )
    return f"{starch}, firmness {short} for a short, {long} for a long keep"


def leaf_words(event: Event) -> str:
    """Age of the trees it concerns: "all", "1", "2-4", "4 and older"."""
    if event.last_leaf is None:
        return "all" if event.first_leaf == 0 else f"{event.first_leaf} and older"
    return (
        str(event.first_leaf)
        if event.first_leaf == event.last_leaf
        else f"{event.first_leaf}-{event.last_leaf}"
    )


def hangs_on(event: Event) -> str:
    """ "14 days after full bloom", "by the calendar"."""
    if event.cultivar:
        return "days after bloom and warmth, middle year"
    if not event.stage:
        return "by the calendar"
    days = event.days_after
    if days == 0:
        return f"at {STAGES[event.stage]}"
    return f"{abs(days)} days {'before' if days < 0 else 'after'} {STAGES[event.stage]}"
