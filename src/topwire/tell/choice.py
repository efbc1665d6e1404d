"""Words of the Choice."""

from collections.abc import Mapping

from topwire.choice.asked import Barred
from topwire.choice.findings import (
    TOLD_GAP,
    BlendMade,
    Merit,
    Miss,
    NearMiss,
    NeedLine,
    Reason,
    Rivalry,
    StandingAdvice,
    Verdict,
)
from topwire.tell.reader import Reader, counted, listed
from topwire.tell.scarce import remedies_told
from topwire.tell.words import Facts, Speech, Words
from topwire.values.calendar import week_label
from topwire.values.notice import Measured
from topwire.values.quantities import Plain
from topwire.values.terms import Use
from topwire.values.units import Kind

BARRED: Mapping[Barred, str] = {
    Barred.UNWANTED: "the plan says it must not be there",
    Barred.NO_USE: "it serves no use of the kitchen",
    Barred.CRAB: "a crab with small fruit, looked at as a pollen donor only; name it (must_have) to grow it for the "
    "kitchen or the press",
    Barred.UNFIT: "it does not fit the place (the page Place says why)",
    Barred.SELDOM_RIPE: "it ripens in fewer than three years of four, or its harvest date is not known",
    Barred.KEEPING_UNKNOWN: "how long it keeps is not known",
    Barred.NOT_SOLD_HERE: "it is not usually to be had in Europe; name it (must_have, favourites), or say taste, "
    "sold_in: anywhere, once you know where to get it",
    Barred.BOUGHT: "its trees have to be bought (protected, or the right not known), and the plan wants own grafts "
    "only",
    Barred.RIGHT_UNKNOWN: "the right to propagate it is not known; name it (must_have) once you know where to buy it",
    Barred.NO_WOOD: "too little scion wood is to be had for one tree (nursery, wood)",
    Barred.UNION_BREAKS: "its union with the plan’s rootstock is known to break; state another stock for it (trees, "
    "rootstock_for) to have it",
    Barred.SCAB: "it is susceptible to scab, and strong resistance is wanted",
    Barred.FIRE_BLIGHT: "it is susceptible to fire blight, and strong resistance is wanted",
    Barred.SCAB_AND_FIRE_BLIGHT: "it is susceptible to scab and fire blight, and strong resistance is wanted",
    Barred.RUST_OR_MILDEW: "it is very susceptible to a rust, to mildew or to rots, and strong resistance is wanted",
    Barred.TIP_BEARER: "it bears at the tips of its shoots, and the plan leaves such trees out (taste, leave_out)",
    Barred.TRIPLOID: "it is triploid and gives no useful pollen, and the plan leaves such trees out (taste, leave_out)",
    Barred.WEAK_GROWER: "it grows weakly, and the plan leaves such trees out (taste, leave_out)",
    Barred.DISEASE_UNKNOWN: "no one has rated it for scab or fire blight, fruit of its class or kind is susceptible, "
    "and strong resistance is wanted",
}
MARK_CAUTION = (
    "A trade mark is its owner's and is not the cultivar's name: graft, order and label by the name."
)
RIVALS: Mapping[Rivalry, str] = {
    Rivalry.OURS: "chosen as this plan is",
    Rivalry.MEAN_YEAR: "chosen the same way for one mean year",
    Rivalry.GREEDY: "a few more trees at a time of what the mean year lacks most",
    Rivalry.OTHER_RISK: "as this plan, years weighed the other way (kitchen, risk)",
    Rivalry.POPULAR: "equal numbers of the most planted apples",
    Rivalry.FORESIGHT: "as this plan, but knowing those very years",
}


def miss(line: NearMiss) -> str:
    """Why a cultivar was left out."""
    if isinstance(line.why, Barred):
        return BARRED[line.why]
    if line.why is Miss.AS_GOOD:
        return "as good as what was chosen, as far as the search can tell them apart"
    if line.why is Miss.OTHERS_SERVE:
        many = len(line.rivals) > 1
        verbs = ("serve", "bring") if many else ("serves", "brings")
        return f"{listed(line.rivals)} {verbs[0]} the same needs in the same weeks and {verbs[1]} more"
    return "brings less than the trees that would have to make room"


