"""The commands as a newcomer meets them."""

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from engine.shared import planned_fence

from topwire.cli import main
from topwire.show.tables import NAMES
from topwire.values.fault import Faults, fault


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys, topwire.cli; "
        "heavy = {'numpy', 'scipy', 'pydantic', 'shapely', 'typst', 'vl_convert', 'rich'} & set(sys.modules); "
        "sys.exit(', '.join(sorted(heavy)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stderr.strip() == ""


def test_new_makes_a_folder_and_refuses_a_second_time(tmp_path: Path) -> None:
    first = run("new", str(tmp_path / "mine"), "--units", "metric")
    assert first.exit_code == 0
    assert "topwire check" in first.output
    second = run("new", str(tmp_path / "mine"))
    assert second.exit_code == 2
    assert "left as it is" in second.output


def test_examples_are_listed() -> None:
    assert "valley-inn" in run("new", "x", "--example", "list").output


def test_check_tells_all_faults_and_ends_with_two(tmp_path: Path) -> None:
    run("new", str(tmp_path), "--example", "ridge-cider")
    plan = tmp_path / "plan.yaml"
    plan.write_text(
        plan.read_text(encoding="utf-8").replace("40.71", "95").replace("units: metric", "units: both")
    )
    done = run("check", str(tmp_path))
    assert done.exit_code == 2
    assert "place.latitude" in done.output
    assert "line 5, units" in done.output
    assert "2 faults; nothing was written." in done.output
    assert "Traceback" not in done.output


@pytest.mark.parametrize("command", ["check", "plan"])
def test_an_empty_folder_is_told(tmp_path: Path, command: str) -> None:
    done = run(command, str(tmp_path))
    assert done.exit_code == 2
    assert "`topwire new" in done.output


def test_plan_with_a_fault_writes_nothing(tmp_path: Path) -> None:
    run("new", str(tmp_path))
    assert run("plan", str(tmp_path)).exit_code == 2
    assert not (tmp_path / "out").exists()


def test_show_knows_its_departments(tmp_path: Path) -> None:
    done = run("show", str(tmp_path), "chioce")
    assert done.exit_code == 2
    assert "Did you mean choice?" in done.output


def test_sources_by_key_and_as_data() -> None:
    assert "Watts" in run("sources", "ABC2021").output
    assert run("sources", "ABC2022").exit_code == 2
    rows = json.loads(run("sources", "--json").output)
    assert {"key", "citation", "where", "licence", "marks", "remark"} == set(rows[0])


def test_checks_of_one_source() -> None:
    rows = json.loads(run("sources", "--checks", "--json", "FAO56").output)
    assert rows
    assert {row["source"].partition(",")[0] for row in rows} == {"FAO56"}


def test_checks_are_listed_as_data() -> None:
    rows = json.loads(run("sources", "--checks", "--json").output)
    assert len(rows) >= 40
    fields = {"department", "quantity", "source", "published", "ours", "difference", "tolerance", "mark"}
    assert all(set(row) == fields for row in rows)
    assert all(row["mark"] in ("READ", "MEMORY", "COMPUTED") for row in rows)


