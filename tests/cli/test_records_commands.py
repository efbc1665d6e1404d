"""`topwire note` and `topwire records` as the grower meets them."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from engine import small

from topwire.cli import main


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    return small.make(tmp_path / "yard")


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def said(result: Result) -> str:
    return result.output.replace("\u00a0", " ")


def noted(result: Result) -> str:
    assert result.exit_code == 0, result.output
    return result.output.split()[1]


def test_a_note_is_said_back_listed_corrected_and_taken_back(yard: Path) -> None:
    first = noted(
        run("note", yard, "1 Sep 2025: picked 20 kg GoldRush from Yard 1 into crate 2", "--who", "Ann")
    )
    second = noted(run("note", yard, "--instead-of", first, "1 Sep 2025: picked 18 kg GoldRush from Yard 1"))
    listed = said(run("records", yard, "--history"))
    assert "picked 20 kg of GoldRush, Yard 1, into crate 2 (table)  [corrected by " in listed
    assert "mass: 20.0 kg, now 18.0 kg" in listed
    assert "lot: crate 2, now not said" in listed
    assert "taken back" in run("records", yard, "--undo", second).output
    assert "[withdrawn by" in run("records", yard).output
    assert '"kind": "pick"' in run("records", yard, "--json", "--kind", "pick").output


def test_a_note_of_many_trees_is_taken_back_by_the_line_it_shows(yard: Path) -> None:
    told = run("note", yard, "12 May 2025: Yard 1, trees 1 to 3 dead").output
    several = told.split("--undo ")[1].strip()
    assert run("records", yard, "--undo", f"{several},abcd").exit_code == 2
    assert "withdrawn" not in run("records", yard).output, "all or none"
    assert run("records", yard, "--undo", several).output.count("taken back") == 3
    assert run("records", yard).output.count("[withdrawn by") == 3


def test_one_trees_life(yard: Path) -> None:
    noted(run("note", yard, "12 May 2024: Yard 1, tree 3 planted with GoldRush on G.41"))
    noted(run("note", yard, "12 May 2025: Yard 1, tree 3 dead (voles)"))
    noted(run("note", yard, "12 May 2025: Yard 1, tree 4 dead"))
    life = run("records", yard, "--tree", "Yard 1, tree 3").output
    assert life.count("Yard 1, tree 3") == 2
    assert "tree 4" not in life
    assert run("records", yard, "--tree", "Yard 1").exit_code == 2


def test_what_is_not_understood_ends_with_2_and_keeps_nothing(yard: Path) -> None:
    result = run("note", yard, "Yard 1, tree 3 ded")
    assert result.exit_code == 2
    assert "Did you mean" in result.output
    assert "Nothing was noted yet" in run("records", yard).output
    assert run("records", yard, "--undo", "abcd").exit_code == 2
    for odd in ("\udcff\udcfe", "", "%"):
        assert "copy its first signs, as 3fa2c1d0" in run("records", yard, "--undo", odd).output
    tomorrow = (date.today() + timedelta(days=2)).isoformat()
    (yard / "pick.csv").write_text(f"day,mass_kg\n{tomorrow},20\n", encoding="utf-8")
    assert "is yet to come" in run("records", yard, "--csv-in", yard / "pick.csv").output
    assert run("records", yard, "--kind", "piks").exit_code == 2
    assert "is not in the range" in run("records", yard, "--last", "9" * 20).output
    assert run("records", yard, "--restore", yard / "none.db").exit_code == 2


def test_forms_are_shown_with_the_orchards_own_names(yard: Path) -> None:
    assert "Yard 3, tree 41 dead" in run("note", yard, "--forms").output


def test_out_as_csv_and_in_again(yard: Path, tmp_path: Path) -> None:
    noted(run("note", yard, "1 Sep 2025: picked 20 kg GoldRush from Yard 1"))
    noted(run("note", yard, "28 Apr 2025: GoldRush full bloom"))
    assert run("records", yard, "--csv-out", tmp_path / "csv").exit_code == 0
    assert sorted(path.name for path in (tmp_path / "csv").iterdir()) == ["pick.csv", "stage.csv"]
    assert "0 entries brought in, 2 were there" in run("records", yard, "--csv-in", tmp_path / "csv").output
    other = small.make(tmp_path / "other")
    assert "2 entries brought in" in run("records", other, "--csv-in", tmp_path / "csv").output


def test_a_copy_and_back(yard: Path, tmp_path: Path) -> None:
    noted(run("note", yard, "28 Apr 2025: GoldRush full bloom"))
    assert "1 entry, read back whole" in run("records", yard, "--backup", tmp_path / "copy.db").output
    assert run("records", yard, "--backup", tmp_path / "copy.db").exit_code == 2
    other = small.make(tmp_path / "other")
    assert "1 entry brought back" in run("records", other, "--restore", tmp_path / "copy.db").output


def test_a_damaged_store_is_the_machines_fault(yard: Path) -> None:
    (yard / "records.db").write_text("no database at all " * 400)
    result = run("note", yard, "28 Apr 2025: GoldRush full bloom")
    assert result.exit_code == 1
    assert "--restore" in result.output


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("nonsense", 2),
        ("mysql://host/orchard", 2),
        ("sqlite:///not/there.db", 2),
        ("sqlite:///yard.geojson", 1),  # damaged, or no database
        ("postgresql://127.0.0.1:1/none", 1),  # nobody answers
    ],
)
def test_records_out_of_reach_are_the_machines_fault_and_a_wrong_place_the_growers(
    yard: Path, written: str, code: int
) -> None:
    """By every command that reads them, as docs/commands.md says of 1 and 2."""
    if written.startswith("postgresql"):
        pytest.importorskip("psycopg")
    (yard / "records.url").write_text(written, encoding="utf-8")
    for command in (["records", yard], ["learn", yard], ["check", yard], ["plan", yard]):
        result = run(*command)
        assert (result.exit_code, result.exception.__class__) == (code, SystemExit), (command, result.output)
        assert ("records.url" in result.output) == (code == 2), result.output


def test_a_file_without_rights_is_the_machines_fault(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def shut(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patched:
        patched.setattr("topwire.files.own_file.looked_at", lambda *_: None)
        patched.setattr(Path, "open", shut)
        result = run("check", yard)
    assert "Permission denied" in result.output
    assert result.exit_code == 1


def test_fruit_that_cannot_be_is_refused_and_what_may_be_is_doubted(yard: Path) -> None:
    noted(run("note", yard, "1 Sep 2025: picked 300 lb GoldRush into crate 9"))
    assert "doubt" not in run("note", yard, "2 Sep 2025: used 100 lb GoldRush from crate 9").output
    over = run("note", yard, "3 Sep 2025: used 800 lb GoldRush from crate 9")
    noted(over)  # it is kept: the pick that is missing may come after it
    assert "crate 9 has 136 kg of GoldRush by the picks noted, and 408 kg is noted as taken out" in said(over)
    assert "No pick into crate 99 is noted" in run("note", yard, "3 Sep 2025: crate 99 90 % sound").output
    other = run("note", yard, "3 Sep 2025: used 5 lb Gala from crate 9")
    assert other.exit_code == 2
    assert "crate 9 holds GoldRush, not Gala" in other.output
    assert "weighs more than" in run("note", yard, "pressed 200 lb Gala to 140 gal").output
    noted(run("note", yard, "pressed 200 lb Gala to 14 gal"))