def reason(one: Reason) -> str:
    """What speaks for a chosen cultivar."""
    return {
        Merit.MUST_HAVE: "the plan says it must be there",
        Merit.STANDS: f"{one.number} of its trees stand already",
        Merit.SERVES: f"serves {listed(one.uses)}",
        Merit.CARRIES_TABLE: f"carries the table about {week_label(max(one.number, 1))}",
        Merit.KEEPS: f"keeps about {counted(one.number, 'week')} in this cellar",
        Merit.HERITAGE: "counts to the heritage share",
        Merit.ROUNDS_OUT: "rounds out the number of cultivars wanted",
    }[one.merit]


def advice(line: StandingAdvice) -> str:
    """What to do with trees that stand."""
    parts = [f"keep {line.keep}"] if line.keep else []
    if line.keep == line.standing:
        parts = ["keep"]
    parts += [f"graft {count} over to {name}" for name, count in line.graft_over]
    if line.take_out:
        parts.append(f"take out {line.take_out}")
    if line.add:
        parts.append(f"add {line.add}")
    return listed(parts)


def no_better(gap: float) -> str:
    """How much better another choice could be at the most; `gap` is a share of the plan's own measure."""
    return "no other choice is better" + (f" by more than {gap:.2%}" if gap >= TOLD_GAP else "")


def both_near_the_best(plan: float, trial: float) -> str:
    """How near a plan and a trial of it are to the best there is, by their gaps."""
    near = [
        f"within {gap:.2%} of the best possible" if gap >= TOLD_GAP else "the best possible"
        for gap in (plan, trial)
    ]
    differ = "; smaller differences mean nothing" if max(plan, trial) >= TOLD_GAP else ""
    return f"The plan is {near[0]}, the trial {near[1]}{differ}."


def need_label(line: NeedLine, reader: Reader) -> str:
    """“cider (bittersweet), 900 lb a season, 1 Sep to 3 Nov”."""
    kind = line.style or line.cider_class or ("blend" if line.blended else "")
    used = line.used_from is not None and line.used_to is not None
    first, last = (line.used_from, line.used_to) if used else (line.start, line.end)
    days = (reader.text(float(day or 0.0), Plain.DAY_OF_YEAR) for day in (first, last))
    often = "week" if line.a_week else "season"
    return (
        f"{_named(line.use, str(kind))}, {_much(line, reader)} a {often}, "
        f"{_taken(line.use) if used else ''}{' to '.join(days)}"
    )


def few(kilograms: float, reader: Reader) -> int:
    """Decimals of a small amount that is no whole number: 1.5 kg is not 2."""
    number = reader.convert(kilograms, Kind.MASS)
    return int(number < 10 and abs(number - round(number)) > 0.04)


def _much(line: NeedLine, reader: Reader) -> str:
    fruit = reader.text(line.amount, Kind.MASS, few(line.amount, reader))
    return (
        fruit if line.volume is None else f"{reader.text(line.volume, Kind.SMALL_VOLUME, 0)} of {fruit} fruit"
    )


def _named(use: str, kind: str) -> str:
    return f"{use} ({kind})" if kind else use


def _taken(use: str) -> str:
    return "drunk " if use in (Use.JUICE, Use.CIDER) else "eaten "


def _need(facts: Facts) -> str:
    """The same from a notice's facts, as a template."""
    period = (
        f"{_taken(str(facts['use']))}{{used_from}} to {{used_to}}"
        if "used_from" in facts
        else "{start} to {end}"
    )
    often = "week" if facts["a_week"] else "season"
    amount = facts["amount"]
    digits = few(amount.value, facts.reader) if isinstance(amount, Measured) else 0
    fruit = f"{{amount:.{digits}}}"
    much = f"{{volume}} of {fruit} fruit" if "volume" in facts else fruit
    return f"{_named(str(facts['use']), str(facts['kind']))}, {much} a {often}, {period}"


VERDICTS: Mapping[Verdict, str] = {
    Verdict.WITHIN: "within its bounds",
    Verdict.IF_FIGURES_HOLD: "within, if the cultivars' figures hold: measure",
    Verdict.OUTSIDE: "outside its bounds",
}


def verdict(made: BlendMade) -> str:
    """Of all sides of a mixture, the gravest."""
    found = {side.verdict for side in made.sides}
    return next(VERDICTS[one] for one in reversed(Verdict) if one in found)


