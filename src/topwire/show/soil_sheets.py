"""Sheets of the soil: the test, lime, what is worked in, covers, feeding, leaf test, bill."""

from topwire.show.bill_sheet import bill_sheet
from topwire.show.sheet import Column, LinkKind, Sheet, Value, setting, sheet_of
from topwire.soil.bill import sown_share
from topwire.soil.covers import Cover, CoverWindow
from topwire.soil.findings import SoilFindings
from topwire.tell.reader import Reader
from topwire.tell.soil import AGES, COVERS, GIVEN, LEAVES, LIME, NUTRIENTS, VERDICTS
from topwire.tell.words import in_system
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_TEST = setting("place.soil.test")
_SOURCE = Column("source", "source", leads=LinkKind.SOURCE)


def sheets(found: SoilFindings, planting: int, reader: Reader) -> list[Sheet]:
    made = [test(found, reader)]
    if found.lime:
        made.append(lime(found))
    if found.dressings:
        made.append(dressings(found, reader))
    if found.amounts:
        made.append(amounts(found))
    return [
        *made,
        covers(found, reader),
        feeding(found, planting, reader),
        leaf_test(found),
        bill_sheet("soil.bill", "Bill of the soil", found.bill, found.currency, reader),
    ]


def test(found: SoilFindings, reader: Reader) -> Sheet:
    return sheet_of(
        "soil.test",
        "What the soil test says" if found.tested else "What to have tested",
        (
            Column("nutrient", "what", width=2, of=lambda line: in_system(NUTRIENTS[line.nutrient], reader)),
            Column("value", "your test", Plain.COUNT, 1, width=0.8, links=_TEST),
            Column("least", "right from", Plain.COUNT, 1, width=0.8),
            Column("most", "to", Plain.COUNT, 1, width=0.6),
            Column("verdict", "so it is", width=0.7, of=_verdict),
            _SOURCE,
        ),
        found.readings,
        "Eight to ten cores a sample; nematodes in early autumn, from warm moist soil, kept cool and alive. Limits of "
        "phosphorus are those of the bicarbonate method.",
    )


def _verdict(line: object) -> Value:
    verdict = getattr(line, "verdict", None)
    return "" if verdict is None else VERDICTS[verdict]


def lime(found: SoilFindings) -> Sheet:
    return sheet_of(
        "soil.lime",
        "Lime",
        (
            Column("by", "reckoned", width=1.6, words=LIME, links=_TEST),
            Column("pure", "pure lime", Kind.CROP, 1, width=0.9),
            Column(
                "as_spread",
                "of your lime",
                Kind.CROP,
                1,
                width=0.9,
                links=setting("place.soil.lime_effective"),
            ),
            Column("chosen", "this plan", width=0.6),
            _SOURCE,
        ),
        found.lime,
        "For the depth worked; the surest reading the test allows is taken.",
    )


def dressings(found: SoilFindings, reader: Reader) -> Sheet:
    return sheet_of(
        "soil.dressings",
        "Lime, dressing by dressing",
        (
            Column("months", "months before planting"),
            Column("on_ground", "on the ground", Kind.CROP, 1),
            Column("amount", "for the blocks", Kind.MASS, 0),
        ),
        found.dressings,
        in_system(
            "Half a year apart, the first before the deep working. Once trees stand: at most "
            "[2.2 t a hectare|1 ton an acre] a year on top.",
            reader,
        ),
    )


def amounts(found: SoilFindings) -> Sheet:
    return sheet_of(
        "soil.amounts",
        "What else is worked in",
        (
            Column("given", "what", width=2, words=GIVEN, links=_TEST),
            Column("least", "for the blocks, from", Kind.MASS, 0),
            Column("most", "to", Kind.MASS, 0),
            _SOURCE,
        ),
        found.amounts,
        "Potash and phosphate one to two years ahead on loam, potash shortly before on sand. Too much potash breeds "
        "bitter pit.",
    )


def covers(found: SoilFindings, reader: Reader) -> Sheet:
    area = found.area

    def seed(line: CoverWindow) -> str:
        least, most = (
            reader.text(getattr(line, name) * area * sown_share(line.cover), Kind.MASS, 1)
            for name in ("seed_least", "seed_most")
        )
        return f"{least} to {most}"

    return sheet_of(
        "soil.covers",
        "Covers, and the weeks to sow them here",
        (
            Column("cover", "cover", width=1.5, of=lambda line: COVERS[line.cover][0]),
            Column("first", "sow from", Plain.DAY_OF_YEAR, width=0.7),
            Column("last", "to", Plain.DAY_OF_YEAR, width=0.7),
            Column("seed", "seed for the blocks", width=1.2, of=seed),
            Column("how", "how", width=2.5, of=lambda line: in_system(COVERS[line.cover][1], reader)),
            _SOURCE,
        ),
        found.covers,
        "By this place's frosts and the warmth of its soil. On the bill: sudangrass, mustard, grass of the alleys, the "
        f"middle of their seed; the alleys are {sown_share(Cover.ALLEY_GRASS):.0%} of the blocks.",
    )


def feeding(found: SoilFindings, planting: int, reader: Reader) -> Sheet:
    return sheet_of(
        "soil.feeding",
        "Nitrogen of the first leaves",
        (
            Column("leaf", "leaf"),
            Column("summer", "summer of", Plain.YEAR, of=lambda line: planting + line.leaf),
            Column("tree", "nitrogen a tree", Kind.SMALL_MASS, 2),
            Column("product", "as 46 % fertiliser", Kind.SMALL_MASS, 2),
            Column("orchard", "nitrogen in all", Kind.MASS, 1),
        ),
        found.feeding,
        in_system(
            "In thirds from petal fall to early July, [30 cm|12 in] off the trunk, none in the hole (FEED-TFPG). From "
            "leaf 4 on shoots and leaf test decide: not bearing [38-76 cm|15-30 in] of shoot, "
            "bearing [30-36 cm|12-14 in].",
            reader,
        ),
    )


def leaf_test(found: SoilFindings) -> Sheet:
    return sheet_of(
        "soil.leaf",
        "The leaf test",
        (
            Column("leaf", "what", words=LEAVES, width=1.2),
            Column("age", "trees", width=1, of=lambda line: "" if line.age is None else AGES[line.age]),
            Column("value", "your test", Plain.COUNT, 2, width=0.8, links=setting("place.soil.leaf_test")),
            Column("least", "right from", Plain.COUNT, 2, width=0.8),
            Column("most", "to", Plain.COUNT, 2, width=0.7),
            Column("verdict", "so it is", width=0.7, of=_verdict),
            _SOURCE,
        ),
        found.leaf,
        "A hundred leaves with their stalks from the middle of shoots, ten trees, one cultivar, 60 to 70 days after "
        "petal fall; the weakest and the strongest kinds are enough. A tenth more nitrogen moves the leaf by 0.1 %.",
    )
