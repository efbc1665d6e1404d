"""Words of the soil."""

from collections.abc import Mapping

from topwire.soil.covers import Cover
from topwire.soil.feeding import Age, Leaf, NitrogenAdvice
from topwire.soil.findings import Given, LimeBy
from topwire.soil.nutrients import Level, Nutrient
from topwire.tell.words import Speech, Words

_OFFICE = "The local extension office reads the test with you and decides."

WORDS: Mapping[str, Speech] = {
    "soil.no_test": Words(
        "there is no soil test yet, so lime, phosphorus, potassium and boron are not known and none is on the bill.",
        "Take it two years before planting: [0-20 and 20-40 cm|0-8 and 8-16 in], eight to ten cores a sample, a "
        "sample for each stretch of like ground; write it under place.soil.test.",
    ),
    "soil.lime": lambda facts: Words(
        "the ground wants about {on_ground} of "
        + ("dolomitic " if facts["dolomitic"] else "")
        + "lime, worked in {depth} deep before planting"
        + (", as a first guess" if facts["guess"] else "")
        + ".",
        _OFFICE,
    ),
    "soil.no_buffer": Words(
        "lime is guessed from texture, for want of a buffer reading.",
        "Ask the laboratory for buffer pH or exchangeable acidity.",
    ),
    "soil.drainage": lambda facts: Words(
        "the hole took {hours:.0f} hours to empty: "
        + ("too wet for apples." if facts["poor"] else "fair, not good."),
        "Drain before anything else is done, or raise the rows; a second wet spring ends most trees."
        if facts["poor"]
        else "Watch it after spring rain: water within [90 cm|3 ft] for weeks is too wet.",
    ),
    "soil.nematodes": Words(
        "too many for young trees: {concerns}.",
        "Sudangrass, then a mustard that acts against them, turned in green; test again before planting.",
    ),
    "soil.organic": Words(
        "organic matter is {organic:.1f} %: below the 2 % at which young trees do well.",
        "A year of covers, and compost before planting.",
    ),
    "soil.replant": Words(
        "apples stood here: young trees stand still on such ground.",
        "Rows into the old alleys, a year or two of covers, a tolerant stock (topwire show rootstocks), a "
        "nematode test.",
    ),
    "soil.phosphorus_method": Words(
        "what is enough phosphorus by this laboratory’s method was read nowhere, so none is on the bill.",
        "Ask the laboratory for its own limit, or for the bicarbonate (Olsen) method.",
    ),
    "soil.nitrogen": lambda facts: Words(
        "shoots of {shoots} say: " + ADVICE[NitrogenAdvice(str(facts["advice"]))] + ".",
        "From the leaf test alone the yearly rate would change by {change:+.0%}. " + _OFFICE
        if facts["tested"]
        else "A leaf test says more (place.soil.leaf_test).",
    ),
    "soil.dust": Words(
        "lime burns eyes and lungs; fertiliser harms whoever swallows it.",
        "Goggles, mask and gloves, no wind; store dry, locked, away from seed, fuel and feed.",
    ),
    "soil.runoff": Words(
        "fertiliser and lime washed into water are a harm and an offence.",
        "None before heavy rain, on frozen ground or near wells and streams; local rules set the distance.",
    ),
    "soil.manure": Words(
        "raw manure carries germs to fruit: at least 90 days before harvest, 120 where fruit touches the soil.",
        "Here: only the year before planting, worked in within three days, and none afterwards.",
    ),
    "soil.rests_on": Words(
        "lime by the laboratory’s own reading where there is one; rates of phosphate, potash and boron, and lime by "
        "texture, are from memory. They are starts, not prescriptions.",
        _OFFICE,
    ),
}
NUTRIENTS: Mapping[Nutrient, str] = {
    Nutrient.ACIDITY: "pH, [0-20 cm|0-8 in]",
    Nutrient.SUBSOIL: "pH, [20-40 cm|8-16 in]",
    Nutrient.ORGANIC: "organic matter, %",
    Nutrient.PHOSPHORUS: "phosphorus, ppm, with its method",
    Nutrient.POTASSIUM: "potassium, ppm",
    Nutrient.MAGNESIUM: "magnesium, ppm",
    Nutrient.SULPHUR: "sulphur, ppm",
    Nutrient.BORON: "boron, ppm",
    Nutrient.LESION: "root-lesion nematodes in [1 kg|2.2 lb] of soil",
    Nutrient.DAGGER: "dagger nematodes in [1 kg|2.2 lb] of soil",
    Nutrient.DRAINAGE: "hours until the hole is empty",
}
VERDICTS: Mapping[Level, str] = {Level.LOW: "low", Level.RIGHT: "right", Level.HIGH: "high"}
LIME: Mapping[LimeBy, str] = {
    LimeBy.ACIDITY: "by exchangeable acidity",
    LimeBy.BUFFER: "by buffer pH",
    LimeBy.CAROLINA: "by buffer pH, Carolina",
    LimeBy.TEXTURE: "by texture, a guess",
}
GIVEN: Mapping[Given, str] = {
    Given.PHOSPHATE: "phosphate (P₂O₅)",
    Given.POTASH: "potash (K₂O)",
    Given.BORON: "boron, broadcast, never in a band",
    Given.GYPSUM: "gypsum",
}
COVERS: Mapping[Cover, tuple[str, str]] = {
    Cover.SUDANGRASS: (
        "sudangrass",
        "mow at [90 cm|3 ft] down to [15-20 cm|6-8 in]; turn in at once after the last cut, eight to ten weeks on",
    ),
    Cover.BUCKWHEAT: ("buckwheat", "turn in before it seeds; frees phosphorus"),
    Cover.MUSTARD: ("mustard or rape that acts against nematodes", "turn in green next spring"),
    Cover.RADISH: ("radish on the rows to be", "frost kills it; loosens the pan"),
    Cover.RYE: ("winter rye", "kill before it seeds"),
    Cover.ALLEY_GRASS: (
        "grass of the alleys",
        "red fescue, tall fescue, ryegrass 2:2:1, no clover; a season before the trees",
    ),
}
ADVICE: Mapping[NitrogenAdvice, str] = {
    NitrogenAdvice.MORE: "a little more nitrogen next spring",
    NitrogenAdvice.AS_NOW: "nitrogen as now",
    NitrogenAdvice.LESS: "less nitrogen next spring",
    NitrogenAdvice.NONE: "no nitrogen next spring",
}
LEAVES: Mapping[Leaf, str] = {
    Leaf.NITROGEN: "nitrogen, %",
    Leaf.PHOSPHORUS: "phosphorus, %",
    Leaf.POTASSIUM: "potassium, %",
    Leaf.CALCIUM: "calcium, %",
    Leaf.MAGNESIUM: "magnesium, %",
    Leaf.BORON: "boron, ppm",
    Leaf.ZINC: "zinc, ppm",
    Leaf.MANGANESE: "manganese, ppm",
}
AGES: Mapping[Age, str] = {
    Age.YOUNG: "not bearing",
    Age.FIRST_CROPS: "first crops",
    Age.SOFT: "full grown, soft kinds",
    Age.HARD: "full grown, hard kinds",
}
