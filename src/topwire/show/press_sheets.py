"""Sheets of the press: what is made, press weeks and lots, vessels, fruit, ways to harvest, worth, the log."""

from topwire.cellar.cider import AT_PRESSING, BLEND_FROM, free_sulphite, ph_digits
from topwire.press.findings import Drink, PressFindings, PressLot
from topwire.show.choice_sheets import SEASON_ONLY
from topwire.show.sheet import Column, LinkKind, Sheet, setting, sheet_of, source, table
from topwire.tell.press import (
    BEARS,
    TANNINS,
    alcohol,
    empty_from,
    ends,
    full,
    into,
    kind_of,
    sulphite,
    sureness,
)
from topwire.values.calendar import day_label, week_label
from topwire.values.notice import Measured
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_ASKED = setting("kitchen.cider") + table("cider_styles")
_PRESS = setting("kitchen.press") + table("press_yields")
_VOLUME = Kind.SMALL_VOLUME
NAMED = 5  # cultivars of a lot that are named; the others are counted
LOG_LINES = 3  # empty lines for each vessel


def sheets(found: PressFindings) -> list[Sheet]:
    """Nothing where nothing is pressed."""
    if not found.drinks:
        return []
    cider = [drink for drink in found.drinks if drink.fermented]
    kept = [drinks(found), weeks(found), lots(found)]
    if cider:
        kept += [
            vessels(found),
            fruit(found),
            ways(found),
            doses(),
            worth(found, cider),
            balance(found),
            log(found),
        ]
        closed = [drink for drink in cider if drink.pressure is not None]
        kept += [bottles(closed)] if closed else []
    return [sheet for sheet in kept if sheet.rows]


def drinks(found: PressFindings) -> Sheet:
    return sheet_of(
        "press.drinks",
        "What is made",
        (
            Column("product", "product", width=1.2, links=_ASKED),
            Column("wanted", "asked for", _VOLUME, 0, links=setting("kitchen.cider")),
            Column("made_low", "made, one year in ten below", _VOLUME, 0, of=lambda one: one.made.low),
            Column("made", "middle year", _VOLUME, 0, of=lambda one: one.made.middle),
            Column("gravity", "gravity", Plain.RATIO, 3),
            Column("dry", "alcohol, were it dry", of=lambda one: alcohol(one.dry), width=0.9),
            Column("ends", "bottled or drawn at", of=ends, width=0.9, links=table("cider_styles")),
            Column("alcohol", "alcohol then", of=lambda one: alcohol(one.alcohol), width=0.9),
            Column("acid", "acid", Plain.CONCENTRATION, 1),
            Column("tannin", "tannin", Plain.CONCENTRATION, 1),
            Column("ph", "pH, eight years in ten", of=sureness, width=0.8),
            Column("measured", "fruit measured", Plain.SHARE),
            Column("within", "years within its bounds", Plain.SHARE),
            Column("chance", "with juice as it strays", Plain.SHARE),
        ),
        found.drinks,
        f"Weather year {found.year}, in which the middle amount is pressed; made: over all weather years.",
        (
            "Gravity, acid and tannin are of the season’s juice mixed. Fruit measured: share whose acid and tannin "
            "someone has measured; the others’ are those of their class. Week by week: out/blends.csv.",
        ),
    )


def weeks(found: PressFindings) -> Sheet:
    return sheet_of(
        "press.weeks",
        "Press weeks",
        (
            Column("week", "week from", of=lambda one: week_label(one.week)),
            Column("mean", "fruit, mean of the years", Kind.MASS, 0),
            Column("hours", "pressing hours of it", Plain.HOURS, 1, links=table("labour")),
            Column("fruit", "fruit, middle year", Kind.MASS, 0),
            Column("juice", "juice", _VOLUME, 0, links=_PRESS),
            Column("days", "press days", Plain.COUNT, 0, links=setting("kitchen.press.a_day")),
        ),
        found.weeks,
        "Fruit at the mill, sorted; pressed as soon as it has sweated, where nothing speaks for later. Hours of the "
        "mean year at the ledger’s rate, trees that stand already included.",
    )


def _of(lot: PressLot) -> str:
    named = [f"{name} {share / max(lot.fruit, 1e-9):.0%}" for name, share in lot.of[:NAMED]]
    more = len(lot.of) - NAMED
    return ", ".join(named) + (f" and {more} more" if more > 0 else "")


