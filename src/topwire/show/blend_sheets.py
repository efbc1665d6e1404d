"""Sheets of what is mixed: each blended product over the season and week by week, beside its bounds."""

from topwire.choice.findings import BlendMade, BlendSide, Choice, Mixture
from topwire.choice.plate import JuiceSide
from topwire.press.findings import PressFindings
from topwire.show.sheet import Column, Sheet, Value, setting, table
from topwire.tell.choice import verdict
from topwire.tell.reader import UNKNOWN
from topwire.values.calendar import week_label
from topwire.values.quantities import Plain
from topwire.values.units import Kind

NAMED = 4  # cultivars of a mixture that are named; the others are counted
_BLEND = setting("kitchen.needs") + table("blend_bounds")
_JUICE = table("cultivars", "juice_classes")
_MIXED = (
    Column("kg", "fruit", Kind.MASS, width=0.8),
    Column("acid_g_l", "acid", Plain.CONCENTRATION, 1, width=0.6, links=_JUICE),
    Column("tannin_g_l", "tannin", Plain.CONCENTRATION, 1, width=0.6, links=_JUICE),
    Column("brix", "sugar", Plain.RATIO, 1, width=0.6, unit="°Brix", links=_JUICE),
    Column("ph", "pH, about", Plain.RATIO, 1, width=0.5, links=table("juice_more")),
)


def sheets(choice: Choice) -> list[Sheet]:
    """Nothing where nothing is mixed."""
    return [blends(choice), by_week(choice)] if choice.blends else []


def _product(made: BlendMade, choice: Choice) -> str:
    """The product; with its number where the plan asks for it twice."""
    same = [other for other in choice.blends if other.product is made.product]
    return str(made.product) if len(same) == 1 else f"{made.product} {same.index(made) + 1}"


def _limits(sides: tuple[BlendSide, ...]) -> str:
    """“acid 3.6 to 6.5, tannin at most 0.9, no bitter fruit”."""
    said = []
    for side in sides:
        low, high = side.low, side.high
        if side.side is JuiceSide.BITTER:
            if low is not None:
                said.append(f"bitter fruit at least {low:.0%}")
            if high is not None and high < 1:
                said.append(f"bitter fruit at most {high:.0%}" if high > 0 else "no bitter fruit")
        elif side.side is JuiceSide.TABLE:
            if high is not None:
                said.append(f"table fruit at most {high:.0%}")
        elif side.side is JuiceSide.HARD:
            if high is not None:
                said.append(f"hard tannin in at most {high:.0%} of the fruit")
        elif low is not None and high is not None:
            said.append(f"{_name(side.side)} {low:g} to {high:g}")
        elif low is not None or high is not None:
            said.append(
                f"{_name(side.side)} {'at least' if high is None else 'at most'} {low if high is None else high:g}"
            )
    return ", ".join(said) or UNKNOWN


def _name(side: JuiceSide) -> str:
    return "pH" if side is JuiceSide.PH else str(side)


def shares(mixture: Mixture) -> str:
    """“GoldRush 40 %, Stayman 35 % and 3 more”."""
    named = ", ".join(f"{name} {share:.0%}" for name, share in mixture.shares[:NAMED])
    more = len(mixture.shares) - NAMED
    return f"{named} and {more} more" if more > 0 else named


def blends(choice: Choice) -> Sheet:
    """The season's mixture of each product in its middle year."""
    rows: list[tuple[Value, ...]] = []
    for made in choice.blends:
        season = made.season
        alcohol = f"{made.alcohol[0]:.1f} to {made.alcohol[1]:.1f} %" if made.alcohol else ""
        rows.append(
            (
                _product(made, choice),
                season.kg,
                season.acid,
                season.tannin,
                season.sugar,
                season.ph,
                alcohol,
                _limits(made.sides),
                verdict(made),
                made.within,
                made.chance if made.pressed else None,
                season.measured,
                shares(season),
            )
        )
    return Sheet(
        "choice.blends",
        "What is mixed, over the season",
        (
            Column("product", "product", width=1, links=_BLEND),
            *_MIXED,
            Column("alcohol", "alcohol, fermented dry", width=0.8),
            Column("bounds", "bounds", width=1.4, links=_BLEND),
            Column("verdict", "verdict", width=1),
            Column("within", "years within", Plain.SHARE, width=0.6),
            Column("chance", "with juice as it strays", Plain.SHARE, width=0.6),
            Column("measured", "fruit measured", Plain.SHARE, width=0.6),
            Column("of", "of", width=2),
        ),
        tuple(rows),
        "The weather year in which the middle amount is mixed; mixed by mass.",
        (
            "Acid as malic. Figures that no one has measured are those of the class or kind, and stray more; a pH not "
            "measured is read from the acid, to about a quarter of a unit.",
            "Change the bounds of a product with blend, under its need, or for good in catalogue/blend_bounds.csv.",
        ),
    )


def by_week(choice: Choice) -> Sheet:
    """Each week's mixture in the same year."""
    return Sheet(
        "choice.blend_weeks",
        "What is mixed, week by week",
        (
            Column("product", "product", width=1, links=_BLEND),
            Column("week", "week from", width=0.8),
            *_MIXED,
            Column("of", "of", width=2.4),
        ),
        tuple(
            (
                _product(made, choice),
                week_label(int(week.week)),
                week.kg,
                week.acid,
                week.tannin,
                week.sugar,
                week.ph,
                shares(week),
            )
            for made in choice.blends
            for week in made.weeks
        ),
        "The bounds hold for the season's mixture: mix a sharp week with a mild one in the tank, or keep them apart "
        "and mix at the end.",
    )


LINES = (
    "product", "week or season", "kg", "acid_g_l", "tannin_g_l", "brix", "gravity", "ph", "ph_spread", "juice_l",
    "finished_l", "alcohol_dry_low", "alcohol_dry_high", "share_measured", "share_ph_measured", "weather_year",
    "cultivars and shares",
)  # fmt: skip


def lines(choice: Choice, press: PressFindings | None) -> list[tuple[object, ...]]:
    """Rows of blends.csv: product, week or season, figures in SI and litres, all cultivars with their shares."""
    drinks = {drink.need: drink for drink in press.drinks} if press else {}
    lots = {(lot.need, lot.week): lot for lot in press.lots} if press else {}
    rows: list[tuple[object, ...]] = []
    for made in choice.blends:
        drink = drinks.get(made.need)
        for mixture in (made.season, *made.weeks):
            lot = lots.get((made.need, mixture.week)) if mixture.week else drink
            finished = None if drink is None or lot is None else 1000 * lot.juice * drink.left
            dry = drink.dry if drink is not None and not mixture.week else None
            rows.append(
                (
                    _product(made, choice),
                    f"week {mixture.week}" if mixture.week else "season",
                    round(mixture.kg, 1),
                    round(mixture.acid, 2),
                    round(mixture.tannin, 2),
                    round(mixture.sugar, 2),
                    None if lot is None else round(lot.gravity, 4),
                    round(mixture.ph, 2),
                    round(mixture.ph_spread, 2),
                    None if lot is None else round(1000 * lot.juice, 1),
                    None if finished is None else round(finished, 1),
                    *((None, None) if dry is None else (round(dry[0], 1), round(dry[1], 1))),
                    round(mixture.measured, 3),
                    round(mixture.ph_measured, 3),
                    made.year,
                    "; ".join(f"{name} {share:.3f}" for name, share in mixture.shares),
                )
            )
    return rows
