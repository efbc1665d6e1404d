"""From the soil test to lime, nutrients, covers and feeding."""

from topwire.soil.asked import SoilQuestion
from topwire.soil.bill import bill_of
from topwire.soil.covers import cover_windows
from topwire.soil.feeding import Age, feed_lines, leaf_lines
from topwire.soil.findings import Dressing, Given, LimeBy, LimeLine, SoilFindings, SoilReading, WorkedIn
from topwire.soil.lime import (
    ACIDITY_SLICE,
    BUFFER_SLICE,
    by_acidity,
    by_buffer_acidity,
    by_smp,
    by_texture,
    dressings,
    spread,
    two_layers,
)
from topwire.soil.nutrients import (
    Dose,
    Nutrient,
    boron,
    gypsum,
    phosphate,
    potash,
    range_of,
    verdict_of,
)
from topwire.soil.telling import soil_notices
from topwire.soil.warmth import soil_dates, soil_temperature
from topwire.values.bill import together
from topwire.values.terms import Texture

FIELD = 300.0  # [m2] of blocks below which no cover is bought: proposal
_FIRST, _APART = 23, 6  # months before planting of the first dressing, and between two
_SOURCES = {
    LimeBy.ACIDITY: "LIME-PSU",
    LimeBy.BUFFER: "LIME-TRISTATE",
    LimeBy.CAROLINA: "LIME-NC",
    LimeBy.TEXTURE: "LIME-RB209",
}
_BEYOND_CAROLINA = 6.5


def answer(asked: SoilQuestion) -> SoilFindings:
    """What the test says; without one, what to test and what the weeks and the feeding are all the same."""
    lime = _lime(asked)
    chosen = next((line for line in lime if line.chosen), None)
    magnesium = asked.test.get(Nutrient.MAGNESIUM)
    dolomitic = None if magnesium is None else magnesium < 100
    amounts = _amounts(asked)
    soil = soil_dates(soil_temperature(asked.monthly_air))
    covers = cover_windows(soil.at_16, asked.last_frost, asked.first_frost)
    feeding = feed_lines(asked.trees)
    total = chosen.as_spread * asked.area if chosen else 0.0
    bill = bill_of(
        total,
        bool(dolomitic),
        amounts,
        covers if asked.trees and asked.area >= FIELD else (),
        sum(line.product for line in feeding) * asked.trees,
        asked.area,
        {price.item: price for price in asked.prices},
    )
    return SoilFindings(
        tested=asked.lime.ph is not None,
        readings=_readings(asked),
        lime=lime,
        dolomitic=dolomitic,
        dressings=_dressings(chosen, asked.area),
        amounts=amounts,
        covers=covers,
        feeding=feeding,
        leaf=leaf_lines(dict(asked.leaf_test), Age.FIRST_CROPS if asked.bearing else Age.YOUNG),
        area=asked.area,
        bill=bill,
        cost=together(bill),
        currency=asked.currency,
        notices=tuple(soil_notices(asked, chosen, dolomitic)),
    )


def _lime(asked: SoilQuestion) -> tuple[LimeLine, ...]:
    """Every way the test allows, the surest chosen."""
    test = asked.lime
    if test.ph is None:
        return ()
    top, below = test.ph, test.ph if test.ph_below is None else test.ph_below
    (ph, wanted), (ph_below, wanted_below) = (top, asked.target), (below, asked.target_below)
    buffer = test.buffer_ph
    ways: list[tuple[LimeBy, float, float, float]] = []
    if test.acidity is not None:
        pair = by_acidity(test.acidity, ph, wanted), by_acidity(test.acidity, ph_below, wanted_below)
        ways.append((LimeBy.ACIDITY, *pair, ACIDITY_SLICE))
    if buffer is not None and test.carolina:
        goals = min(wanted, _BEYOND_CAROLINA), min(wanted_below, _BEYOND_CAROLINA)
        pair = (
            by_buffer_acidity(ph, buffer, goals[0]),
            by_buffer_acidity(ph_below, buffer, goals[1]),
        )
        ways.append((LimeBy.CAROLINA, *pair, BUFFER_SLICE))
    elif buffer is not None:
        pair = by_smp(buffer, ph, wanted), by_smp(buffer, ph_below, wanted_below)
        ways.append((LimeBy.BUFFER, *pair, BUFFER_SLICE))
    texture = asked.texture
    pair = by_texture(ph, texture, wanted), by_texture(ph_below, texture, wanted_below)
    ways.append((LimeBy.TEXTURE, *pair, BUFFER_SLICE))
    found = []
    for number, (by, upper, lower, depth) in enumerate(ways):
        pure = two_layers(upper, lower, depth, asked.depth)
        found.append(LimeLine(by, pure, spread(pure, asked.effective), number == 0, _SOURCES[by]))
    return tuple(found)


def _dressings(chosen: LimeLine | None, area: float) -> tuple[Dressing, ...]:
    if chosen is None or chosen.as_spread <= 0:
        return ()
    number = dressings(chosen.as_spread)
    each = chosen.as_spread / number
    return tuple(Dressing(_FIRST - _APART * step, each, each * area) for step in range(number))


def _readings(asked: SoilQuestion) -> tuple[SoilReading, ...]:
    careful = asked.replanted or asked.texture in (Texture.SAND, Texture.LOAMY_SAND)
    values = dict(asked.test)
    for nutrient, ph in ((Nutrient.ACIDITY, asked.lime.ph), (Nutrient.SUBSOIL, asked.lime.ph_below)):
        if ph is not None:
            values[nutrient] = ph
    found = []
    for nutrient in Nutrient:
        limits = range_of(nutrient, asked.extract, careful=careful)
        value = values.get(nutrient)
        if limits is None:
            found.append(SoilReading(nutrient, value, None, None, None, ""))
            continue
        verdict = None if value is None else verdict_of(value, limits)
        found.append(SoilReading(nutrient, value, limits.least, limits.most, verdict, limits.source))
    return tuple(found)


def _amounts(asked: SoilQuestion) -> tuple[WorkedIn, ...]:
    """What the test asks for; nothing is given blind."""
    test = asked.test
    doses: list[tuple[Given, Dose, str]] = []
    limits = range_of(Nutrient.PHOSPHORUS, asked.extract)
    if Nutrient.PHOSPHORUS in test and limits is not None and limits.least is not None:
        doses.append((Given.PHOSPHATE, phosphate(test[Nutrient.PHOSPHORUS], limits.least), "SOIL-RB209"))
    if Nutrient.POTASSIUM in test:
        wanted = range_of(Nutrient.POTASSIUM)
        assert wanted is not None
        assert wanted.least is not None
        doses.append((Given.POTASH, potash(test[Nutrient.POTASSIUM], wanted.least), "SOIL-RB209"))
    if Nutrient.BORON in test:
        doses.append((Given.BORON, boron(test[Nutrient.BORON]), ""))
    if Nutrient.SULPHUR in test and asked.lime.ph is not None:
        doses.append((Given.GYPSUM, gypsum(test[Nutrient.SULPHUR], asked.lime.ph), "SOIL-ORGANIC142"))
    return tuple(
        WorkedIn(given, dose.least * asked.area, dose.most * asked.area, source)
        for given, dose, source in doses
        if dose.most > 0
    )