def lots(found: PressFindings) -> Sheet:
    return sheet_of(
        "press.lots",
        "Press-day sheets: what to expect of each lot",
        (
            Column("week", "week from", of=lambda one: week_label(one.week), width=0.8),
            Column("product", "for", width=1),
            Column("fruit", "fruit", Kind.MASS, 0),
            Column("juice", "juice", _VOLUME, 0),
            Column("gravity", "gravity", Plain.RATIO, 3),
            Column("acid", "acid", Plain.CONCENTRATION, 1),
            Column("ph", "pH, about", Plain.RATIO, ph_digits(read=False)),
            Column("sulphite", "sulphite at pressing", of=sulphite, width=1.3, links=source("SO2-PRESSING")),
            Column("vessels", "into", of=into, width=0.9),
            Column("of", "of", of=_of, width=2.4),
        ),
        found.lots,
        f"Weather year {found.year}. Weigh the fruit, measure gravity, acid and pH, and write them beside.",
        ("Acid as malic. Wash and sort before the mill; hands out of it; unplug before cleaning.",),
    )


def vessels(found: PressFindings) -> Sheet:
    return sheet_of(
        "press.vessels",
        "Tanks and barrels",
        (
            Column("name", "vessel", links=setting("kitchen.tanks")),
            Column("holds", "holds", _VOLUME, 0),
            Column("product", "of", of=lambda one: one.product or "nothing", width=1.2),
            Column("juice", "juice in it", _VOLUME, 0),
            Column(
                "begins", "first juice", of=lambda one: None if one.begins is None else week_label(one.begins)
            ),
            Column("full", "last juice", of=full, width=1.2),
            Column("weeks", "ready to leave it", of=empty_from, width=1, links=table("cider_styles")),
        ),
        found.vessels,
        "Filled to 92 % while it foams, topped up after; the smallest that holds what is left of a style.",
    )


def fruit(found: PressFindings) -> Sheet:
    return sheet_of(
        "press.fruit",
        "Cider fruit: ripe to drop, sweated in bins outdoors",
        (
            Column("cultivar", "cultivar", width=1.3, leads=LinkKind.CULTIVAR),
            Column("kind", "class", of=kind_of),
            Column("fruit", "fruit, middle year", Kind.MASS, 0),
            Column(
                "ripe",
                "first ripe",
                of=lambda one: day_label(one.ripe) + " (season)" * one.by_season,
                width=1.2,
            ),
            Column("over", "last down", Plain.DAY_OF_YEAR),
            Column("sweated", "first is sweated", Plain.DAY_OF_YEAR),
            Column("by", "all milled by", Plain.DAY_OF_YEAR),
            Column("biennial", "bears", words=BEARS, width=1.1),
            Column("tannin", "tannin tastes", words=TANNINS, links=table("juice_more")),
        ),
        found.fruit,
        "The middle year’s dates. Ready to mill when a thumb leaves its mark; bins outdoors, off the ground, under a "
        "roof, never in the fruit cellar. Not picked by colour, and not thinned by hand to a number.",
        (SEASON_ONLY,) * any(line.by_season for line in found.fruit),
    )


def ways(found: PressFindings) -> Sheet:
    return sheet_of(
        "press.ways",
        "Ways to harvest the cider fruit",
        (
            Column("way", "way", width=2, links=table("cider_harvest")),
            Column("slow", "hours, slow", Plain.HOURS, 0, of=lambda one: one.hours[0]),
            Column("middle", "middle", Plain.HOURS, 0, of=lambda one: one.hours[1]),
            Column("fast", "fast", Plain.HOURS, 0, of=lambda one: one.hours[2]),
            Column("got", "fruit got", Plain.SHARE),
            Column(
                "use",
                "for",
                of=lambda one: "cider only" if one.fermented_only else "cider; juice if clean",
                width=0.9,
            ),
            Column("caution", "beware", width=2.4),
        ),
        found.ways,
        "Hours of all cider fruit of the middle year, trees that stand already included. The ledger reckons with "
        "picking by hand.",
    )


