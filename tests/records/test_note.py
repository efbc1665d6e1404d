"""Notes in plain words: what is understood, in which units, and what near misses are told."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.records.entries import Counted, Entry, EntryKind, FruitGrade, LotFate, SeenStage, TreeEvent
from topwire.records.note import NoteWords, address_of, examples, read_note
from topwire.records.note_forms import FORMS
from topwire.records.words_left import NotUnderstood
from topwire.tell.reader import Reader
from topwire.tell.recorded import said
from topwire.values.units import UnitSystem

WORDS = NoteWords(Catalogue(read_tables()).names, ("South", "Meadow", "Old Lane"), 2028)
TODAY = date(2031, 9, 14)


def read(text: str) -> Entry:
    (entry,) = read_note(text, WORDS, today=TODAY)
    return entry


def facts(entry: Entry, *names: str) -> tuple[Any, ...]:
    return tuple(getattr(entry, name) for name in names)


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("South 3, tree 41 dead", "tree", {"where": "South 3, tree 41", "event": TreeEvent.DIED}),
        ("Old Lane 2 tree 7 replaced by Wealthy on G.41", "tree",
         {"where": "Old Lane 2, tree 7", "event": TreeEvent.REPLACED, "cultivar": "Wealthy", "rootstock": "G.41"}),
        ("South 1, tree 5 re-grafted to gold rush", "tree", {"event": TreeEvent.REGRAFTED, "cultivar": "GoldRush"}),
        ("South 1, tree 5 grafted Wealthy on Gala", "tree", {"event": TreeEvent.REGRAFTED, "cultivar": "Wealthy"}),
        ("South 1, tree 5 re-grafted to Wealthy from Gala", "tree", {"cultivar": "Wealthy"}),
        ("South 1, tree 5 grafted over with Wealthy from Gala", "tree", {"cultivar": "Wealthy"}),
        ("South 1, tree 5 replaced with Wealthy, was Gala", "tree", {"cultivar": "Wealthy"}),
        ("South 1, tree 5, Gala replaced by Wealthy", "tree", {"cultivar": "Wealthy"}),
        ("South 1, tree 5 re-grafted from Gala to Wealthy", "tree", {"cultivar": "Wealthy"}),
        ("sold 200 lb Wealthy for cider", "sale", {"what": "fruit", "remark": "cider"}),
        ("South 3, tree 5 Gala planted, Gala", "tree", {"cultivar": "Gala"}),
        ("sold 3 bushels Wealthy, 40 lb each, for $90", "sale", {"mass": 54.431, "money": 90.0, "pieces": None}),
        ("Golden Delicious full bloom", "stage", {"cultivar": "Golden Delicious", "stage": SeenStage.FULL_BLOOM}),
        ("28 April 2031: Gala in full bloom, South 2", "stage", {"day": date(2031, 4, 28), "where": "South 2"}),
        ("Apr 28 Gala petal fall", "stage", {"day": date(2031, 4, 28), "stage": SeenStage.PETAL_FALL}),
        ("3 Dec Gala leaf fall", "stage", {"day": date(2030, 12, 3)}),
        ("yesterday picked 120 lb Wealthy from Meadow 2 into crate 14", "pick",
         {"day": date(2031, 9, 13), "mass": 54.431, "where": "Meadow 2", "lot": "crate 14", "cultivar": "Wealthy"}),
        ("picked 54 kg Wealthy, windfalls, 3 crates", "pick",
         {"mass": 54.0, "grade": FruitGrade.WINDFALL, "crates": 3}),
        ("Picked 1,200 LB of Wealthy for the press", "pick", {"mass": 544.311, "grade": FruitGrade.PRESS}),
        ("used 10 lb Wealthy from crate 14", "cellar", {"fate": LotFate.KITCHEN, "mass": 4.536, "lot": "crate 14"}),
        ("moved 40 lb from crate 14 to the pantry", "cellar", {"fate": LotFate.MOVED, "stored": "pantry"}),
        ("put crate 14 in the cellar", "cellar", {"fate": LotFate.MOVED, "lot": "crate 14", "stored": "cellar"}),
        ("lost 5 lb Wealthy from crate 14 to rot", "cellar", {"fate": LotFate.LOST, "remark": "rot"}),
        ("pressed 200 lb Wealthy to 14 gal, Brix 13.1, pH 3.7, batch 3", "pressing",
         {"mass": 90.718, "volume": 0.05300, "brix": 13.1, "ph": 3.7, "batch": "3"}),
        ("batch 3 racked, pH 3.6", "batch", {"batch": "3", "step": "racked", "ph": 3.6}),
        ("sold 20 lb Wealthy for $36", "sale", {"mass": 9.0718, "money": 36.0, "what": "fruit"}),
        ("served 24 apple pie with 12 lb Wealthy", "service", {"dish": "apple pie", "portions": 24, "mass": 5.443}),
        ("South 3, tree 41 trunk 1.2 in", "trunk", {"diameter": 0.03048}),
        ("South 3, tree 41 trunk 31 mm at 30 cm", "trunk", {"diameter": 0.031, "above_union": 0.3}),
        ("South 3, tree 41 height 7 ft 6 in", "height", {"height": 2.286}),
        ("South 3 Wealthy 240 fruitlets on 3 trees", "count", {"counted": Counted.FRUITLETS, "count": 240, "trees": 3}),
        ("Wealthy sizes 22 24.5 26 mm", "size", {"diameters": (0.022, 0.0245, 0.026), "leaf": 3}),
        ("Wealthy fruitlet 7 cluster 2 12.1 mm", "size", {"tag": "7", "cluster": "2", "diameters": (0.0121,)}),
        ("Wealthy fruitlet 7 fallen", "size", {"tag": "7", "diameters": ()}),
        ("Wealthy starch 4, firmness 16 lb, Brix 12.5, weight 6 oz", "test",
         {"starch": 4.0, "firmness": 71.172, "brix": 12.5, "mass": 0.17010}),
        ("seen scab on 5 % of leaves, South 2", "pest", {"what": "scab", "share": 0.05, "on": "leaves"}),
        ("seen 3 codling moth in trap", "pest", {"what": "codling moth", "count": 3, "on": "trap"}),
        ("soil test South: pH 6.4, potassium 120 ppm", "sample", {"of": "soil", "where": "South"}),
        ("water pH 7.2", "ph", {"of": "water", "ph": 7.2}),
        ("low 28 F in the hollow, rain 0.2 in", "weather", {"low": -2.2222, "rain": 5.08, "at": "hollow"}),
        ("high 91 F", "weather", {"high": 32.7778}),
        ("rain 5 mm", "weather", {"rain": 5.0}),
        ("low 28 F, high 60 F, rain 0.2 in", "weather", {"low": -2.2222, "high": 15.5556, "rain": 5.08}),
        ("cellar 36 F 90 %", "cellar_reading", {"temperature": 2.2222, "humidity": 0.9}),
        ("watered South 2 h", "watering", {"hours": 2.0, "where": "South"}),
        ("watered South 2, 2 h 30 min", "watering", {"hours": 2.5, "where": "South 2"}),
        ("grafted 25 Wealthy, 22 took", "take", {"started": 25, "good": 22}),
        ("crate 14 90 % sound", "lot", {"lot": "crate 14", "sound": 0.9}),
        ("crate 14 10 % rotten", "lot", {"sound": 0.9}),
        ("pruning South 3, 2.5 h", "work", {"job": "pruning", "hours": 2.5, "where": "South 3"}),
        ("3 h mowing by 2 people", "work", {"job": "mowing", "hours": 3.0, "hands": 2}),
        ("South 3, tree 41 dead (voles)", "tree", {"remark": "voles"}),
        ("tree 41 in South 3 dead", "tree", {"where": "South 3, tree 41"}),
        ("Ann pruned South 3, 2 h", "work", {"job": "pruning", "remark": "Ann", "hours": 2.0}),
        ("winter pruning South 3, 90 min", "work", {"job": "winter pruning", "hours": 1.5}),
        ("fire blight on South 2, tree 14", "pest", {"what": "fire blight", "where": "South 2, tree 14"}),
        ("trap: 4 codling moth", "pest", {"what": "codling moth", "count": 4, "on": "trap"}),
        ("27 F in the hollow", "weather", {"low": -2.7778, "high": None}),
        ("frost last night, low 27 F", "weather", {"low": -2.7778}),
        ("20 lb Wealthy to the kitchen", "cellar", {"fate": LotFate.KITCHEN, "mass": 9.0718}),
        ("all picked: Wealthy", "stage", {"stage": SeenStage.LAST_PICK}),
        ("Wealthy full bloom May 3", "stage", {"day": date(2031, 5, 3)}),
        ("Wealthy 88 clusters per tree on 3 trees", "count", {"count": 264, "trees": 3}),
        ("Wealthy 14 lb firmness", "test", {"firmness": 62.275}),
        ("no hail", "pest", {"what": "hail", "count": 0}),
        ("no codling moth in trap", "pest", {"what": "codling moth", "on": "trap", "count": 0}),
        ("codling moth in trap: none", "pest", {"what": "codling moth", "count": 0}),
        ("no damage by voles", "pest", {"what": "voles", "count": 0}),
        ("without scab on leaves", "pest", {"what": "scab", "count": 0}),
        ("did not see any hail", "pest", {"what": "hail", "count": 0}),
        ("hail, no damage", "pest", {"what": "hail", "count": None, "remark": "no damage"}),
        ("seen scab on 5 of 100 leaves", "pest", {"what": "scab", "share": 0.05, "on": "leaves"}),
        ("scab on 5 of 100 fruits", "pest", {"what": "scab", "share": 0.05, "on": "fruits"}),
        ("hail on 5 % of the crop", "pest", {"what": "hail", "share": 0.05, "on": "crop"}),
        ("crate 14: 90 of 100 sound", "lot", {"sound": 0.9}),
        ("Wealthy sizes 22, 24, 26 mm", "size", {"diameters": (0.022, 0.024, 0.026)}),
        ("South 3, tree 4,trunk 31 mm", "trunk", {"where": "South 3, tree 4"}),
        ("sold 20 lb Wealthy at $2/lb", "sale", {"money": 40.0, "what": "fruit"}),
        ("sold 20 kg Wealthy at 2 per lb", "sale", {"money": 88.18}),
        ("sold 12 jars at $3 each", "sale", {"money": 36.0, "pieces": 12, "what": "jars"}),
        ("sold 20 lb Wealthy for 1,200.50", "sale", {"money": 1200.5}),
        ("pruning, 2 h each, 3 hands", "work", {"hours": 6.0, "hands": 3}),
        ("pruning 2 hours per person, 3 hands", "work", {"hours": 6.0, "hands": 3, "remark": ""}),
        ("picked 3 crates Wealthy, 40 lb each", "pick", {"mass": 54.431, "crates": 3}),
        ("cooler 2 36 F 90 %", "cellar_reading", {"stored": "cooler 2", "temperature": 2.2222}),
        ("chip budded 30 Winesap, 25 took", "take", {"started": 30, "good": 25, "remark": "buds"}),
        ("25 of 30 buds took, Winesap (dry)", "take", {"started": 30, "good": 25, "remark": "buds; dry"}),
        ("grafted 25 Wealthy, took 22", "take", {"started": 25, "good": 22}),
        ("bench grafted 30 Winesap, 25 took", "take", {"started": 30, "good": 25, "remark": ""}),
        ("field grafted 30 Winesap, none took", "take", {"started": 30, "good": 0, "remark": "field grafts"}),
        ("Meadow 2, tree 80 budded with Winesap", "tree", {"event": TreeEvent.REGRAFTED, "cultivar": "Winesap"}),
        ("budded, 3 h", "work", {"job": "budding", "hours": 3.0}),
    ],
)  # fmt: skip
def test_what_is_understood(text: str, kind: str, expected: dict[str, Any]) -> None:
    entry = read(text)
    assert kind == entry.KIND
    for name, value in expected.items():
        found = getattr(entry, name)
        assert found == (pytest.approx(value, rel=1e-4) if isinstance(value, float | tuple) else value), name


def test_a_range_of_trees_is_an_entry_for_each() -> None:
    made = read_note("South 3, trees 41-44 planted with Wealthy on G.41", WORDS, today=TODAY)
    assert [entry.where for entry in made] == [f"South 3, tree {number}" for number in range(41, 45)]
    assert len({entry.identity for entry in made}) == 4


def test_trees_may_be_listed() -> None:
    made = read_note("South 3, trees 4-6, 9 and 12 dead", WORDS, today=TODAY)
    assert [entry.place for entry in made] == [4, 5, 6, 9, 12]


def test_two_cultivars_in_bloom_are_two_entries() -> None:
    made = read_note("Gala and Wealthy full bloom", WORDS, today=TODAY)
    assert [entry.cultivar for entry in made] == ["Gala", "Wealthy"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("South 3, tree 41 ded", "“ded” is not understood. Did you mean “d.*tree 41 dead"),
        ("Sooth 3, tree 41 dead", "Did you mean South"),
        ("picked 120 lb Welthy from Meadow 2", "Did you mean Wealthy"),
        ("picked 120 Wealthy from Meadow 2", "of which unit"),
        ("picked Wealthy from Meadow 2", "how much"),
        ("picked 120 lb from Meadow 2", "which cultivar"),
        ("South 3 dead", "which tree"),
        ("full bloom", "which cultivar"),
        ("31 June: Gala full bloom", "is no day"),
        ("20 September 2031 Gala full bloom", "yet to come"),
        ("Gala full bloom 2099-01-01", "yet to come"),
        ("12 May 0001: South 2, tree 9 dead", "0001-05-12 lies before 1900"),
        ("South 3, tree 41 trunk", "how thick"),
        ("South 3, tree 41 trunk 31", "not understood|how thick"),
        ("Wealthy starch 14", "1 to 8"),
        ("Gala full bloom tremendously", "“tremendously” is not understood"),
        ("grafted 25 Wealthy, 27 took", "no count"),
        ("picked 3 crates of Wealthy from Meadow 2", "how heavy"),
        ("picked 60 lb Wealthy and 40 lb Gala", "Write a note for each"),
        ("12/5 Wealthy full bloom", "may be two days"),
        ("hello there", "does not say what happened"),
        ("South 3, trees 44-41 dead", "no range"),
        ("picked -5 lb Wealthy from Meadow 2", "mass: “-5 lb” does not fit: above 0 to 220,462 lb"),
        ("low -200 F", "low: “-200 F” does not fit: -76 to 140 F"),
        ("Wealthy sizes 22 in", "diameters: “22 in” does not fit: above 0 to 5.9 in"),
        ("Wealthy firmness 1,000 lb", "firmness: “1,000 lb” does not fit: above 0 to 67.4 lbf"),
        ("no hail, scab on 5 % of leaves", "“no”, and a figure"),
        ("rot on fruit without bags", "“without” is not understood"),
        ("South 3, tree 4 trunk 30,5 mm", r"“30,5” is not understood. Write 30\.5"),
        ("picked 12,5 kg Wealthy", r"Write 12\.5"),
        ("pruning Meadow 3, 2,5 h", r"Write 2\.5"),
        ("low -2,5 C in the hollow", r"Write 2\.5"),
        ("sold 20 kg Wealthy for 36,50", r"Write 36\.50"),
        ("Wealthy sizes 22,5 24,1 26,3 mm", r"Write 22\.5"),
        ("Wealthy sizes 22,24,26 mm", "blank after each comma: 22, 24, 26"),
        ("Wealthy starch 4,5, firmness 71,2 N", r"Write 4\.5"),
        ("Wealthy firmness 71,2 N", r"Write 71\.2"),
        ("low 28 F, rain 0,500 in", r"Write 0\.500"),
        ("sold 20 lb Wealthy for EUR 36", "“EUR 36” is not understood. Money is in the plan's currency"),
        ("sold 20 lb Wealthy for 36 EUR", "plan's currency"),
        ("sold 20 lb Wealthy for -36", "“-36” is not understood"),
        ("sold 20 lb Wealthy at -2/lb", "“-2/lb” is not understood"),
        ("sold 20 lb Wealthy -$36", "is not understood"),
        ("sold 20 lb Wealthy at $2 per crate", "how much is that in all"),
        ("pruning South 3, 2 h each", "“each”: of how many hands"),
        ("pruning 10 trees, 6 min per tree", "“per” is not understood. Write what it comes to in all"),
        ("Wealthy 2.5 fruitlets on 3 trees", "no whole number"),
        ("frost 28", "28 of what. Write a cold night as low 28 F"),
        ("seen 5-10 codling moth in trap", "“5-10” is not understood"),
        ("seen scab on 15 of 10 leaves", "no share"),
        ("low 28 in the hollow", "“low 28”: of which unit"),
        ("low 28 F, rain 0.2", r"“rain 0\.2”: of which unit"),
        ("grafted 25 Wealthy", "“grafted 25”: how many took.*grafted 25 Wealthy, 22 took"),
        ("25 Wealthy budded", "“25 budded”: how many took.*chip budded 30 Wealthy, 25 took"),
        ("bud the failures", "chip budded 30 Wealthy, 25 took"),
        (
            "South 4, tree 1 Gala Wealthy replaced",
            "Gala and Wealthy: which stands there now.*replaced by Wealthy",
        ),
        ("fire blight on South 4, 12", "“12” after the row: a tree.*South 4, tree 12.*12 strikes"),
        ("picked 2 crates of 40 lb Wealthy", "of each, or in all"),
        ("sold 3 bushels Wealthy for $90", "how heavy are they"),
        ("budwood came", "chip budded 30 Wealthy.*grafted 25 Wealthy.*tree 41 budded with Wealthy"),
    ],
)
def test_near_misses_are_told_with_what_would_be_right(text: str, says: str) -> None:
    with pytest.raises(NotUnderstood, match=says):
        read(text)


def test_of_blocks_that_differ_in_capitals_alone_the_one_written_is_meant() -> None:
    words = replace(WORDS, blocks=("South", "south"))
    for block in words.blocks:
        (entry,) = read_note(f"{block} 1, tree 4 dead", words, today=TODAY)
        assert entry.where == f"{block} 1, tree 4"
        assert address_of(f"{block} 1, tree 4", words).block == block
    with pytest.raises(NotUnderstood, match="“SOUTH” may be South or south"):
        read_note("SOUTH 1, tree 4 dead", words, today=TODAY)


def test_the_example_of_every_form_is_understood_as_that_form() -> None:
    for form, example in zip(FORMS, examples(WORDS), strict=True):
        assert read(example).KIND is form.kind, example
    assert {form.kind for form in FORMS} == set(EntryKind) - {EntryKind.UNDO}


@pytest.mark.parametrize("system", list(UnitSystem))
def test_the_echo_is_read_in_the_readers_units(system: UnitSystem) -> None:
    entry = read("picked 120 lb Wealthy from Meadow 2 into crate 14")
    mass = "120\u00a0lb" if system is UnitSystem.US else "54\u00a0kg"
    assert said(entry, Reader(system)) == (
        f"14 Sep 2031: picked {mass} of Wealthy, Meadow 2, into crate 14 (table)"
    )
    for example in examples(WORDS):
        told = said(read(example), Reader(system))
        assert "None" not in told, told
        assert "  " not in told, told
