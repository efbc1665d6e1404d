"""Words of the Nursery."""

from collections.abc import Mapping, Sequence

from topwire.nursery.findings import NurseryJob, Trouble, Way
from topwire.tell.reader import listed
from topwire.tell.words import Facts, Speech, Words
from topwire.values.traits import Right

WORDS: Mapping[str, Speech] = {
    "nursery.out_of_reach": Words(
        "no number of grafts brings all trees through with a chance of {chance:.2%} when {success:.0%} of grafts end "
        "as good trees.",
        "Check take_rate and chance; a take rate is a share, 0.9 for nine grafts of ten.",
    ),
    "nursery.knives": Words(
        "grafting knives cause deep cuts, most often in the hand that holds the stock.",
        "Cut-resistant glove, blade away from the body, first aid on the bench.",
    ),
    "nursery.wood_carries_disease": Words(
        "wood carries viruses and fire blight from tree to tree.",
        "Certified or tested wood; none from trees with fire blight; wipe blades with 70 % alcohol.",
    ),
    "nursery.free_is_no_advice": Words(
        "“free” means no plant patent known to be in force. It is no legal advice, and sports of a free cultivar may "
        "be protected on their own.",
        "Ask where in doubt.",
    ),
    "nursery.protected": Words(
        "protected, so bought and never grafted at home: {concerns}.",
        "Order finished trees from a licensed nursery, often two years ahead.",
    ),
    "nursery.right_unknown": Words(
        "the right to propagate is not known for {concerns}; their trees stand here as bought.",
        "Ask the breeder or a nursery; set propagation_right in catalogue/cultivars.csv to free or licensed.",
    ),
    "nursery.trade_marks": Words(
        "sold under trade marks, which are not their names: {concerns}.",
        "Graft, order and label them by the cultivar's name; only who has the owner's leave sells trees or fruit under "
        "the mark.",
    ),
    "nursery.union_breaks": Words(
        "unions known to break in wind or under crop: {concerns}.",
        "Take another stock (trees.rootstock_for), or stake before leaf-out and tie to every wire.",
    ),
    "nursery.union_weak": Words(
        "trees on {concerns} can snap at the union when young.",
        "Stake at planting, before leaf-out; never pull a tree upright by its top.",
    ),
    "nursery.virus": Words(
        "{concerns} can die or stall from viruses that other stocks carry unseen; old trees of heritage cultivars "
        "often have them.",
        "Use only wood tested free of viruses on it.",
    ),
    "nursery.route": lambda facts: Words(
        "bench grafts made in spring {spring} are planted as "
        + ("whips" if facts["seasons"] == 1 else "feathered trees")
        + " in autumn {autumn}."
    ),
    "nursery.chain": lambda facts: Words(
        f"of 100 grafts {{good:.0f}} end as good trees: take {{take:.0%}} ({_take(facts)}), winter {{overwinter:.0%}}, "
        "grade {grade:.0%}, transplant {transplant:.0%}. Grade and winter are trade rules.",
        "Count each lot in June and write it into records/takes.csv.",
    ),
    "nursery.missing": lambda facts: Words(
        f"{{chance:.0%}} sure: {in_time(float(str(facts['late'])))}; else about {{missing:tree|trees}} missing.",
        "Count in June, and bud in August what failed; what then still lacks is bought, or raised for the next autumn "
        "while its place is kept, staked and mown.",
    ),
    "nursery.not_all": Words(
        "each cultivar for itself is sure enough, but all of them together are there with a chance of {chance:.0%} "
        "only, for {mine:,.0f} {currency}; {wanted:.0%} for all costs {cost:,.0f} {currency}.",
        "Set nursery.jointly to true.",
    ),
    "nursery.batch": lambda facts: Words(
        f"grafts of one batch share their luck: {TROUBLES[Trouble(str(facts['trouble']))]} brings the chance to "
        "{chance:.0%}, with about {missing:tree|trees} missing then.",
        "Graft in two weeks and from two lots of wood; cover the nursery row against late frost; bud in August.",
    ),
    "nursery.wood_to_ask_for": lambda facts: Words(
        "up to {most:.0f} sticks of scion wood of one cultivar are to be cut in winter {winter}; where they come from "
        "is not stated for {concerns}.",
        "Ask a year ahead. Collections and neighbours often send two or three sticks of an old cultivar. State what is "
        f"to be had under nursery.wood, {facts.concerns[0]}: 3 for instance; a mother row is then planned, and the "
        "choice counts on no more.",
    ),
    "nursery.mother_row": Words(
        "too little wood is to be had in one winter for {concerns}: {mothers:mother tree is|mother trees are} grafted "
        "first, in winter {winter}, and wood is cut from them.",
        "Stocks for them are ordered the autumn before. Plant them well away from old trees, label each, and cut only "
        "from those without mosaic, cankers or blight.",
    ),
    "nursery.wood_short": Words(
        "even {winters:winter|winters} of wood leave {grafts:graft|grafts} of {concerns} without a stick.",
        "Look for more wood, allow another winter (nursery.wood_winters), or buy what is missing as trees.",
    ),
    "nursery.autumn_share": Words(
        "this order counts the trees of all planting autumns together; {trees:tree is|trees are} for autumn "
        "{autumn}, from "
        "about {grafts:graft|grafts} in spring {spring}.",
        "Order stocks and wood autumn by autumn, by the table of batches; dates here are those of the first. Small "
        "lots need a spare or two more than their share.",
    ),
}


