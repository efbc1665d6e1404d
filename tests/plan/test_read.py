"""The plan file: every fault at once, each with line, field and remedy."""

from operator import attrgetter

import pytest

from topwire.plan.changed import with_settings
from topwire.plan.known import every_setting
from topwire.plan.model import Plan
from topwire.plan.read import parse_plan, parse_yaml
from topwire.values.fault import Faults

GOOD = """\
name: Test
units: us
place:
  latitude: 39.2
  longitude: -78.1
  elevation: 700 ft
ground:
  blocks:
    - name: South
      rectangle: {length: 500 ft, width: 300 ft}
kitchen:
  needs:
    - {use: fresh, amount: 40 lb/week, from: 10 Aug, to: 20 May}
years: {planting: 2027}
"""


def test_a_short_plan_is_enough() -> None:
    plan = parse_plan(GOOD)
    assert isinstance(plan, Plan)
    assert plan.place.elevation == pytest.approx(213.36)
    assert plan.kitchen.needs[0].start is not None
    assert plan.kitchen.needs[0].start.day_of_year == 222
    assert plan.trees.tree_spacing == "choose"
    assert plan.trellis.wire_heights[-1] == 3.0


def broken(old: str, new: str) -> str:
    assert old in GOOD
    return GOOD.replace(old, new)


@pytest.mark.parametrize(
    ("text", "where", "says"),
    [
        (broken("latitude: 39.2", "latitude: 95"), "line 4, place.latitude", "out of bounds"),
        (broken("latitude: 39.2", "latitude: -39.2"), "line 4, place.latitude", "south of the equator"),
        (broken("latitude: 39.2", "latitude: north"), "line 4, place.latitude", "a number"),
        (broken("elevation: 700 ft", "elevation: 700"), "line 6, place.elevation", "without a unit"),
        (broken("elevation: 700 ft", "elevation: 700 lb"), "line 6, place.elevation", "measures mass"),
        (broken("elevation: 700 ft", "elevation: 720,0 ft"), "line 6, place.elevation", "write 720.0 with a point"),
        (broken("length: 500 ft", "length: 29,5 m"), "line 10", "a comma parts settings here, and “5 m” is none. Write"
         " length: 29.5 m."),
        (broken("latitude: 39.2", "latitude: 39,2"), "line 4, place.latitude", "has to be a number. Write 39.2."),
        (broken("units: us", "units: imperial"), "line 2, units", "Write one of: us or metric"),
        (broken("  elevation:", "  exposer: sheltered\n  elevation:"), "line 6", "Did you mean “exposure”"),
        (broken("use: fresh", "use: frsh"), "line 13, kitchen.needs[1].use", "Did you mean “fresh”"),
        (broken(", from: 10 Aug, to: 20 May", ""), "line 13, kitchen.needs[1]", "has its weeks"),
        (broken("40 lb/week", "40 lb"), "kitchen.needs[1].amount", "how often"),
        (broken("10 Aug", "31 Feb"), "kitchen.needs[1].from", "no day of the calendar"),
        (broken("10 Aug", "soon"), "kitchen.needs[1].from", "not a day of the year"),
        (broken("width: 300 ft", "breadth: 300 ft"), "rectangle.width", "missing"),
        (broken("rectangle: {length: 500 ft, width: 300 ft}", "slope: 3 %"), "ground.blocks[1]", "exactly one"),
        (broken("length: 500 ft", "length: 0 ft"), "line 10", "“0 ft” is out of bounds"),
        (broken("latitude: 39.2", "latitude: true"), "line 4, place.latitude", "has to be a number"),
        (broken("elevation: 700 ft", "elevation: true"), "line 6, place.elevation", "write for instance “12 ft”"),
        (broken("length: 500 ft", "length: -5 ft"), "rectangle.length", "more than"),
        (broken("planting: 2027", "planting: soon"), "years.planting", "a whole number"),
        (broken("years: {planting: 2027}\n", ""), "years", "missing"),
        (GOOD + "trees: {tree_spacing: 50 ft}\n", "line 15, trees", "tree_spacing"),
        (GOOD + "trees: {total: 0}\n", "trees", "between 1 and 30,000"),
        (GOOD + "trellis: {wire_heights: [9 ft, 3 ft]}\n", "trellis", "from the lowest to the top wire"),
        (GOOD + "trellis: {low_wire: 3 ft 3 in}\n", "trellis", "below the first training wire"),
        (GOOD + "taste: {fewest_cultivars: 30, most_cultivars: 10}\n", "taste", "above most_cultivars"),
        (GOOD + "taste: {must_have: [Gala], must_not_have: [Gala]}\n", "taste", "Gala stand under"),
        (GOOD + "nursery: {chance: 1.0}\n", "nursery.chance", "less than"),
        (GOOD + "nursery: {skill: expert}\n", "nursery.skill", "Write one of"),
        (GOOD + "money: {currency: dollars}\n", "money.currency", ""),
        (GOOD + "name: Again\n", "line 15", "stands twice"),
        (GOOD + "water: [1, 2\n", "line", "not YAML"),
        (GOOD + "ground2: *nope\n", "line 15", "there is no &nope before it"),
        (broken("2027}", "2027, begin: 2027-02-30}"), "line 14, years.begin", "for instance 2027-03-15"),
        (broken("2027}", "2027, begin: 0}"), "line 14, years.begin", "“0” is not a date"),
        (broken("name: Test", "name: [-_]"), "line 1, name", "has to be text"),
        (broken("name: Test", 'name: "\\UFFFFFFFF"'), "plan.yaml", "not YAML"),
        (GOOD + "guests: {web_address: " + "x" * 130 + "}\n", "guests.web_address", "130 signs; here it may have 120"),
        ("\tname: x\n", "line 1", "not YAML"),
        ("just words\n", "plan.yaml", "no plan in this file"),
        ("", "plan.yaml", "no plan in this file"),
        ("\x00\x01\x02", "plan.yaml", "not YAML"),
    ],
)  # fmt: skip
def test_says_what_is_wrong_and_where(text: str, where: str, says: str) -> None:
    with pytest.raises(Faults) as found:
        parse_plan(text)
    told = [str(notice) for notice in found.value.notices]
    assert any(where in line and says in line for line in told), told


