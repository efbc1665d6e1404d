"""The soil room's question: the only file of the room that sees the plan and the catalogue."""

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.layout.findings import Ground, Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.soil import Soil, SoilTest, SoilUnit
from topwire.soil.asked import LimeTest, SoilQuestion
from topwire.soil.bill import PRICES_USED
from topwire.soil.feeding import Leaf
from topwire.soil.lime import fineness_new_york, fineness_ohio
from topwire.soil.nutrients import Extract, Nutrient, parts_of_pounds
from topwire.values.arrays import Floats

_NO_FROST = (60.0, 330.0)  # last and first, where the place has none
_PARTS = {
    Nutrient.PHOSPHORUS: "phosphorus",
    Nutrient.POTASSIUM: "potassium",
    Nutrient.MAGNESIUM: "magnesium",
    Nutrient.SULPHUR: "sulphur",
    Nutrient.BORON: "boron",
}
_AS_THEY_ARE = {
    Nutrient.ORGANIC: "organic_matter",
    Nutrient.LESION: "lesion_nematodes",
    Nutrient.DAGGER: "dagger_nematodes",
    Nutrient.DRAINAGE: "drainage_hours",
}


def question(
    plan: Plan, catalogue: Catalogue, seasons: PlaceSeasons, ground: Ground, layout: Layout
) -> SoilQuestion:
    """Soil of the blocks and feeding of the new trees."""
    soil = plan.place.soil
    test = soil.test or SoilTest()
    prices = catalogue.prices
    return SoilQuestion(
        lime=LimeTest(test.ph, test.ph_below, test.buffer_ph, test.buffer == "carolina", test.acidity),
        test=_test(test),
        extract=None if test.phosphorus_by is None else Extract(test.phosphorus_by),
        leaf_test={
            leaf: value
            for leaf in Leaf
            if soil.leaf_test is not None and (value := getattr(soil.leaf_test, leaf.value)) is not None
        },
        texture=soil.texture.value,
        replanted=soil.replant,
        target=soil.ph_wanted,
        target_below=min(soil.ph_wanted, soil.ph_wanted_below),
        depth=soil.lime_depth,
        effective=_effective(soil),
        shoots=None if soil.leaf_test is None else soil.leaf_test.shoots,
        bearing=soil.leaf_test is not None and soil.leaf_test.bearing,
        area=float(sum(block.area for block in ground.blocks)),
        trees=int(((layout.cultivar >= 0) & ~layout.standing).sum()),
        planting=plan.years.planting,
        monthly_air=seasons.normals[:, :2].mean(axis=1),
        last_frost=_middle(seasons.last_frost, _NO_FROST[0]),
        first_frost=_middle(seasons.first_frost, _NO_FROST[1]),
        prices=tuple(prices[name] for name in PRICES_USED),
        currency=plan.money.currency,
        wage=plan.money.wage,
    )


def _test(test: SoilTest) -> dict[Nutrient, float]:
    found = {}
    for nutrient, name in _PARTS.items():
        value = getattr(test, name)
        if value is not None:
            found[nutrient] = parts_of_pounds(value) if test.unit is SoilUnit.POUNDS else value
    for nutrient, name in _AS_THEY_ARE.items():
        value = getattr(test, name)
        if value is not None:
            found[nutrient] = value
    return found


def _effective(soil: Soil) -> float:
    """Of the lime at hand: by its label where that is known."""
    label = soil.lime_label
    if label is None:
        return soil.lime_effective
    if label.pass_100 is not None:
        fine = fineness_new_york(label.pass_20, label.pass_60, label.pass_100)
    else:
        fine = fineness_ohio(label.pass_8 or 0.0, label.pass_20, label.pass_60)
    return max(label.neutralising * fine / 1e4, 0.05)


def _middle(days: Floats, otherwise: float) -> float:
    known = days[np.isfinite(days)]
    return float(np.median(known)) if known.size else otherwise
