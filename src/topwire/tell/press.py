"""Words of the Press: notices, and what its sheets say of a lot, a vessel and a bottle."""

from collections.abc import Mapping

from topwire.press.findings import CiderFruit, Drink, PressLot, VesselUse
from topwire.tell.reader import listed
from topwire.tell.words import Facts, Speech, Words
from topwire.values.calendar import week_label
from topwire.values.terms import Tannin
from topwire.values.traits import Grade

BEARS: Mapping[Grade | None, str] = {
    Grade.HIGH: "every other year",
    Grade.MEDIUM: "more one year than the next",
    Grade.LOW: "every year",
    None: "not known",
}
TANNINS: Mapping[Tannin | None, str] = {
    Tannin.SOFT: "soft", Tannin.MIXED: "between", Tannin.HARD: "hard", None: "not known",
}  # fmt: skip


def alcohol(range_: tuple[float, float] | None) -> str | None:
    """“6.1 to 7.4 %”."""
    return None if range_ is None else f"{range_[0]:.1f} to {range_[1]:.1f} %"


def ends(drink: Drink) -> str | None:
    """The gravity it is bottled or drawn at."""
    return None if drink.ends is None else f"{drink.ends[0]:.3f} to {drink.ends[1]:.3f}"


def sureness(drink: Drink) -> str:
    """“3.4 to 3.7”: pH, the middle eight in ten."""
    reach = 1.28 * drink.ph_spread
    return f"{drink.ph - reach:.1f} to {drink.ph + reach:.1f}"


def sulphite(lot: PressLot) -> str:
    """What is to be done about a juice's acidity at pressing."""
    if not lot.fermented:
        return "none: heat-treat, or drink at once"
    if lot.sharpen:
        return "juice too mild: blend with a sharp lot first, then by its pH"
    return "none" if lot.sulphite is None else f"{1000 * lot.sulphite:.0f} mg/L in all, by a meter’s pH"


def into(lot: PressLot) -> str | None:
    """The vessels a lot runs into."""
    return listed(lot.vessels) or ("no vessel left or stated" if lot.fermented else None)


def full(use: VesselUse) -> str:
    """When a vessel is full."""
    if use.full is None:
        return "free: to rack into"
    return f"week of {week_label(use.full)}"


def empty_from(use: VesselUse) -> str | None:
    """How long the cider takes in it."""
    return None if use.weeks is None else f"{use.weeks[0]:.0f} to {use.weeks[1]:.0f} weeks after"


def kind_of(line: CiderFruit) -> str:
    """Its class; a table apple has none."""
    return str(line.cider_class or "table fruit")


def _rests(facts: Facts) -> Words:
    said = "the plan’s own figure"
    if not facts["own"]:
        said = "a {press} press, [{low:.2f} to {high:.2f}|{us_low:.1f} to {us_high:.1f}]"
    return Words(
        f"[{{middle:.2f}} L of juice of a kilogram of fruit|{{us:.1f}} gal of juice of 100 lb of fruit] ({said}); "
        "what stays behind with the lees by the table of styles.",
        "Weigh fruit and measure juice on the first press day, and state kitchen.press.juice.",
    )


WORDS: Mapping[str, Speech] = {
    "press.nothing": Words("nothing is pressed: the plan asks for no juice and no cider."),
    "press.rests_on": _rests,
    "press.short": Words(
        "{product}: {mean} of {wanted} in the mean year, {low} in the bad year in ten.",
        "Plant more, widen its bounds, press in more weeks, or ask for less.",
    ),
    "press.vessels_lack": Words(
        "{volume} more of tanks or barrels are wanted for the {product}: those stated are full or hold another.",
        "Buy or borrow, make less of it, or empty last year’s before the press season.",
    ),
    "press.no_vessels": Words(
        "no tanks or barrels are stated; {volume} are wanted for the fermenting juice, and one more to rack into.",
        "State kitchen.tanks, and each lot is told its vessel.",
    ),
    "press.no_spare": Words(
        "every tank and barrel is full after the last press week: none is free to rack into.",
        "Keep one empty vessel of the commonest size.",
    ),
    "press.weak_vinegar": Words(
        "the vinegar comes to about {acid:.1f} g of acid in 100 mL where 4 is asked for to sell it, more to pickle.",
        "Sweeter fruit, or a longer sweat.",
    ),
    "press.keeving": Words(
        "a sweet cider that stops by itself wants late, fully ripe, sweated bittersweet fruit of unfed trees, cold "
        "juice (about [5 °C|41 °F]), no yeast and no nutrient; it does not succeed every year.",
        "Have a plan for the year it ferments dry; what is bottled sweet can start again.",
    ),
    "press.every_other_year": Words(
        "{share:.0%} of the cider fruit is of cultivars that bear every other year: {concerns}. In the poorest fifth "
        "of years {swing:.0%} less is pressed than in the mean year.",
        "They are not thinned by hand to a number; thin at bloom in the heavy year, keep cider over, or mix in "
        "cultivars that bear every year.",
    ),
    "press.off_the_ground": Words(
        "fruit from the ground is washed, sorted and fermented; whatever is drunk unfermented is made of fruit that "
        "never lay there, or is heat-treated. No animals under the trees before the harvest: organic rules for raw "
        "manure ask 120 days. Rotten fruit is thrown out: patulin goes through washing and heat.",
        "Local food law decides.",
    ),
    "press.gas": Words(
        "fermenting juice gives off carbon dioxide, more than 20 times its own volume: it lies in cellars, pits and "
        "tanks and kills without warning. Air the room and test before you enter; never climb or lean into a vessel.",
        "A meter with alarm at knee height; local rules for confined spaces decide.",
    ),
    "press.bottles": Words(
        "bottles of cider that is not dry can burst: fill only bottles made for the pressure, measure the gravity "
        "twice, weeks apart, and keep a test bottle with a gauge in the warm. Glasses and gloves when handling them.",
        "What is in the bottle beyond the gravity stated is one bar for about each point.",
    ),
    "press.sulphite": Words(
        "sulphite is an acid gas: mask, gloves, open air. Some people are made ill by it, and labels have to name it; "
        "cider may hold 200 mg/L in all in the European Union, other rules elsewhere.",
        "Dose by a meter’s pH of the very lot, never by this plan’s; local food law decides.",
    ),
    "press.licence": Words(
        "making cider to sell, or above a household’s amount, wants a licence and pays duty; strength, gas, fruit "
        "share and label decide how much.",
        "Ask the tax and food offices before the first pressing.",
    ),
}  # fmt: skip
