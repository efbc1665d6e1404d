"""What has to be told of the soil: what is not known, what stands in the way of trees, dangers."""

from topwire.soil.asked import SoilQuestion
from topwire.soil.feeding import NITROGEN, Age, Leaf, nitrogen_advice, rate_change
from topwire.soil.findings import LimeBy, LimeLine
from topwire.soil.nutrients import GOOD_DRAINAGE, TOO_WET, Level, Nutrient, range_of, verdict_of
from topwire.values.notice import Measured, Notice, assumption, caution, remark, warning
from topwire.values.price import price_notices
from topwire.values.terms import Texture
from topwire.values.units import Kind

_LIGHT = 0.001  # [kg/m2]


def soil_notices(asked: SoilQuestion, lime: LimeLine | None, dolomitic: bool | None) -> list[Notice]:
    """Every notice of the soil room."""
    notices = []
    if asked.lime.ph is None:
        notices.append(warning("soil.no_test", setting="place.soil.test", source="SOIL-OMAFRA-FEED"))
    elif lime is not None and lime.as_spread > _LIGHT:
        notices.append(
            remark(
                "soil.lime",
                setting="place.soil.test",
                source=lime.source,
                on_ground=Measured(lime.as_spread, Kind.CROP, 1),
                guess=lime.by is LimeBy.TEXTURE,
                depth=Measured(asked.depth, Kind.SMALL_LENGTH, 0),
                dolomitic=bool(dolomitic),
            )
        )
        if lime.by is LimeBy.TEXTURE:
            notices.append(warning("soil.no_buffer", setting="place.soil.test"))
    notices += _limits(asked)
    if asked.replanted:
        notices.append(warning("soil.replant", setting="place.soil.replant", source="COVER-CORNELL"))
    if Nutrient.PHOSPHORUS in asked.test and range_of(Nutrient.PHOSPHORUS, asked.extract) is None:
        notices.append(warning("soil.phosphorus_method", setting="place.soil.test"))
    if asked.shoots is not None:
        notices.append(_nitrogen(asked, asked.shoots))
    notices.append(caution("soil.dust"))
    notices.append(caution("soil.runoff"))
    notices.append(caution("soil.manure", source="SOIL-GAP"))
    notices.append(assumption("soil.rests_on", setting="place.soil"))
    return notices + price_notices("soil", asked.prices, asked.currency)


def _nitrogen(asked: SoilQuestion, shoots: float) -> Notice:
    age = Age.FIRST_CROPS if asked.bearing else Age.YOUNG
    leaf, limits = asked.leaf_test.get(Leaf.NITROGEN), NITROGEN[age]
    advice = nitrogen_advice(shoots, asked.bearing, leaf, age)
    middle = ((limits.least or 0.0) + (limits.most or 0.0)) / 2
    return remark(
        "soil.nitrogen",
        setting="place.soil.leaf_test",
        source="FEED-UT",
        shoots=Measured(shoots, Kind.SMALL_LENGTH, 0),
        advice=str(advice),
        tested=leaf is not None,
        change=0.0 if leaf is None else rate_change(leaf, middle),
    )


def _limits(asked: SoilQuestion) -> list[Notice]:
    notices = []
    hours = asked.test.get(Nutrient.DRAINAGE)
    if hours is not None and hours > GOOD_DRAINAGE:
        poor = hours > TOO_WET
        found = warning if poor else remark
        notices.append(
            found("soil.drainage", setting="place.soil.test", source="SOIL-HOLE", hours=hours, poor=poor)
        )
    careful = asked.replanted or asked.texture in (Texture.SAND, Texture.LOAMY_SAND)
    worms = []
    for nutrient in (Nutrient.LESION, Nutrient.DAGGER):
        limits = range_of(nutrient, careful=careful)
        value = asked.test.get(nutrient)
        if value is not None and limits is not None and verdict_of(value, limits) is Level.HIGH:
            worms.append(str(nutrient))
    if worms:
        notices.append(
            warning("soil.nematodes", setting="place.soil.test", concerns=worms, source="COVER-CORNELL")
        )
    organic = asked.test.get(Nutrient.ORGANIC)
    if organic is not None and organic < 2:
        notices.append(
            warning("soil.organic", setting="place.soil.test", source="SOIL-OMAFRA-PREPARE", organic=organic)
        )
    return notices
