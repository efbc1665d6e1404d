"""Words of the Ledger."""

from collections.abc import Mapping

from topwire.ledger.findings import (
    Budget,
    Job,
    JobKind,
    LateLine,
    Ledger,
    Maturity,
    Moved,
    Running,
    Spent,
    WorkText,
)
from topwire.ledger.tools import Had, ToolRow
from topwire.nursery.findings import NurseryJob
from topwire.tell import nursery
from topwire.tell.reader import Reader, counted
from topwire.tell.words import Facts, Speech, Words, in_system
from topwire.values.units import Kind


def by_area(per_square_metre: float, reader: Reader, digits: int = 0) -> str:
    """An amount by ground as its reader says it, without the amount's unit: "540" an acre, "1,334" a hectare."""
    return f"{per_area(per_square_metre, reader):,.{digits}f}"


def per_area(per_square_metre: float, reader: Reader) -> float:
    """An amount by square metre as one by hectare or acre."""
    return per_square_metre / reader.convert(1.0, Kind.AREA)


def size_notes(found: Ledger, reader: Reader) -> tuple[str, ...]:
    """“For 90% of what is wanted about 34 trees do: 2 rows, 0.1 acre, 2,100 USD to establish.” What none serves comes
    last, once."""
    said = []
    for share, size in found.targets:
        if size is None:
            most = max(line.served for line in found.sizes)
            said.append(
                f"No number of these trees looked at serves {share:.0%}; {most:.0%} is the most. What limits each need "
                "says why."
            )
            break
        fence = f", {reader.text(size.fence, Kind.LENGTH, 0)} of fence" if size.fence else ""
        said.append(
            f"For {share:.0%} of what is wanted about {counted(size.trees, 'tree')} do: {counted(size.rows, 'row')}, "
            f"{reader.text(size.ground, Kind.GROUND)} of ground{fence}, about {size.cost:,.0f} {found.currency}."
        )
    return tuple(said)


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
        "{weeks:week|weeks} of the {years} years {weeks:~needs|need} more hours than {hands:g} people give; the "
        "worst is week {week} of "
        "{year}, {beyond:hour|hours} beyond.",
        "Hire for these weeks, choose cultivars that ripen apart, or spread planting over two autumns.",
    ),
    "ledger.dangers": Words(
        "ladders, wire under tension, pruning tools and machines on a slope cause most injuries in orchards.",
        "Never work alone with an auger, a chain saw or a machine.",
    ),
    "ledger.hours_beside": _hours_beside,
    "ledger.per_tree": Words(
        "establishment comes to {each:,.2f} {currency} a tree; published budgets of {published} ran from {least:,.2f} "
        "to {most:,.2f} USD a tree in the money of that year, {low:,.2f} to {high:,.2f} in that of {year}; no store, "
        "press or sprayer was in them."
    ),
    "ledger.begins": lambda facts: _begins(facts),
    "ledger.left_out": Words(
        "begun on {begin} these come too late and are left out: {concerns}.",
        "The sheet of a late start says what each costs; a year later (years.planting) all of them can be done.",
    ),
    "ledger.too_late_to_graft": Words(
        "begun on {begin} the grafting weeks for planting in {planting} are past: the trees have to be bought, or the "
        "planting waits.",
        "Set years.planting to {later}, or order trees from a nursery now.",
    ),
    "ledger.planting_slips": Words(
        "what comes before planting is not done in time: the trees are set {days:.0f} days late, from {planted}.",
        "More hands (money.hands), an earlier start (years.begin), or years.planting a year later.",
    ),
    "ledger.bears": Words(
        "bears climb or break any fence but an electric one.",
        "Ask the wildlife service; an electric fence is built by the maker's instructions, with signs.",
    ),
    "ledger.slipped": Words(
        "later than its season would have it, because of what it waits for or of frozen ground: {concerns}.",
        "More hands for what comes before it, or an earlier start.",
    ),
    "ledger.spring_planting": lambda facts: Words(
        "trees are lifted in autumn, held cold and set in spring: "
        + (
            "winters hurt the roots of {concerns} in {injury:.0%} of years on bare soil."
            if facts["roots"]
            else "the ground freezes too soon after leaf fall for roots to take."
        ),
        "A mulch over the roots and a late snow-free autumn can change that; ask growers near by.",
    ),
    "ledger.valued": Words(
        "fruit is valued at what it would cost to buy, not at the price on the menu; own hours are paid the wage of "
        "the plan; no tax, grant or land price is in it; money is of one year, without inflation."
    ),
    "ledger.one_autumn": Words(
        "trees are planted in {autumns} autumns, {first} to {last}; all sums and hours here take them as planted in "
        "{first}.",
        "Cost, work and crops of the last batch come {later:year|years} later than shown here.",
    ),
}
SPENT: Mapping[Spent, str] = {
    Spent.TREES: "trees",
    Spent.TRELLIS: "trellis",
    Spent.IRRIGATION: "irrigation",
    Spent.SOIL: "soil: tests, lime, feed, seed",
    Spent.GROUND: "ground preparation",
    Spent.FENCE: "fence",
    Spent.GUARDS: "canes, guards, ties, paint",
    Spent.CAPITAL: "goods that last, from planting",
    Spent.WORK: "work",
}
RUNNING: Mapping[Running, str] = {
    Running.WORK: "work",
    Running.GOODS: "goods",
    Running.MACHINES: "machines",
    Running.OVERHEADS: "overheads",
    Running.CONTAINERS: "containers",
    Running.WATER: "water",
    Running.CAPITAL: "goods that last",
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
_PYRAMID = "establishment of a slender pyramid of [840 trees a hectare|340 trees an acre], New York, 2005"
_SPINDLE = "establishment of a super spindle of [5,382 trees a hectare|2,178 trees an acre], New York, 2005"
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
    "green_tip": "green tip", "first_bloom": "full bloom of the first cultivar", "full_bloom": "full bloom",
    "petal_fall": "petal fall", "last_petal_fall": "petal fall of the last cultivar",
    "first_biennial_bloom": "full bloom of the first biennial cultivar",
    "last_biennial_bloom": "full bloom of the last biennial cultivar",
    "first_harvest": "the first harvest", "last_harvest": "the last harvest",
    "last_frost": "the last frost", "first_frost": "the first autumn frost", "leaf_fall": "leaf fall",
    "soil_10": "the day the soil reaches [10 °C|50 °F]", "soil_16": "the day the soil reaches [16 °C|61 °F]",
    "planting": "planting", "press_first": "the first day of the press",
    "press_last": "the last day of the press", "water_open": "bud break",
    "water_begin": "the first dry weeks", "water_last": "the last dry weeks",
    "water_empty": "the first frost",
}  # fmt: skip
_KNIFE = "A grafting knife cuts to the bone: cut-resistant glove, blade away from the body, no one in front."
# Of the nursery's jobs: tools, and the danger.
_NURSERY: Mapping[NurseryJob, tuple[str, str]] = {
    NurseryJob.ORDER_STOCKS: ("this book's order", ""),
    NurseryJob.CUT_WOOD: ("secateurs, labels, alcohol", "Secateurs: glove on the other hand."),
    NurseryJob.KEEP_COLD: ("cold store, bags, thermometer", ""),
    NurseryJob.BENCH_GRAFT: ("knife, tape, wax, labels, glove", _KNIFE),
    NurseryJob.CALLUS: ("damp medium, thermometer", ""),
    NurseryJob.LINE_OUT: ("line, dibber, stakes", ""),
    NurseryJob.COUNT_TAKES: ("notebook", ""),
    NurseryJob.BUD_FAILURES: ("budding knife, tape", _KNIFE),
    NurseryJob.HEAD_WHIPS: ("secateurs", "Secateurs: glove on the other hand."),
    NurseryJob.LIFT: ("spades, damp sacks, tags", "Lift with the knees."),
    NurseryJob.PLANT: (
        "auger or spades, line, gauge stick",
        "Know where cables and pipes run before the auger starts; keep clothes and hands off it.",
    ),
}