def in_time(late: float) -> str:
    """What an order's chance is of: the August buds it reckons with are in it."""
    buds = f", about {late:,.0f} of them as August buds a season younger" if round(late) else ""
    return f"every place gets a tree in time{buds}"


def _take(facts: Facts) -> str:
    if facts["stated"]:
        return "as the plan states"
    if facts["lots"]:
        return "learnt from {lots:lot|lots} of your own, between {low:.0%} and {high:.0%}"
    return "a {skill} grafter’s"


WAYS: Mapping[Way, str] = {
    Way.ALONE: "each cultivar for itself",
    Way.TOGETHER: "all cultivars together",
    Way.POOLED: "pooled spares and August buds",
    Way.BOUGHT: "all bought as trees",
}
TROUBLES: Mapping[Trouble, str] = {
    Trouble.BAD_WEEK: "a bad week at the bench (a tenth fewer take)",
    Trouble.LATE_FROST: "a late frost in the nursery row (a fifth fewer live)",
    Trouble.BAD_WOOD: "bad wood in every tenth lot (half of it fails)",
}
RIGHTS: Mapping[Right, str] = {
    Right.FREE: "",
    Right.LICENSED: "protected: only a licensed nursery may propagate it, so the trees are bought",
    Right.UNKNOWN: "the right to propagate is not known: ask its breeder or nursery; until then the trees are bought",
}


def sold_as(trade_marks: Sequence[str]) -> str:
    """“sold under the trade mark Zestar”; empty where there is none."""
    if not trade_marks:
        return ""
    return f"sold under the trade mark{'s' if len(trade_marks) > 1 else ''} {listed(trade_marks)}"


BUY_STOCKS = "buy from a licensed nursery; may be grafted, not stooled or layered at home"
# Of each job: what, and how.
JOBS: Mapping[NurseryJob, Words] = {
    NurseryJob.MOTHER_ROW: Words(
        "graft and line out the mother row",
        "scarce wood first, by the table of scarce wood; stocks ordered the autumn before; one label a tree. A "
        "grafting knife cuts to the bone: cut-resistant glove, blade away from the body",
    ),
    NurseryJob.ORDER_STOCKS: Words(
        "order rootstocks",
        "calliper [6-10 mm|1/4 to 3/8 in] for bench grafts, certified virus-free; tape, wax, labels and stakes with "
        "them; bought trees are ordered now too, often two years ahead",
    ),
    NurseryJob.CUT_WOOD: Words(
        "cut scion wood",
        "pencil-thick wood of last year from healthy trees, fully dormant, not below [-5 °C|23 °F]; sticks of "
        "[15-20 cm|6-8 in]; label every bundle; wipe the blade with 70 % alcohol between trees",
    ),
    NurseryJob.KEEP_COLD: Words(
        "keep wood and stocks cold",
        "[0-2 °C|32-36 °F], damp, sealed, and no fruit in the same store: its ethylene kills buds",
    ),
    NurseryJob.BENCH_GRAFT: Words(
        "bench graft",
        "whip-and-tongue, cambium matched on one side at least; union [15-20 cm|6-8 in] above the roots; wrap, wax the "
        "tip. A grafting knife cuts to the bone: cut-resistant glove, blade away from the body, no one in front",
    ),
    NurseryJob.CALLUS: Words(
        "callus and hold",
        "roots in damp medium at [13-18 °C|55-64 °F] for two to three weeks, then [2-4 °C|36-39 °F] until the ground "
        "is ready",
    ),
    NurseryJob.LINE_OUT: Words(
        "line out in the nursery row",
        "after the hard frosts; union well above the soil; stake; rub off all but one shoot when [10 cm|4 in] long",
    ),
    NurseryJob.COUNT_TAKES: Words(
        "count the takes", "per lot of wood; write it down: the next order learns from it"
    ),
    NurseryJob.BUD_FAILURES: Words(
        "bud the failures and the spare stocks",
        "chip bud on the living stocks, wood cut the same day; these trees are a season younger",
    ),
    NurseryJob.HEAD_WHIPS: Words(
        "head the whips at [75 cm|30 in]",
        "for feathers; one leader kept; August buds are cut back above the bud",
    ),
    NurseryJob.LIFT: Words(
        "lift and grade",
        "after leaf fall; roots never dry; grade by height and calliper; tag each bundle with its cultivar; "
        "good trees beyond those wanted, and late ones, are lined out again for gaps",
    ),
    NurseryJob.PLANT: Words(
        "plant",
        "union [15 cm|6 in] above the final soil; stake stocks with weak unions at once; do not head; water, cane and "
        "guard the same day. Where the ground freezes early hold the trees cold and plant as soon as the soil works",
    ),
}