def _given(facts: Facts, way: int) -> str:
    """One way out, in the plan's words."""
    said = []
    settings, now, to = (facts[f"way{way}{tail}"] for tail in ("", "_now", "_to"))
    assert isinstance(settings, tuple)
    assert isinstance(now, tuple)
    assert isinstance(to, tuple)
    for setting, before, after in zip(settings, now, to, strict=True):
        names = listed(facts[f"way{way}_{setting}"]) if f"way{way}_{setting}" in facts else ""
        assert isinstance(before, int)
        assert isinstance(after, int)
        trees = "tree" if (after - before if setting == "ground" else after) == 1 else "trees"
        said.append(
            {
                "taste.heritage_share": f"lower heritage_share from {before / 100:g} to {after / 100:g}",
                "taste.fewest_cultivars": f"lower fewest_cultivars from {before} to {after}",
                "taste.most_cultivars": f"raise most_cultivars from {before} to {after}",
                "taste.fewest_trees": f"allow plantings of {after} {trees} instead of {before} (fewest_trees)",
                "taste.most_trees": f"allow {after} {trees} of a cultivar instead of {before} (most_trees)",
                "ground": f"make room for {after - before} more {trees}",
                "taste.must_have": f"drop {names} from must_have",
                "pollination": f"find pollen for {names} outside the orchard (place.neighbours), as its donors "
                "have no place in this plan",
            }[str(setting)]
        )
    return " and ".join(said)


def ways_out(facts: Facts) -> list[str]:
    """Every way to a plan that is possible."""
    count = facts["ways"]
    assert isinstance(count, int)
    return [_given(facts, way) for way in range(1, count + 1)]


def _no_set(facts: Facts) -> Words:
    enough = (
        "one of these would be enough"
        if facts["single"]
        else "the fewest changes that would be enough together"
    )
    return Words(
        f"no set of cultivars meets the plan; {enough}: {'; or '.join(ways_out(facts))}.",
        "It hangs on {settings}.",
    )


def _blends_stray(facts: Facts) -> Words:
    products, chances, measured = (facts[name] for name in ("products", "chances", "measured"))
    assert isinstance(products, tuple)
    assert isinstance(chances, tuple)
    assert isinstance(measured, tuple)
    each = "; ".join(
        f"{product} in {chance}% ({share}% of its fruit measured)"
        for product, chance, share in zip(products, chances, measured, strict=True)
    )
    one = len(products) == 1
    told = "every year" if f"{facts['within']:.0%}" == "100%" else "{within:.0%} of years or more"
    return Words(
        f"by the cultivars’ middle figures {'this drink is' if one else 'these drinks are'} within bounds in {told}. "
        f"Juice strays from year to year and from tree to tree, so that it will be fewer: {each}.",
        "Keep the lots apart, measure each, and blend: juice before it is heated, cider after it has fermented.",
    )


def _neighbours(facts: Facts) -> Words:
    if not facts["near"]:
        return Words("no tree beyond the orchard stands near enough ({reach}) to be counted on for pollen.")
    helped = (
        "{helped} of {planted} cultivars can count on it"
        if facts["helped"]
        else "no cultivar can count on it"
    )
    return Words(
        f"pollen from beyond the orchard: {{near}}. In three springs of four {helped}; a tree without a name flowers "
        "as the catalogue’s crabs or apples do in the mean.",
        "Look in blossom time whether they flower with yours, and ask that they stay.",
    )


def worst_years(years: int) -> str:
    """The worst fifth of so many weather years, or the worst of a few."""
    return "the worst fifth of years" if years >= 5 else f"the worst of {counted(years, 'year')}"