_LOST: Mapping[NurseryJob, str] = {
    NurseryJob.ORDER_STOCKS: "stocks are sold out by winter: no grafts this year",
    NurseryJob.CUT_WOOD: "wood that has begun to swell does not take",
    NurseryJob.BENCH_GRAFT: "the planting waits a year, or the trees are bought",
    NurseryJob.BUD_FAILURES: "what failed stays missing",
}
# Bills by the name of their sheet, as the book's chapters call them.
BILLS: Mapping[str, str] = {
    "trellis.bill": "bill of the trellis",
    "water.bill": "bill of the water",
    "nursery.grafts": "order of the nursery",
    "soil.bill": "bill of the soil",
    "ledger.goods": "bill of the first years",
    "ledger.capital": "list of goods that last",
    "ledger.yearly": "bill of a bearing year",
    "all": "every bill of this book",
}


HAND_TOOLS = "hand tools"  # one line of the goods that last
_OURS = ("ledger.goods", "ledger.capital")  # bills made here
HAD: Mapping[Had, str] = {
    Had.HOUSE: "at hand in a house and kitchen, or bought for little",
    Had.HAND: "hand tools, on the list of goods that last",
    Had.GROUND: "comes with who is hired for the ground",
}


def how_had(row: ToolRow, found: Ledger) -> str:
    """How a tool comes to this orchard; what none of its bills has, as in a garden, is borrowed."""
    there = {line.item for line in found.goods} | {line.item for line in found.capital}
    if row.way is Had.HAND and HAND_TOOLS not in there:
        return "hand tool"
    if row.way is not Had.BILL:
        return HAD[row.way]
    item = next((name for name in row.items if name in there), "")
    if row.had in _OURS and row.items and not item:
        return "by hand, or borrowed"
    return BILLS[row.had] + (f": {item}" if item and item != row.tool else "")


