"""What has to be told of press, vessels and bottles."""

from topwire.press.asked import PressQuestion
from topwire.press.findings import PressFindings
from topwire.values.notice import Measured, Notice, assumption, caution, remark, warning
from topwire.values.terms import CiderStyle
from topwire.values.traits import Grade
from topwire.values.units import Kind

USUALLY = 0.9  # of what a style asks for; below it is told
MOSTLY = 0.5  # of the fruit from cultivars that bear every other year
_US = 45.359237 / 3.785411784  # [gal of 100 lb] of a litre of a kilogram
LEAST_VINEGAR = 4.0  # [g/100 mL] (VINEGAR)


def press_notices(asked: PressQuestion, found: PressFindings) -> tuple[Notice, ...]:
    """Every notice of the press."""
    if not found.drinks:
        return (remark("press.nothing", setting="kitchen.needs"),)
    cider = [drink for drink in found.drinks if drink.fermented]
    notices = [*_vessels(asked, found), *_styles(found)]
    if cider:
        notices += _fruit(found)
        notices.append(caution("press.gas"))
        notices.append(caution("press.sulphite", source="SO2-LIMIT"))
        notices.append(caution("press.licence"))
        notices.append(caution("press.off_the_ground", source="CIDER-GROUND+GRAZING"))
    if any(drink.pressure is not None for drink in cider):
        notices.append(caution("press.bottles", source="CIDER-CO2"))
    notices.append(
        assumption(
            "press.rests_on",
            setting="kitchen.press",
            source="PRESS-YIELD",
            press=str(found.press),
            own=asked.own_juice,
            low=asked.juice[0],
            middle=asked.juice[1],
            high=asked.juice[2],
            us=asked.juice[1] * _US,
            us_low=asked.juice[0] * _US,
            us_high=asked.juice[2] * _US,
        )
    )
    return tuple(notices)  # whose prices they are, the ledger says


def _vessels(asked: PressQuestion, found: PressFindings) -> list[Notice]:
    if not asked.vessels:
        if not found.lacking:
            return []
        total = Measured(sum(found.lacking.values()), Kind.SMALL_VOLUME, 0)
        return [remark("press.no_vessels", setting="kitchen.tanks", volume=total)]
    lacks = [
        warning(
            "press.vessels_lack",
            setting="kitchen.tanks",
            product=product,
            volume=Measured(volume, Kind.SMALL_VOLUME, 0),
        )
        for product, volume in found.lacking.items()
    ]
    free = [one for one in found.vessels if not one.product]
    return lacks or ([] if free else [warning("press.no_spare", setting="kitchen.tanks")])


def _styles(found: PressFindings) -> list[Notice]:
    notices = []
    for drink in found.drinks:
        if drink.wanted is not None and drink.mean_made < USUALLY * drink.wanted:
            notices.append(
                warning(
                    "press.short",
                    setting="kitchen.cider",
                    product=str(drink.product),
                    wanted=Measured(drink.wanted, Kind.SMALL_VOLUME, 0),
                    mean=Measured(drink.mean_made, Kind.SMALL_VOLUME, 0),
                    low=Measured(drink.made.low, Kind.SMALL_VOLUME, 0),
                )
            )
        if drink.vinegar is not None and drink.vinegar < LEAST_VINEGAR:
            notices.append(warning("press.weak_vinegar", setting="kitchen.cider", acid=drink.vinegar))
        if drink.style is CiderStyle.KEEVED_SWEET:
            notices.append(remark("press.keeving", setting="kitchen.cider", source="KEEVING"))
    return notices


def _fruit(found: PressFindings) -> list[Notice]:
    every_other = [line for line in found.fruit if line.biennial is Grade.HIGH]
    total = sum(line.fruit for line in found.fruit)
    share = sum(line.fruit for line in every_other) / max(total, 1e-9)
    if share < MOSTLY:
        return []
    return [
        warning(
            "press.every_other_year",
            setting="taste",
            concerns=[line.cultivar for line in every_other],
            share=share,
            swing=found.swing,
        )
    ]