@pytest.fixture(scope="module")
def fence(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The smallest example, planned and written."""
    return planned_fence(tmp_path_factory)


def test_plan_ends_with_where_to_look(fence: Path) -> None:
    assert (fence / "out" / "book.pdf").read_bytes().startswith(b"%PDF")
    again = run("plan", str(fence))
    assert again.exit_code == 0
    assert "0 steps run" in again.output
    assert "book.pdf" in again.output


def test_plan_as_data_prints_nothing_else(fence: Path) -> None:
    done = CliRunner().invoke(main, ["plan", str(fence), "--json"])
    orchard = json.loads(done.stdout)
    assert orchard["origin"]["name"] == "Garden fence"
    assert orchard["choice"]["chosen"]


@pytest.mark.parametrize("department", NAMES)
def test_every_department_can_be_shown(fence: Path, department: str) -> None:
    shown = run("show", str(fence), department)
    assert shown.exit_code == 0, shown.output
    if department == "press":  # a garden that presses nothing is told so in a line
        assert "Nothing is pressed" in shown.output
    else:
        assert len(shown.output.splitlines()) > 5
    assert json.loads(CliRunner().invoke(main, ["show", str(fence), department, "--json"]).stdout)


def test_tables_of_the_catalogue_are_filtered() -> None:
    rows = json.loads(run("show", "catalogue", "--use", "cider", "--kind", "heritage", "--json").output)
    assert 5 < len(rows) < 100
    assert run("show", "rootstocks", "--right", "licensed").exit_code == 0
    assert "pie" in run("show", "kitchen").output


def test_what_if_sets_the_change_beside_the_plan(fence: Path) -> None:
    before = sorted(path.name for path in (fence / "out").iterdir())
    orchard = json.loads((fence / "out" / "orchard.json").read_text(encoding="utf-8"))
    name = orchard["choice"]["chosen"][0]["name"]
    done = run("plan", str(fence), "--without", name.lower(), "--trees", "7")
    assert done.exit_code == 0, done.output
    assert f"goes out: {name}" in done.output
    assert sorted(path.name for path in (fence / "out").iterdir()) == before
    both = run("plan", str(fence), "--set", "taste.fewest_trees=2", "--set", "kitchen.needs[1].weight=3")
    assert both.exit_code == 0, both.output
    assert "served in the worst fifth of years" in both.output
    assert sorted(path.name for path in (fence / "out").iterdir()) == before
    wrong = run("plan", str(fence), "--set", "taste.most_cultivar=5")
    assert wrong.exit_code == 2
    assert "Did you mean “most_cultivars”" in wrong.output
    wrong = run("plan", str(fence), "--without", "Gold Rash")
    assert wrong.exit_code == 2
    assert "Did you mean GoldRush" in wrong.output


def test_a_what_if_warns_of_what_the_plan_did_not(fence: Path) -> None:
    says = "trees are to be planted, but the ground has 8 free places"
    assert says not in run("plan", str(fence), "--set", "trees.total=8").output
    assert f"20 {says}" in run("plan", str(fence), "--set", "trees.total=20").output
    assert f"30,000 {says}" in run("plan", str(fence), "--trees", "30000").output
    done = CliRunner().invoke(main, ["plan", str(fence), "--trees", "30000", "--json"])
    assert [one["code"] for one in json.loads(done.stdout)["theirs"]["warnings"]] == [
        "choice.ground_too_small"
    ]
    assert run("plan", str(fence), "--trees", "30001").exit_code == 2


def test_a_what_if_as_data_prints_nothing_else(fence: Path) -> None:
    done = CliRunner().invoke(main, ["plan", str(fence), "--trees", "7", "--json"])
    assert sum(json.loads(done.stdout)["theirs"]["trees"].values()) == 7


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--keep", "a/b"), "--keep: the plan as it is is no trial"),
        (
            ("--trees", "4", "--fresh"),
            "--fresh computes the plan again, a what-if leaves it: give one of them",
        ),
        (("--with", "Wealthy", "--keep", ""), "--keep: a name has 1 to 60 signs"),
        (("--with", "Wealthy", "--keep", "\udcff\udcfe"), "--keep: the name holds half a character"),
        (("--with", "wealthy", "--without", "Wealthy"), "Wealthy cannot be there and left out at once"),
    ],
)
def test_a_trial_that_cannot_be_is_refused_before_anything_is_searched(
    fence: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], says: str
) -> None:
    def searched(*_: object, **__: object) -> None:
        raise AssertionError

    for where in ("topwire.engine.what_if.recall", "topwire.engine.run.plan_orchard"):
        monkeypatch.setattr(where, searched)
    done = run("plan", str(fence), *words)
    assert (done.exit_code, says in done.output) == (2, True), done.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ("new", "inn", "--example", "garden-fence", "--units", "metric"),
            "--units: an example stays in the units",
        ),
        (("show", "v", "choice", "--use", "cider"), "--use: does not go with `show choice`"),
        (("show", "v", "place", "--today", "2030-01-01"), "It goes with `show water --this-week FORECAST`"),
        (("show", "v", "water", "--today", "2030-01-01"), "--today: does not go with"),
        (("show", "v", "place", "--this-week", "f.csv"), "It goes with `show water`"),
        (("show", "v", "ledger", "--years"), "It goes with `show place`"),
        (("show", "v", "water", "--this-week", "f.csv", "--json"), "--json: does not go with"),
        (
            ("sources", "--checks", "FA056"),
            "no figure of ours stands beside one of “FA056”. Did you mean FAO56?",
        ),
    ],
)
def test_an_option_that_would_not_be_obeyed_is_refused(words: tuple[str, ...], says: str) -> None:
    done = run(*words)
    assert (done.exit_code, says in done.output) == (2, True), done.output
    assert not Path("inn").exists()


@pytest.mark.parametrize("command", ["week", "cellar", "protect", "guests"])
def test_a_day_is_bounded_and_a_file_that_cannot_be_read_is_told(
    fence: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    orchard = Path(shutil.copytree(fence, tmp_path / "orchard"))
    more = ("--show",) if command == "guests" else ()
    for day in ("0001-01-01", "9999-12-31", "2026-02-30", "\udcff"):
        done = run(command, str(orchard), "--on", day, *more)
        assert (done.exit_code, "Invalid value for '--on'" in done.output) == (2, True), done.output
    for day in ("1900-01-01", "2199-12-31"):
        assert run(command, str(orchard), "--on", day, *more).exit_code == 0

    opened = Path.read_bytes

    def closed(path: Path) -> bytes:
        if path.name == "plan.yaml":
            raise PermissionError(13, "Permission denied", str(path))
        return opened(path)

    monkeypatch.setattr(Path, "read_bytes", closed)
    done = run(command, str(orchard), *more)
    assert (done.exit_code, "cannot be read or written: Permission denied" in done.output) == (1, True)


def test_a_folder_nothing_can_be_written_into_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def closed(path: object, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "mkdir", closed)
    done = run("new", str(tmp_path / "ro" / "x"))
    assert (done.exit_code, f"{tmp_path / 'ro' / 'x' / 'weather'} cannot be" in done.output) == (1, True)
    (tmp_path / "weather").touch()  # where the example has a folder
    done = run("new", str(tmp_path), "--example", "garden-fence")
    assert (done.exit_code, "cannot be read or written: [Errno 17]" in done.output) == (1, True), done.output


def test_a_plan_that_cannot_be_met_says_what_must_give(tmp_path: Path) -> None:
    run("new", str(tmp_path), "--example", "garden-fence")
    plan = tmp_path / "plan.yaml"
    plan.write_text(plan.read_text(encoding="utf-8").replace("fewest_cultivars: 4", "fewest_cultivars: 8"))
    text = plan.read_text(encoding="utf-8").replace("fewest_trees: 1", "fewest_trees: 2")
    plan.write_text(text, encoding="utf-8")
    for words in (("check", str(tmp_path)), ("plan", str(tmp_path)), ("show", str(tmp_path), "trellis")):
        done = run(*words)
        assert done.exit_code == 2
        assert "one of these would be enough" in done.output
        assert "Traceback" not in done.output
    assert not (tmp_path / "out").exists()


def test_what_check_found_good_plan_takes_over(fence: Path, tmp_path: Path) -> None:
    orchard = tmp_path / "orchard"
    shutil.copytree(fence, orchard)
    done = run("check", str(orchard))
    assert done.exit_code == 0
    assert "Every department can answer" in done.output
    assert "0 steps run" in run("plan", str(orchard)).output


def test_an_out_that_does_not_belong_to_the_plan_is_told(fence: Path, tmp_path: Path) -> None:
    orchard = tmp_path / "orchard"
    shutil.copytree(fence, orchard)
    assert "out/" not in CliRunner().invoke(main, ["show", str(orchard), "place"]).stderr
    (orchard / "out" / "trees.csv").write_text("mine", encoding="utf-8")
    for words in (("check", str(orchard)), ("show", str(orchard), "place")):
        assert "changed by hand or missing in out/: trees.csv" in run(*words).output
    with (orchard / "plan.yaml").open("a", encoding="utf-8") as stream:
        stream.write("# another state\n")
    for words in (("check", str(orchard)), ("show", str(orchard), "place")):
        assert "out/ belongs to an earlier state of plan.yaml" in run(*words).output


def test_a_failure_of_ours_ends_check_and_plan_with_one(
    fence: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr("topwire.layout.answer.lay_out", broken)
    orchard = tmp_path / "orchard"
    shutil.copytree(fence, orchard)
    for kept in (orchard / ".topwire").glob("layout-*.json"):
        kept.unlink()
    for command in ("check", "plan"):
        done = run(command, str(orchard))
        assert done.exit_code == 1
        assert "ZeroDivisionError" in done.output
        assert "Traceback" not in done.output


def test_out_is_written_again_only_where_something_is_missing(fence: Path) -> None:
    book = fence / "out" / "book.pdf"
    before = book.stat().st_mtime_ns
    run("plan", str(fence))
    assert book.stat().st_mtime_ns == before
    (fence / "out" / "trees.csv").unlink()
    run("plan", str(fence))
    assert (fence / "out" / "trees.csv").exists()


def test_a_department_that_cannot_be_computed_says_why(
    fence: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_post(*_: object, **__: object) -> None:
        raise Faults([fault("trellis", "no post at hand holds this row.", "Add a longer one to posts.csv.")])

    monkeypatch.setattr("topwire.trellis.answer.answer", no_post)
    orchard = tmp_path / "orchard"
    shutil.copytree(fence, orchard)
    for kept in (orchard / ".topwire").glob("trellis-*.json"):
        kept.unlink()
    done = run("plan", str(orchard))
    assert done.exit_code == 1
    assert "no post at hand holds this row" in done.output
    assert "Not computed: trellis" in done.output


def test_exit_codes_are_those_of_the_manual(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """0 whole, 1 ours or the machine's, 2 the grower's input; docs/commands.md says the same."""
    page = (Path(__file__).parents[2] / "docs/commands.md").read_text(encoding="utf-8")
    documented = {int(line.split("|")[1]) for line in page.splitlines() if re.match(r"\| \d \|", line)}
    assert documented == {0, 1, 2}
    orchard = tmp_path / "orchard"
    assert run("new", str(orchard), "--example", "garden-fence").exit_code == 0
    assert run("check", str(orchard)).exit_code == 0
    assert run("check", str(tmp_path / "nowhere")).exit_code == 2
    assert run("show", str(orchard), "nothing").exit_code == 2

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("topwire.engine.at_work.at_work", full)
    done = run("plan", str(orchard))
    assert done.exit_code == 1
    assert "No space left" in done.output
    assert not (orchard / "out").exists()