def lost_words(line: LateLine, found: Ledger, reader: Reader) -> WorkText:
    """What a line of a late start is, and what is lost without it."""
    if line.kind is JobKind.NURSERY:
        name = NurseryJob(line.work)
        return WorkText(
            line.work, in_system(nursery.JOBS[name].says, reader), "", "", "", _LOST.get(name, "")
        )
    row = next(row for row in found.works if row.item == line.work)
    return WorkText(row.item, in_system(row.what, reader), "", "", "", in_system(row.lost, reader))


def job_words(job: Job, works: Mapping[str, WorkText], reader: Reader) -> WorkText:
    """What is to be done, how, the danger and the tools, in the reader's units."""
    if job.kind is JobKind.PICK and job.cider:
        return WorkText("pick", f"harvest {job.cultivar} for cider", _CIDER_PICK, _CIDER_DANGER, _CIDER_TOOLS)
    if job.kind is JobKind.PICK:
        how = "two or three picks by colour" + _ripe(job.maturity, reader)
        danger = "Windfalls apart: never into raw juice. Ladder on firm ground."
        return WorkText("pick", f"pick {job.cultivar}", how, danger, "picking bags, crates, ladder")
    if job.kind is JobKind.NURSERY:
        name = NurseryJob(job.work)
        tools, danger = _NURSERY[name]
        said = nursery.JOBS[name]
        return WorkText(job.work, in_system(said.says, reader), in_system(said.remedy, reader), danger, tools)
    row = works[job.work]
    texts = (in_system(text, reader) for text in (row.what, row.how, row.caution, row.tools, row.lost))
    return WorkText(row.item, *texts)


_CIDER_PICK = (
    "ripe to drop, not by colour: when sound fruit falls and the pips are brown, take it in two or three rounds, by "
    "hand or shaken onto sheets; it sweats in bins outdoors under a roof until a thumb leaves its mark"
)
_CIDER_DANGER = (
    "What lay on the ground is washed, sorted and only fermented, none from where animals grazed. Rotten fruit out. "
    "Helmet under a shaken tree; ladder on firm ground."
)
_CIDER_TOOLS = "sheets, pole, bins, ladder"


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


def hangs_on(job: Job, reader: Reader) -> str:
    """ "14 days after full bloom", "by the calendar"."""
    if job.kind is JobKind.PICK:
        return "days after bloom and warmth, middle year"
    if not job.stage:
        return "by the calendar"
    stage, days = in_system(STAGES[job.stage], reader), job.days_after
    if days == 0:
        return f"from {stage}"
    return f"{abs(days)} day{'' if abs(days) == 1 else 's'} {'before' if days < 0 else 'after'} {stage}"


def _begins(facts: Facts) -> Words:
    first, planted = (facts.reader.date(str(facts[name])) for name in ("first", "planted"))
    return Words(
        f"the list begins on {first}, so that all is ordered, built and in the ground when the trees are set on "
        f"{planted}.",
        "Where that day has passed: each line of the calendar says by when it has to be done; a soil test and lime "
        "left out are paid for in every later year.",
    )
