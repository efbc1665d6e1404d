"""Words of the Trellis: its names, what holds and what does not, and what that rests on."""

from collections.abc import Callable, Mapping

from topwire.tell.reader import Reader
from topwire.tell.row_names import rows_of
from topwire.tell.words import Facts, Speech, Words
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.kinds import (
    CaseName,
    EndKind,
    Lack,
    RowLoad,
    Side,
    SoilWater,
    TrellisPart,
    WindForm,
    YardstickKit,
)
from topwire.trellis.row_findings import EndDetail, FailureGust
from topwire.trellis.wind import WindExposure
from topwire.values.units import Kind

END_KINDS: Mapping[EndKind, str] = {
    EndKind.TIE_BACK: "tie-back",
    EndKind.H_BRACE: "h-brace",
    EndKind.DIAGONAL: "diagonal brace",
}
PARTS: Mapping[TrellisPart, str] = {
    TrellisPart.POSTS_BREAK: "line posts break",
    TrellisPart.POSTS_TIP: "line posts push over in the soil",
    TrellisPart.WIRE_HALF: "a wire passes half its breaking load",
    TrellisPart.WIRE_BREAKS: "a wire gives at its connectors",
    TrellisPart.END_ANCHOR: "an end anchor pulls out",
    TrellisPart.END_GRIP: "a braced end is pulled up or its brace gives",
    TrellisPart.END_POST: "an end post breaks",
}
SIDES: Mapping[Side, str] = {Side.NEAR: "where counting starts", Side.FAR: "far end"}
CANOPIES: Mapping[RowLoad, str] = {RowLoad.CROPPED: "full crop", RowLoad.LEAFED: "after harvest, leaves on"}
SOILS: Mapping[SoilWater, str] = {SoilWater.SOAKED: "wet soil", SoilWater.DRAINED: "dry soil"}
CASES: Mapping[CaseName, str] = {
    CaseName.STILL: "full crop, still air",
    CaseName.ACROSS: "full crop, storm across the row, wet soil",
    CaseName.ALONG: "full crop, storm along the row, wet soil",
    CaseName.HARVESTED: "after harvest, leaves on, storm across, wet soil",
    CaseName.SNOW: "early snow on leaves",
    CaseName.ICE: "bare, [30 K|54 °F] colder than on the stringing day, [6 mm|1/4 in] of ice",
    CaseName.HOT: "bare, [40 K|72 °F] warmer than on the stringing day",
    CaseName.LOST_POST: "full crop, one line post lost",
    CaseName.LOST_WIRE: "full crop, top wire lost",
    CaseName.TOUCH: "full crop, a tractor touches a post",
    CaseName.ICE_WIND: "bare, [30 K|54 °F] colder, [6 mm|1/4 in] of ice, and the wind after it",
    CaseName.HALF_GROWN: "third leaf, trees two thirds up, a third of the crop, storm across, wet soil",
    CaseName.HAIL: "full crop, hail lying in the net",
    CaseName.NET_SNOW: "early wet snow on leaves and in a net left up",
    CaseName.OBLIQUE: "full crop, storm at 45 degrees to the row, wet soil",
}
YARDSTICKS: Mapping[YardstickKit, str] = {
    YardstickKit.USUAL: "as usually set",
    YardstickKit.CODE: "by the code’s soil",
}
EXPOSURES: Mapping[WindExposure, str] = {
    WindExposure.B: "sheltered",
    WindExposure.C: "open country",
    WindExposure.D: "open water",
}
LACKS: Mapping[Lack, str] = {
    Lack.PRICE: "it has no price",
    Lack.SIZE: "its diameter and length have to be above zero",
    Lack.STRENGTH: "its strength is missing: neither a known wood nor the maker’s moment_nm above zero is given",
    Lack.STIFFNESS: "its stiffness is missing: neither a known wood nor the maker’s stiffness_nm2 above zero is given",
    Lack.BREAKING_LOAD: "its breaking load is missing: breaking_n has to be above zero",
    Lack.MODULUS: "its modulus is missing, so nothing says how far it stretches: modulus_gpa has to be above zero",
    Lack.SOFT: "it is low-carbon wire, which yields long before it breaks and sags for good: never a training wire",
    Lack.CAPACITY: "its capacity is missing and cannot be computed: give capacity_n above zero, or plate_m and depth_m "
    "of a screw",
}
_ASK = {"posts": "ask the maker for the figure", "wires": "ask the maker for the figure"}


def part_words(gust: FailureGust) -> str:
    """What gives: “an end post breaks (far end)”."""
    return PARTS[gust.part] + (f" ({SIDES[gust.side]})" if gust.side else "")


def condition_words(gust: FailureGust) -> str:
    """When: “full crop, wet soil, outer row”."""
    words = [
        CANOPIES[gust.canopy],
        SOILS[gust.soil] if gust.soil else "",
        "outer row" if gust.outer else "inner row",
    ]
    return ", ".join(filter(None, words))