@pytest.mark.parametrize(
    ("change", "where", "says"),
    [
        ("ground.headland=2000 ft", "ground.headland", "“2000 ft” is out of bounds: it has to be at most 98.4 ft."),
        ("place.elevation=-99999 feet", "place.elevation", "it has to be at least -328 ft."),
        ("place.elevation=720,0 ft", "place.elevation", "“720,0 ft” has a comma that is not understood; write 720.0"),
        ("place.frost_depth=20 ft", "place.frost_depth", "“20 ft” is out of bounds: it has to be at most 9.84 ft."),
        ("weather.warming=36 F", "weather.warming", "“36 F” is out of bounds: it has to be at most 10.7 F."),
        ("kitchen.cellar.temperature=90 F", "kitchen.cellar.temperature", "it has to be at most 59 F."),
        ("kitchen.cellar.capacity=0 lb", "kitchen.cellar.capacity", "it has to be more than 0 lb."),
        ("ground.blocks[1].rectangle.length=0 ft", "blocks[1].rectangle.length", "it has to be more than 6.57 ft."),
        ("ground.blocks[1].slope=900 %", "slope", "“900 %” is out of bounds: it has to be at most 60 %."),
        ("trees.tree_spacing=50 ft", "trees.tree_spacing", "“50 ft” is out of bounds: it has to be at most 19.6 ft."),
        ("water.flow=99999 gpm", "water.flow", "it has to be at most 3,170 gpm."),
        ("water.bacteria=1e10", "water.bacteria", "it has to be at most 1000000000."),
        ("ground.gate=[1 ft, 2 ft, 3 ft]", "ground.gate", "this has 3 values; it takes 2."),
        ("ground.gate=[1 ft]", "ground.gate", "this has 1 value; it takes 2."),
        ("ground.heights=[[1 ft, 2 ft]]", "ground.heights[1]", "this has 2 values; it takes 3."),
        ("weather.files=[]", "weather.files", "this has no entries; it takes at least 1."),
        ("nursery.wood={Foxwhelp: true}", "nursery.wood.Foxwhelp", "a whole number"),
        ("kitchen.closed_weeks=[3, true]", "kitchen.closed_weeks[2]", "a whole number"),
        ("kitchen.tanks=[{volume: 60 gal, number: true}]", "kitchen.tanks[1].number", "a whole number"),
    ],
)  # fmt: skip
def test_bounds_are_told_in_what_was_written(change: str, where: str, says: str) -> None:
    tree = parse_yaml(GOOD, "plan.yaml")
    with_settings(tree, [change])
    with pytest.raises(Faults) as found:
        parse_plan(GOOD, tree=tree)
    told = [str(notice) for notice in found.value.notices]
    assert any(f"{where}: " in line and says in line for line in told), told


def of_true(setting: str) -> str:
    """What becomes of “true” in a setting: its value, or what is told."""
    tree = parse_yaml(GOOD, "plan.yaml")
    with_settings(tree, [f"{setting}=true"])
    try:
        return str(attrgetter(setting)(parse_plan(GOOD, tree=tree)))
    except Faults as found:
        return str(found)


@pytest.mark.parametrize("setting", every_setting())
def test_true_is_true_or_told_and_never_a_number(setting: str) -> None:
    became = of_true(setting)
    assert became == "True" or f", {setting}: " in became


def test_where_a_section_or_a_word_may_stand_only_the_section_is_judged() -> None:
    with pytest.raises(Faults) as found:
        parse_plan(broken("use: fresh", "use: juice, blend: {acid_low: true}"))
    assert [notice.where for notice in found.value.notices] == [
        "plan.yaml, line 13, kitchen.needs[1].blend.acid_low"
    ]


def test_tells_all_faults_together_in_the_files_order() -> None:
    text = GOOD.replace("39.2", "95").replace("700 ft", "700").replace("fresh", "frsh")
    with pytest.raises(Faults) as found:
        parse_plan(text)
    places = [notice.where.split(", ")[1] for notice in found.value.notices]
    assert places == ["line 4", "line 6", "line 13"]


def test_two_blocks_of_one_name() -> None:
    block = "    - name: South\n      rectangle: {length: 500 ft, width: 300 ft}\n"
    with pytest.raises(Faults, match="two blocks are called South"):
        parse_plan(GOOD.replace(block, block + block))
    with pytest.raises(Faults, match=r"ground: two blocks are called South and SOUTH; .*more than capitals"):
        parse_plan(GOOD.replace(block, block + block.replace("South", "SOUTH")))
