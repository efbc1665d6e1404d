"""Entries out to CSV and in again, and lines of the older tables brought in for good."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from records.support import every_kind
from records.test_read import CATALOGUE, write

from topwire.engine.brought_in import brought_in
from topwire.records.csv_form import csv_of, entries_of
from topwire.records.entries import EntryKind, FruitPicked, How, SampleTested
from topwire.records.form import NotAnEntry, same
from topwire.records.read import read_records
from topwire.records.store import open_store
from topwire.values.fault import Faults

NAMES = CATALOGUE.names
ONE = "0b0e3a52-7c1f-4c3e-9f6a-1d2c3b4a5f60"


def test_every_kind_comes_back_whole() -> None:
    for entry in every_kind():
        text = csv_of(entry.KIND, [entry])
        (back,) = entries_of(text, entry.KIND, "x.csv", NAMES)
        assert same(back, entry), text


def test_a_figure_may_bring_its_own_unit_and_a_cultivar_any_name(tmp_path: Path) -> None:
    text = "day,cultivar,mass_kg,grade\n2031-09-14,wealthy,120 lb,kitchen\n2031-09-15,Gold Rush,54,\n"
    one, other = entries_of(text, EntryKind.PICK, "pick.csv", NAMES)
    assert isinstance(one, FruitPicked)
    assert one.mass == pytest.approx(54.431, abs=1e-3)
    assert (one.cultivar, other.cultivar, one.how) == ("Wealthy", "GoldRush", How.IMPORT)
    assert one.noted.date() == one.day  # a replay of that evening knows it
    assert entries_of(text, EntryKind.PICK, "pick.csv", NAMES) == (
        one,
        other,
    )  # the same line, the same entry


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("day,mass\n2031-09-14,3\n", "there is no column “mass”. Did you mean “mass_kg”?"),
        ("day;mass_kg\n2031-09-14;3,5\n", "line 1: its cells are parted by semicolons, not commas"),
        ("mass_kg\n3\n", "the column “day” is missing"),
        ("day,mass_kg\n14.9.2031,3\n", "line 2, column day: “14.9.2031”: write a date as 2031-05-12"),
        ("day,mass_kg\n2031-09-14,3 ft\n", "column mass_kg"),
        ("day,mass_kg\n2031-09-14,\n", "column mass_kg: “”: it may not be empty"),
        ("day,mass_kg,grade\n2031-09-14,3,kitschen\n", "did you mean “kitchen”?"),
        (
            "day,mass_kg,cultivar\n2031-09-14,3,Welthy\n",
            "column cultivar: “Welthy”: no cultivar of the catalogue; did you mean Wealthy?",
        ),
        ("day,mass_kg\n2031-09-14,-5 lb\n", "column mass_kg: “-5 lb” does not fit: above 0 to 220,462 lb."),
        ("day,mass_kg\n2031-09-14,-5\n", "column mass_kg: “-5”: -5 kg does not fit: above 0 to 100,000 kg."),
        (
            'day,mass_kg\n2031-09-14,"12,5 lb"\n',
            "column mass_kg: “12,5 lb” has a comma that is not understood",
        ),
        (
            'day,mass_kg\n2031-09-14,"12,5"\n',
            "line 2, column mass_kg: “12,5” has a comma that is not understood",
        ),
        ("day,mass_kg,row\n2031-09-14,3,2\n", "a row needs its block"),
        (
            f"identity,day,mass_kg\n{ONE},2031-09-14,3\n{ONE},2031-09-15,4\n",
            f"line 3, column identity: “{ONE}”: line 2 has it too, and says something else",
        ),
        (
            "day,mass_kg,block\n2031-09-14,3,Medow\n",
            "column block: “Medow”: no block of the plan; did you mean Meadow?",
        ),
    ],
)
def test_what_does_not_fit_is_told_with_line_and_column(text: str, says: str) -> None:
    with pytest.raises(Faults) as found:
        entries_of(text, EntryKind.PICK, "pick.csv", NAMES, blocks=("Meadow", "Lane"))
    assert any(says in str(notice) for notice in found.value.notices), found.value


def test_two_lines_alike_are_two_entries_and_a_block_is_the_plans() -> None:
    text = "day,mass_kg,block\n2031-09-14,20,meadow\n2031-09-14,20,meadow\n"
    one, other = entries_of(text, EntryKind.PICK, "pick.csv", NAMES, blocks=("Meadow", "Lane"))
    assert (one.block, other.block) == ("Meadow", "Meadow")
    assert one.identity != other.identity
    assert entries_of(text, EntryKind.PICK, "pick.csv", NAMES, blocks=("Meadow", "Lane")) == (one, other)


def test_a_short_line_is_read_and_an_entry_of_before_may_be_of_a_block_that_is_no_more() -> None:
    (short,) = entries_of("day,mass_kg,identity\n2031-09-14,3\n", EntryKind.PICK, "pick.csv", NAMES)
    assert (short.day, bool(short.identity)) == (date(2031, 9, 14), True)
    text = f"identity,day,mass_kg,block\n{ONE},2031-09-14,3,Yard\n"
    (before,) = entries_of(text, EntryKind.PICK, "pick.csv", NAMES, blocks=("Meadow", "Lane"))
    assert before.block == "Yard"


def test_of_one_identity_two_different_entries_are_not_kept(tmp_path: Path) -> None:
    one, other = every_kind()[:2]
    with open_store(tmp_path) as store, pytest.raises(NotAnEntry, match="sent twice"):
        store.append([one, replace(other, identity=one.identity)])


def test_a_figure_without_a_kind_says_point_for_comma_too() -> None:
    for kind, text in ((EntryKind.PH, 'day,of,ph\n2031-09-14,juice,"3,6"\n'),
                       (EntryKind.SAMPLE, 'day,of,figures\n2031-09-14,soil,"pH=3,6"\n')):  # fmt: skip
        with pytest.raises(Faults, match=r"write 3\.6 with a point"):
            entries_of(text, kind, "x.csv", NAMES)


def test_a_folder_of_files_is_read_whole_or_not_at_all(tmp_path: Path) -> None:
    for entry in every_kind():
        (tmp_path / f"{entry.KIND}.csv").write_text(csv_of(entry.KIND, [entry]), encoding="utf-8")
    with open_store(tmp_path) as store:
        assert len(store.append(brought_in(tmp_path, NAMES)).saved) == len(EntryKind)
        assert store.append(brought_in(tmp_path, NAMES)).saved == ()
    (tmp_path / "picks.csv").write_text("day\n", encoding="utf-8")
    with pytest.raises(Faults, match=r"Did you mean pick\.csv"):
        brought_in(tmp_path, NAMES)


def test_lines_of_the_older_tables_become_the_entries_they_are(tmp_path: Path) -> None:
    write(tmp_path, "bloom", "entry,cultivar,event,date\n1,Gala,full bloom,2031-04-28\n")
    write(tmp_path, "takes", "lot,cultivar,year,started,good\na,Gala,2031,25,22\nb,Gala,,10,9\n")
    before = {name: len(table.rows) for name, table in read_records(tmp_path, CATALOGUE).tables.items()}
    with open_store(tmp_path) as store:
        for name in ("bloom", "takes"):
            store.append(brought_in(tmp_path / "records" / f"{name}.csv", NAMES))
        assert len(store.entries()) == 2
    after = {name: len(table.rows) for name, table in read_records(tmp_path, CATALOGUE).tables.items()}
    assert after == before  # one truth


@pytest.mark.parametrize(
    ("day", "says"), [("2099-01-01", "is yet to come"), ("0001-05-12", "lies before 1900")]
)
def test_no_file_brings_in_what_cannot_have_been(tmp_path: Path, day: str, says: str) -> None:
    today = date(2031, 9, 14)
    for name, text in (
        ("pick", f"day,mass_kg\n2031-09-15,1\n{day},20\n"),  # a day is allowed for other clocks
        ("bloom", f"entry,cultivar,event,date\n1,Gala,full bloom,2031-04-28\n2,Gala,full bloom,{day}\n"),
    ):
        path = tmp_path / f"{name}.csv"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(Faults, match=rf"{name}\.csv.*line 3.*{says}") as found:
            brought_in(path, NAMES, today=today)
        assert len(found.value.notices) == 1
        assert len(brought_in(path, NAMES)) == 2


def test_a_text_that_begins_like_a_formula_is_none_in_a_spreadsheet() -> None:
    (sample,) = [entry for entry in every_kind() if isinstance(entry, SampleTested)]
    from dataclasses import replace

    risky = replace(sample, remark="=1+1")
    text = csv_of(EntryKind.SAMPLE, [risky])
    assert "'=1+1" in text
    assert entries_of(text, EntryKind.SAMPLE, "sample.csv", NAMES) == (risky,)