def gust_basis(found: TrellisFindings, reader: Reader) -> str:
    """Where the design gust comes from."""
    exposure = EXPOSURES[found.exposure]
    if found.wind_form is WindForm.MEAN and found.mean_50 is not None:
        return (
            f"storm that comes once in {found.return_period} years, reckoned from a ten-minute mean of "
            f"{reader.text(found.mean_50, Kind.SPEED)} once in 50 years (stated in the plan), by EN 1991-1-4 "
            f"(rising ground by its Annex A.3), exposure “{exposure}”; shown as the gust "
            f"{found.gust_50 / found.mean_50:.2f} times the mean"
        )
    stated = found.wind_form is WindForm.GUST
    origin = "stated in the plan" if stated else "not checked: no gust is stated in the plan"
    height = "33 ft" if reader.us else "10 m"
    return (
        f"three-second gust at {height} that comes once in {found.return_period} years, reckoned from "
        f"{reader.text(found.gust_50, Kind.SPEED)} once in 50 years ({origin}), exposure “{exposure}”"
    )


def end_words(end: EndDetail) -> str:
    """One end in a line: “tie-back, pine 140 mm leaning 17 degrees, 2 x screw”."""
    if end.anchor is None:
        feet = f", strut on {end.feet} feet side by side" if end.feet > 1 else ""
        return f"{END_KINDS[end.kind]}, {end.post}{feet}"
    many = f"{end.anchors} x " if end.anchors > 1 else ""
    return f"{END_KINDS[end.kind]}, {end.post} leaning {end.lean:.0f} degrees, {many}{end.anchor}"


def next_better(found: TrellisFindings, reader: Reader) -> str:
    """What the next stronger trellis costs and brings."""
    here = next((line for line in found.choices if line.chosen), None)
    if here is None:
        return ""
    nearest = next((line for line in found.choices if line.return_period > here.return_period), None)
    if nearest is None:
        return "The design is already for the rarest storm weighed."
    speed = reader.text(nearest.gust, Kind.SPEED)
    if here.cost is None or nearest.cost is None:
        return (
            f"Nothing in the catalogue stands in the gust that comes once in {nearest.return_period} years ({speed}): "
            "stays across the outer rows, a windbreak or an engineer’s design are next."
        )
    if nearest.cost <= here.cost:
        return (
            f"One that stands in {speed}, the gust of {nearest.return_period} years, costs no more than this one by "
            f"the sums of a span: state trellis.return_period: {nearest.return_period} and that one is built."
        )
    return (
        f"For {nearest.cost - here.cost:,.0f} {found.currency} more in materials and work it stands in {speed}, the "
        f"gust of {nearest.return_period} years, instead of {reader.text(here.gust, Kind.SPEED)}: the chance that such "
        f"a storm comes within the plan’s years falls from {here.chance_in_life:.0%} to {nearest.chance_in_life:.0%}."
    )


def _of_rows(says: str, remedy: str) -> Callable[[Facts], Words]:
    """Words about rows, which are told as stretches: “South 1 to 8, 10”."""
    return lambda facts: Words(says.replace("{concerns}", rows_of(facts)), remedy)


def _case(facts: Facts) -> str:
    return CASES[CaseName(str(facts["case"]))]


def _kind(facts: Facts) -> str:
    return END_KINDS[EndKind(str(facts["kind"]))]


def _nothing_usable(facts: Facts) -> Words:
    lacks = facts["lacks"]
    assert isinstance(lacks, tuple)
    why = "; ".join(
        f"“{name}”: {LACKS[Lack(str(lack))]}" for name, lack in zip(facts.concerns, lacks, strict=True)
    )
    left = f" ({why})" if why else ""
    return Words(f"no row is left that a trellis can be sized with{left}.", "Give strength and price.")


def _record_crop(facts: Facts) -> Words:
    usual = float(str(facts["share"])) <= float(str(facts["allowed"]))
    return Words(
        f"the heaviest crop foreseen in {rows_of(facts)} is at most {{crop}} of row; published advice is to hold "
        "{record} ([71 t a hectare|63,000 lb an acre]), which in still air would bring these wires to {share:.0%} of "
        "their breaking load.",
        "Up to {allowed:.0%} is usual in service." if usual else "Thicker wire for a record crop.",
    )