WORDS: Mapping[str, Speech] = {
    "choice.nothing_left": Words(
        "no cultivar of the catalogue is left to choose from ({barred} are barred, {concerns} among them).",
        "Widen taste or needs.",
    ),
    "choice.must_have_barred": Words(
        "{concerns} must be there but cannot be weighed at this place.", "`topwire show place` says why."
    ),
    "choice.no_set": _no_set,
    "choice.nothing_helps": Words(
        "no set of cultivars meets the plan, even with every condition of taste and ground eased.",
        "The standing trees alone ask for more than there is.",
    ),
    "choice.hands_too_few": Words(
        "no more than {asked} may be picked in a week, and no planting that meets the plan’s other conditions keeps "
        "that; the least is {least}.",
        "Raise most_picked, or lower fewest_cultivars, fewest_trees or the trees asked for.",
    ),
    "choice.loss_limit": Words(
        "no planting was found that loses no more than {asked:.1%} of what the kitchen wants with any one cultivar; "
        "the steadiest seen loses {least:.1%}.",
        "Raise most_lost, allow more cultivars (most_cultivars), or make room for more trees.",
    ),
    "choice.short": lambda facts: Words(
        f"{_need(facts)}: {{mean:.0%}} is served in the mean year and {{bad:.0%}} in "
        + ("the worst year." if facts["few"] else "the worst fifth of years."),
        remedies_told(facts),
    ),
    "choice.out_of_reach": lambda facts: Words(
        f"{_need(facts)}: "
        + (
            "in the week of {first}"
            if facts["first"] == facts["last"]
            else "from the week of {first} to that of {last}"
        )
        + " no cultivar is to be had in most years.",
        "A colder cellar stretches the end; preserves fill the rest.",
    ),
    "choice.ground_too_small": Words(
        "{wanted:tree is|trees are} to be planted, but the ground has {places:free place|free places}.",
        "Give more ground, set the trees or rows closer, or lower the total.",
    ),
    "choice.places_free": Words(
        "{places:place|places} that could be planted {places:~stays|stay} free: another tree would bring less than "
        "its place and care cost."
    ),
    "choice.alleles_unknown": Words(
        "the S-alleles of {count:chosen cultivar|chosen cultivars} are not known; {count:~its|their} pollen counts "
        "three "
        "quarters.",
        "Each has at least two donors, so that one that fails does no harm.",
    ),
    "choice.sold_here": Words(
        "{left_out} cultivars of the catalogue are left out because they are not usually to be had in Europe; which "
        "are is a proposal from memory.",
        "Ask your nursery and the next collection; name what they have (taste.favourites), or set taste.sold_in to "
        "anywhere.",
    ),
    "choice.no_neighbours": Words(
        "pollen is counted from the trees of this plan alone.",
        "An apple or crab within {reach} that flowers with yours does as well: look over the fences in blossom time "
        "and state what you see under place.neighbours.",
    ),
    "choice.neighbours": _neighbours,
    "choice.neighbours_far": Words(
        "{far} {count:~stands|stand} further off than {reach} and {count:~is|are} not counted as giving pollen: bees "
        "may come from there, or not."
    ),
    "choice.harvest_remembered": Words(
        "harvest dates of {count:chosen cultivar|chosen cultivars} rest on memory, not on a source: {concerns}.",
        "Ask a neighbour who grows them, or record your own picks.",
    ),
    "choice.known_by_season": Words(
        "{count:chosen cultivar|chosen cultivars} {count:~is|are} known by season only, or the sources differ by "
        "weeks: {concerns}. The fruit is spread over the whole range, and the weeks shown are that range, not a date.",
        "Watch the first crop; write your own picks into the records.",
    ),
    "choice.to_be_bought": Words(
        "{concerns}: the right to graft at home is licensed or not known.",
        "Buy these trees, or ask the holder of the right. No legal advice.",
    ),
    "choice.deadly_blight": Words(
        "{trees:tree|trees} of {concerns} {trees:~is|are} planted because the plan asks for them: a published fire "
        "blight outbreak killed 90 to 100 % of such trees in seven years.",
        "Plant a few, apart from the others and on a stock that resists fire blight, or choose another cultivar.",
    ),
    "choice.fire_blight": Words(
        "of all these trees fire blight may take {low:.0%} to {high:.0%} in ten years, {middle:.0%} in the middle; how "
        "often it really comes hangs on what stands near by, so the range is wide.",
        "The sheet of disease says which cultivars; ask your extension service before the first bloom, and never "
        "leave a strike on a young tree.",
    ),
    "choice.rating_disputed": Words(
        "sources disagree about disease of {concerns}; the middle of what was read counts, and the table shows the "
        "range.",
        "Ask which holds in your county.",
    ),
    "choice.blight_unknown": Words(
        "no one has rated {count:chosen cultivar|chosen cultivars} ({trees:tree|trees}) for fire blight: {concerns}. "
        "What nobody has rated is taken as its class or kind is on average, not as resistant.",
        "Ask growers near by, or plant fewer of them.",
    ),
    "choice.cool_summers": Words(
        "{concerns}: sorts of cool summers; here they drop early, soften or colour badly, and {share:.0%} of their "
        "crop is taken as spoiled.",
        "Plant few, and taste a neighbour’s before you plant more.",
    ),
    "choice.heat_unknown": Words(
        "how {count} of the chosen stand a hot summer is not known: {concerns}.",
        "Ask who grows them near by.",
    ),
    "choice.full_crop": Words(
        "a full-grown orchard is reckoned at {crop} of tree ground, where {low} to {high} are published; {lost:.0%} of "
        "places without a tree, {below_grade:.0%} of a dessert crop below table grade, {trimmed:.0%} trimmed in the "
        "kitchen, {a_month:.0%} of stored fruit lost a month."
    ),
    "choice.cellar": Words(
        "the cellar is fullest about {week} with {most} in the middle year; the fruit breathes out about {breath:,.0f} "
        "W, and a day’s warm picking asks for about {fresh:,.0f} W more. At {humidity:.0%} humidity it dries by "
        "{dried:.1%} a month.",
        "Walls and doors come on top; they mostly ask for more than the fruit.",
    ),
    "choice.off_the_shelf": lambda facts: Words(
        f"{_need(facts)}: it keeps {{keeps}} weeks after it is made, so in {{weeks}} of its {{of}} weeks, from "
        "{first} to the week of {last}, none is to be had however many trees there are.",
        "Make it later in the season, eat it sooner, or state keeps if your own keeps longer.",
    ),
    "choice.blends_rest_on": lambda facts: Words(
        "acid, tannin, sugar and pH of what is mixed stand beside their bounds under “What is mixed”, by the figures "
        "of the cultivars; someone has measured "
        + ("{most:.0%}" if f"{facts['least']:.0%}" == f"{facts['most']:.0%}" else "{least:.0%} to {most:.0%}")
        + " of the fruit in them.",
        "Measure acid, pH and sugar of the year before you blend: they move with weather and crop.",
    ),
    "choice.blends_stray": _blends_stray,
    "choice.blend_outside": lambda facts: Words(
        f"{_need(facts)}: the {{product}} is within its bounds in {{within:.0%}} of years only.",
        "Widen its bounds (blend), or ask for less of it.",
    ),
    "choice.juice_of_its_class": Words(
        "acid or tannin of {count:cultivar|cultivars} in the blends is not known and is that of the class or kind: "
        "{concerns}.",
        "Measure their juice in the first year; write it into your own catalogue/cultivars.csv.",
    ),
    "choice.preserves_are_food": Words(
        "sauce and butter keep by their acid: fruit of pH above 4.2, mild or long stored, wants acid added before it "
        "is canned, and above 4.6 a boiling-water canner is not safe. Use fresh, sound fruit, measure the pH, and "
        "follow a tested recipe.",
        "Local food law and the extension service's tested recipes decide.",
    ),
    "choice.pressed_is_food": Words(
        "juice and cider are food: cull rotten fruit before milling (patulin), press no windfalls into unheated juice, "
        "heat juice or warn as the law asks.",
        "Local food law decides.",
    ),
    "choice.too_few_autumns": Words(
        "the nursery raises {per_year:tree|trees} a year, and {raised} are to be raised: that takes {takes} planting "
        "autumns, and the plan states {stated}. The batches take {takes}.",
        "State `autumns: {takes}` under years, raise or buy more trees a year, or plant fewer.",
    ),
    "choice.several_autumns": Words(
        "trees are planted in {takes} autumns, {first} to {last}; layout, nursery order, crop by leaf, work and money "
        "still take them all as planted in autumn {first}.",
        "Order and graft each autumn’s trees by the table of batches, each a year after the one before; early crops, "
        "costs and income come later than those pages say.",
    ),
    "choice.one_autumn_serves": Words(
        "the nursery can raise all trees for autumn {first}: one autumn serves the kitchen best."
    ),
    "choice.harder_springs": Words(
        "springs like {concerns} are weighed a second time with every night {colder} colder: a record of this length "
        "holds few hard springs, and the next one is seldom in it.",
        "It makes the plan a little dearer and steadier; “how sure are we” was reckoned the same way.",
    ),
}