def doses() -> Sheet:
    """Total SO2 at pressing by pH, and the free SO2 that keeps the finished cider."""
    below = 2.9
    rows: list[tuple[str, str, float | None]] = []
    for acidity, dose in AT_PRESSING:
        span = f"{below:g} to under {acidity:g}" if dose else f"under {acidity:g}"
        rows.append((span, f"{dose:.0f}" if dose else "none", float(free_sulphite(acidity))))
        below = acidity
    rows.append((f"from {BLEND_FROM:g} on", "blend or sharpen first", None))
    return Sheet(
        "press.sulphite",
        "Sulphite by pH",
        (
            Column("ph", "pH of the juice"),
            Column("dose", "added at pressing in all, mg/L", links=source("SO2-PRESSING")),
            Column(
                "free",
                "free in the dry cider at the upper pH, mg/L",
                Plain.RATIO,
                0,
                links=source("CIDER-SO2"),
            ),
        ),
        tuple(rows),
        "Makers’ bands, which differ by edition; none for keeved cider and vinegar. By a meter’s pH of the very lot.",
        ("Mask and gloves. 200 mg/L in all is the most in the European Union; local food law decides.",),
    )


def bottles(closed: list[Drink]) -> Sheet:
    return sheet_of(
        "press.bottles",
        "Gas in the bottle",
        (
            Column("product", "product", width=1.2),
            Column("drops", "gravity that ferments in the bottle", Plain.RATIO, 4),
            Column("pressure", "pressure at room warmth", Kind.PRESSURE),
        ),
        closed,
        "Beside what is dissolved already, 0.8 volumes; pressure over the air’s in a warm room.",
        (
            "Bottles made for it, a test bottle with a gauge, glasses on. Twice the drop is over twice the pressure.",
        ),
    )


def worth(found: PressFindings, cider: list[Drink]) -> Sheet:
    unit = found.currency
    return sheet_of(
        "press.worth",
        "What it is worth, sold or poured",
        (
            Column("product", "product", width=1.2, links=table("prices")),
            Column("mean_made", "made, mean year", _VOLUME, 0),
            Column("low", "price a litre, low", Plain.MONEY, 2, of=lambda one: one.price[0], unit=unit),
            Column("price", "middle", Plain.MONEY, 2, of=lambda one: one.price[1], unit=unit),
            Column("high", "high", Plain.MONEY, 2, of=lambda one: one.price[2], unit=unit),
            Column("value", "value", Plain.MONEY, 0, unit=unit),
            Column("making", "making it", Plain.MONEY, 0, unit=unit),
            Column("bought", "its fruit, were it bought", Plain.MONEY, 0, unit=unit),
        ),
        cider,
        "Prices are proposals until you write your own into catalogue/prices.csv. Making: yeast, bottles, duty, cellar "
        "work; the hours of pressing stand in the ledger.",
    )


def balance(found: PressFindings) -> Sheet:
    one = found.balance
    assert one is not None
    rows = (
        ("fruit at the mill", Measured(one.fruit, Kind.MASS, 0)),
        ("juice", Measured(one.juice, _VOLUME, 0)),
        ("pomace, to compost or beasts", Measured(one.pomace, Kind.MASS, 0)),
        ("in bottle, keg or cask", Measured(one.drinks, _VOLUME, 0)),
        ("left with the lees", Measured(one.lees, _VOLUME, 0)),
        ("sugar in the juice", Measured(one.sugar, Kind.MASS, 0)),
        ("acid in the juice, as malic", Measured(one.acid, Kind.MASS, 1)),
        ("tannin in the juice", Measured(one.tannin, Kind.MASS, 1)),
        ("acid, were all of it in one tank", Measured(one.mixed[0], Plain.CONCENTRATION, 1)),
        ("tannin, were all of it in one tank", Measured(one.mixed[1], Plain.CONCENTRATION, 1)),
    )
    return Sheet(
        "press.balance",
        "Where the fruit goes",
        (Column("what", "what", width=2), Column("amount", "in the middle year", width=1)),
        rows,
        f"Weather year {found.year}, all that is pressed together.",
    )


def log(found: PressFindings) -> Sheet:
    """Empty lines to write on, for each vessel in use."""
    names = [one.name for one in found.vessels if one.product] or ["vessel:"]
    return Sheet(
        "press.log",
        "Fermentation log",
        tuple(
            Column(key, caption, width=1)
            for key, caption in (
                ("vessel", "vessel"), ("date", "date"), ("warmth", "temperature"), ("gravity", "gravity"),
                ("ph", "pH"), ("did", "racked, topped, added"), ("taste", "smell and taste"),
            )
        ),
        tuple((name, "", "", "", "", "", "") for name in names for _ in range(LOG_LINES)),
        "Weekly until it slows, then monthly; before bottling twice, weeks apart.",
    )  # fmt: skip