WORDS: Mapping[str, Speech] = {
    # where nothing can be sized
    "trellis.nothing_usable": _nothing_usable,
    "trellis.too_tall": Words(
        "the top wire at {top} leaves less than {least} of the longest post at hand ({concerns}, {longest}) for the "
        "ground.",
        "Lower the top wire to {lower}, or add posts of at least {longer}.",
    ),
    "trellis.no_post_stands": Words(
        "nothing holds {concerns}, even in a tenth of the design gust: no line post stands, not even {nearest} apart. "
        "All are too thin, too short, or the soaked ground is too soft.",
        "Allow closer posts, or add stronger ones to your catalogue.",
    ),
    "trellis.no_wire_holds": Words(
        "nothing holds {concerns}: every wire passes its share of the breaking load under crop, cold or wind.",
        "Allow closer posts, other wires or less pretension.",
    ),
    "trellis.not_together": Words(
        "posts, wires and ends of {concerns} stand each by themselves, but not together.",
        "Allow closer posts or other wires, or add stronger rows to your catalogue.",
    ),
    "trellis.no_end_post": lambda facts: Words(
        f"{_kind(facts)} of {{concerns}}: no post at hand is long enough for an end post.",
        "Add longer posts to your catalogue.",
    ),
    "trellis.guy_too_strong": Words(
        "tie-back of {concerns}: with wires that pull {wires} together the guy pulls {guy}, and {anchors} of the "
        "strongest anchor hold {holds} in the soaked ground with their factor of {factor:g}.",
        "Other ends, less pretension, or a stronger anchor in your catalogue.",
    ),
    "trellis.end_lifted": lambda facts: Words(
        f"{_kind(facts)} of {{concerns}}: with wires that pull {{wires}} together the end post is lifted with "
        "{lift}, and the soaked ground grips no post at hand with more than {grip}, factor of safety in it.",
        "Other ends, less pretension, or longer and thicker end posts in your catalogue.",
    ),
    "trellis.brace_among_trees": lambda facts: Words(
        f"{_kind(facts)} of {{concerns}}: the ground keeps no room for it, and trees stand where it would.",
        "State trellis.end_assembly: diagonal brace (or h-brace): the ground then keeps its room free of trees.",
    ),
    "trellis.brace_pushed": lambda facts: Words(
        f"{_kind(facts)} of {{concerns}}: with wires that pull {{wires}} together rail or strut is pushed "
        "with {push}, more than the end posts, struts or feet at hand bear.",
        "Other ends, less pretension, or thicker posts in your catalogue.",
    ),
    # what needs a decision
    "trellis.row_left_out": lambda facts: Words(
        f"“{{concerns}}” of {{table}}.csv: {LACKS[Lack(str(facts['lack']))]}.",
        f"It was not used: {_ASK.get(str(facts['table']), 'ask the maker, or pull-test one')}.",
    ),
    "trellis.wind_by_mean": Words(
        "wind loads are taken by EN 1991-1-4 from the stated ten-minute mean of 50 years, rising ground by its Annex "
        "A.3.",
        "The national annex of your country may ask for other figures.",
    ),
    "trellis.wind_by_gust": Words(
        "the stated gust is taken as that of 50 years.",
        "Newer wind maps show 300 or 700 years: divide such a figure by 1.18 or 1.26 before stating it.",
    ),
    "trellis.no_gust_stated": Words(
        "no design gust is stated; {gust} in 50 years is assumed, and not checked.",
        "Take the three-second gust of 50 years from the local wind map.",
    ),
    "trellis.little_reserve": lambda facts: Words(
        f"nothing in the catalogue stands in {{gust}} at full crop in {rows_of(facts)} with the reserve asked for. "
        f"What is shown stands it with less: {PARTS[TrellisPart(str(facts['short']))]} at {{reserve:.2g}} times the "
        f"load, not {{wanted:.0f}}. First, {PARTS[TrellisPart(str(facts['first']))]} at {{at}}.",
        "Stays across the row, a windbreak, stronger goods in your catalogue; or have it engineered.",
    ),
    "trellis.nothing_stands": _of_rows(
        "nothing in the catalogue stands in {gust} at full crop in {concerns}; what is shown gives before that.",
        "Read the gusts at which it gives; add stronger posts, stays across the row, a windbreak, or have it "
        "engineered.",
    ),
    "trellis.stamped": lambda facts: Words(
        f"{rows_of(facts)}: the posts are those of the design stamped by “{{by}}”, {{post}}, {{depth}} deep, at most "
        "{spacing} apart, used as they stand. Beside it our own sums: a row goes over within the plan’s years with a "
        f"chance of {{chance:.0%}}; first, {PARTS[TrellisPart(str(facts['part']))]} at {{at}} (design gust {{gust}}).",
        "The engineer’s design goes before ours; what it does not state is chosen here."
        if facts["holds"]
        else "That is below the design gust: show the engineer this page and ask why before you build.",
    ),
    "trellis.post_buckles": _of_rows(
        "{concerns} could not be solved as a whole: a post buckles under the crop.", "Thicker posts."
    ),
    "trellis.no_balance": lambda facts: Words(
        f"no equilibrium was found for “{_case(facts)}” in {rows_of(facts)} (left out of balance: {{residual}}), so no "
        "figure is shown for it.",
        "Closer posts, a thicker post or more pretension make the row stiffer.",
    ),
    "trellis.post_overloaded": lambda facts: Words(
        f"in “{_case(facts)}” the whole-row solve loads the heaviest line post of {rows_of(facts)} to {{share:.0%}} of "
        "what 19 of 20 posts bear.",
        "A thicker post or closer spacing in this row.",
    ),
    "trellis.wire_overloaded": lambda facts: Words(
        f"in “{_case(facts)}”{', a gust of {gust},' if 'gust' in facts else ''} a wire of {rows_of(facts)} "
        + ("breaks: it would have to carry" if float(str(facts["share"])) > 1 else "reaches")
        + " {share:.0%} of its breaking load.",
        "A stronger wire or closer posts in this row.",
    ),
    "trellis.long_row": _of_rows(
        "{concerns}: up to {length}, longer than wires should run between ends ({longest}); built in {parts} lengths, "
        "each with its own ends, {gap} apart for their anchors: trees counted there have no room.",
        "Set a cross alley there (ground.blocks.cross_alleys): no tree is then planned or grafted for it.",
    ),
    "trellis.short_row": lambda facts: Words(
        f"{{concerns}}: a row with {{places}} place{'s' if facts['places'] != 1 else ''} is too short for wires "
        "between two braced ends.",
        "Give each tree a stake of its own (they are in the bill), or lengthen the row.",
    ),
    "trellis.crop_on_wires": Words(
        "the wires carry {share:.0%} of the crop’s weight; the trunks the rest.",
        "State trellis.crop_on_wires; 1.0 is the cautious end, 0.3-0.5 usual for trees on their own trunk.",
    ),
    "trellis.record_crop": _record_crop,
    "trellis.chance_of_falling": lambda facts: Words(
        f"{rows_of(facts)} ({'outer' if facts['outer'] else 'inner'} rows): a row goes over within {{years}} years "
        "with a chance of {chance:.0%}, full grown with {yearly:.1%} a year; at full crop in the middle of what is "
        "known at {moist} on moist ground and {soaked} on soaked.",
        "Stouter posts help most, then deeper ones, then closer ones: see the steps.",
    ),
    "trellis.deeper_than_soil": _of_rows(
        "posts of {concerns} stand up to {depth} deep; place.soil.depth says that roots can use {soil}, down to rock, "
        "pan or water.",
        "A pan is driven through; on rock, or where the driver reaches no deeper, state trellis.post_depth and the "
        "posts are chosen anew.",
    ),
    "trellis.risk_rests_on": Words(
        "the chance of falling rests on drag, soil and roots that nobody measured here, fitted to nine storms whose "
        "losses are readings of reports; within a factor of two.",
        "Winch one post and three trees to 5 degrees on soaked ground, nobody within the rope’s reach, and write what "
        "they bore under trellis.pull_test: it is then used.",
    ),
    "trellis.end_creeps": _of_rows(
        "{concerns}: in a gust of {gust}, a tenth above the one at which an anchor begins to give, the end (were all "
        "else to hold) creeps by about {moved} at the top wire and stays: at full crop the top wire then hangs with "
        "{after} instead of {before}.",
        "After such a storm look at every anchor; set it anew before tensioning the wires again.",
    ),
    # what it rests on
    "trellis.drag_unmeasured": Words(
        "the drag of a fruiting wall has not been measured by anyone: 0.3, 0.5 and 0.8 on the whole band of leaves "
        "span crowns in wind tunnels and porous walls of the codes.",
        "Read the gusts as low to high, not as one figure.",
    ),
    "trellis.inner_shelter": Words(
        "inner rows are taken to be sheltered below [2.5 m|8 ft] only, from wind speeds measured between trees."
    ),
    "trellis.soil_estimated": Words(
        "soil strength is estimated from texture, soaked ground for the storm. Two answers stand side by side: the "
        "code’s allowable load of a post, and the estimated ultimate of a driven short post.",
        "Pull-test one post and one anchor in ten; read the torque of screw anchors. Augered posts hold a third less.",
    ),
    "trellis.posts_as_sold": Words(
        "posts are taken as sold: untested farm posts can be 40 % weaker than the books’ poles.",
        "Ask for graded posts; ask the age and ring width of small ones.",
    ),
    "trellis.factors": lambda facts: Words(
        "soil and anchors are sized with a factor of {factor:g} on their estimated ultimate load, wires to three "
        "quarters of their breaking load, "
        + (
            "in the design gust with middle drag; line posts, and what else it states, as the stamped design has them."
            if facts["stamped"]
            else "in the design gust with middle drag; posts by least cost of building and of what falls with them."
            if facts["by_cost"]
            else "posts to the strength that 19 of 20 bear, all in the design gust with middle drag."
        )
    ),
}
