"""What the book for reading shows of each part: one idea a page, its picture first, then the figures it rests on."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.values.notice import Severity

DECISIONS = (Severity.FAULT, Severity.WARNING)
CAUTIONS = (Severity.CAUTION,)
REMARKS = (Severity.REMARK,)
ENDS = ("rows", "which", "kind", "post", "depth", "lean", "held_by", "reach")


@dataclass(frozen=True)
class Pick:
    """A sheet, or the columns of it that the idea needs.

    Attributes
    ----------
    columns : keys of those shown; empty = all
    first : rows shown; 0 = all
    """

    sheet: str
    columns: tuple[str, ...] = ()
    first: int = 0


@dataclass(frozen=True)
class Idea:
    """One idea.

    Attributes
    ----------
    title : what the page tells
    pictures : charts and drawings by name, first on the page
    picks : sheets under them
    told : which notices of the department stand here
    """

    title: str
    pictures: tuple[str, ...] = ()
    picks: tuple[Pick, ...] = ()
    told: tuple[Severity, ...] = ()


IDEAS: Mapping[str, tuple[Idea, ...]] = {
    "place": (
        Idea("The weather of the place", ("climate",), (Pick("place.climate"),), DECISIONS),
        Idea("When each cultivar blooms", ("bloom",)),
        Idea("When each is picked", ("harvest",)),
        Idea("How often frost takes the bloom", ("frost",), told=CAUTIONS),
        Idea("What the place rules out, and what is not known of it", (), (Pick("place.unfit"),), REMARKS),
    ),
    "learning": (Idea("What your own dates say", (), (Pick("learning.place"),), (*DECISIONS, *REMARKS)),),
    "choice": (
        Idea(
            "The kitchen’s year",
            ("calendar",),
            (Pick("choice.service", ("need", "wanted", "low", "middle", "high", "share")),),
            DECISIONS,
        ),
        Idea("What is put by, and what lies in the cellar", ("seasons", "board", "cellar")),
        Idea("What limits each need", (), (Pick("choice.pinches"),)),
        Idea(
            "The cultivars",
            (),
            (Pick("choice.cultivars", ("cultivar", "trees", "rootstock", "picked", "full_crop", "uses")),),
        ),
        Idea(
            "What nearly stood here",
            (),
            (Pick("choice.standing"), Pick("choice.near_misses"), Pick("choice.alternatives"), Pick("choice.worth")),
        ),
        Idea(
            "What is mixed",
            (),
            (
                Pick(
                    "choice.blends", ("product", "kg", "acid_g_l", "tannin_g_l", "brix", "ph", "bounds", "within", "of")
                ),
            ),
            REMARKS,
        ),
        Idea("What makes the trees ill", (), (Pick("choice.watch"),), CAUTIONS),
    ),
    "press": (
        Idea(
            "What is pressed, and when",
            (),
            (
                Pick("press.drinks", ("product", "made_low", "made", "gravity", "alcohol", "acid", "tannin", "ph")),
                Pick("press.weeks"),
                Pick("press.vessels"),
            ),
            (*DECISIONS, *CAUTIONS, *REMARKS),
        ),
    ),
    "ground": (
        Idea(
            "The blocks, and the light their leaves catch",
            (),
            (Pick("ground.blocks"), Pick("ground.light"), Pick("ground.spacings")),
            (*DECISIONS, *CAUTIONS, *REMARKS),
        ),
    ),
    "layout": (
        Idea("Who stands where", ("maps",), (), DECISIONS),
        Idea("The map by harvest week", ("harvest-map",)),
        Idea(
            "Pollen, and what this planting costs in walking",
            (),
            (
                Pick("layout.pollen"),
                Pick("layout.chances", ("cultivar", "trees", "least", "mean", "spare", "flowers_found"), 6),
                Pick("layout.mends"),
                Pick("layout.walk"),
                Pick("layout.hours"),
            ),
            (*CAUTIONS, *REMARKS),
        ),
    ),
    "nursery": (
        Idea("What to graft", ("grafts",), (Pick("nursery.stocks"),), DECISIONS),
        Idea(
            "How sure it is that all trees are there",
            (),
            (
                Pick("nursery.ways", ("way", "grafts", "joint_chance", "missing", "cost", "chosen")),
                Pick("nursery.troubles"),
                Pick("nursery.outlook"),
            ),
            (*CAUTIONS, *REMARKS),
        ),
    ),
    "trellis": (
        Idea("A row from the side, and its ends", ("rows",), (Pick("trellis.ends", ENDS),), DECISIONS),
        Idea("Standing fences", (), (Pick("trellis.fences"),)),
        Idea("What gives first, and at which gust", ("gives",), (Pick("trellis.storms"),)),
        Idea(
            "What posts cost, and how likely the rows go over",
            ("posts_and_chance",),
            (Pick("trellis.risk", ("rows", "post", "moist", "soaked", "in_year", "in_life", "loss")),),
        ),
        Idea("To build it safely, in this order", (), (Pick("trellis.build_order"),), CAUTIONS),
        Idea("What to buy, and how tight to set it", (), (Pick("trellis.bill"), Pick("trellis.tension")), REMARKS),
    ),
    "water": (
        Idea(
            "Water wanted, and hours to run",
            ("watering",),
            (Pick("water.need"), Pick("water.zones", ("zone", "rows", "trees", "flow", "pressure", "peak_hours"))),
            DECISIONS,
        ),
        Idea("Where a watering goes", ("wetting",), (Pick("water.what_ifs"),), CAUTIONS),
        Idea("What to buy", (), (Pick("water.bill"),), REMARKS),
        Idea("The irrigation’s year", (), (Pick("water.calendar"),)),
    ),
    "soil": (
        Idea("What to have tested", (), (Pick("soil.test"), Pick("soil.bill")), (*DECISIONS, *CAUTIONS)),
        Idea("What is sown, and what is fed", (), (Pick("soil.covers"), Pick("soil.feeding")), REMARKS),
    ),
    "years": (
        Idea("How a tree grows to the wires", ("whips",), (Pick("years.wires"), Pick("years.starts")), DECISIONS),
        Idea(
            "The crop, leaf by leaf",
            ("crop",),
            (Pick("years.crop", ("leaf", "summer", "low", "middle", "high")), Pick("years.kitchen")),
            REMARKS,
        ),
        Idea("Training and pruning", (), (Pick("years.training", ("leaf", "when", "what", "how")),)),
        Idea("Thinning", (), (Pick("years.rules"), Pick("years.thinning", ("rule", "when", "what")))),
    ),
    "calendar": (
        Idea("Work, week by week", ("labour",), (Pick("ledger.hours", first=12),)),
        Idea("The year of grown trees", (), (Pick("ledger.months"),), CAUTIONS),
    ),
    "ledger": (
        Idea("Money in and out", ("cash",), (Pick("ledger.worth"),), DECISIONS),
        Idea("For the bank", (), (Pick("ledger.banker"),)),
        Idea("The smallest orchard that feeds this kitchen", ("sizes",), (Pick("ledger.sizes"),)),
        Idea(
            "What it costs to establish",
            (),
            (
                Pick("ledger.establishment"),
                Pick("ledger.capital", ("item", "number", "cost", "have", "needed", "lasts")),
            ),
        ),
        Idea(
            "What would change the result",
            (),
            (Pick("ledger.sensitivity"), Pick("ledger.published"), Pick("ledger.grown_year")),
            REMARKS,
        ),
    ),
}  # fmt: skip

# Charts and drawings of the book for reading.
PICTURES = frozenset({"rivals"}).union(*(idea.pictures for ideas in IDEAS.values() for idea in ideas))

# Of the ledger, what is work and not money: a part of its own.
WORK = frozenset({
    "labour", "ledger.hours", "ledger.months", "ledger.short_weeks", "ledger.next_days", "ledger.own_grafts",
    "ledger.first_years", "ledger.tools", "ledger.every_year", "ledger.late_start", "ledger.sulphite",
})  # fmt: skip


def department_of(part: str) -> str:
    """Whose findings a part tells."""
    return "ledger" if part == "calendar" else part


def belongs(name: str, part: str) -> bool:
    """Whether a sheet or chart of its department stands in a part."""
    return part not in ("calendar", "ledger") or (name in WORK) is (part == "calendar")
