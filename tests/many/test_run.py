"""A run with workers: killed ones and a killed run lose nothing and do nothing twice."""

import csv
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from many.invented import YEARS, write_places

from topwire.cli import main
from topwire.many import cluster
from topwire.many.kept import WORK, KeptAnswers, read_answer
from topwire.many.listed import read_places
from topwire.many.run import ManyWanted, run_places, to_do
from topwire.many.template import read_template
from topwire.many.work import do


def many(*words: object) -> Result:
    return CliRunner().invoke(main, ["many", *map(str, words)])


def tables(folder: Path) -> dict[str, bytes]:
    names = ("cultivars.csv", "places.csv", "places.geojson", "region.csv", "not_answered.csv", "map.svg")
    return {name: (folder / name).read_bytes() for name in names}


Told = tuple[Path, dict[str, str]]


def told_of(folder: Path, years: int) -> Told:
    """A table of places, and the answer of each, worked out here without any worker."""
    asked = wanted(folder, write_places(folder, 12, years=years), folder / "here")
    done = do(asked.job(to_do(asked, KeptAnswers(asked.out))[0]))
    return folder, {id: body.decode() for id, _, body in done.answers}


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Told:
    return told_of(tmp_path_factory.mktemp("county"), YEARS)


@pytest.fixture(scope="module")
def brief(tmp_path_factory: pytest.TempPathFactory) -> Told:
    """The same with two years of weather, for a run of many rows."""
    return told_of(tmp_path_factory.mktemp("brief"), 2)


def answered(body: bytes) -> dict[str, object]:
    """What an answer says, whatever the row is called."""
    return {name: said for name, said in json.loads(body).items() if name not in ("id", "state")}


def wanted(folder: Path, table: Path, out: Path) -> ManyWanted:
    return ManyWanted(read_places(table), read_template(folder / "template.yaml"), "", "place", out)


def test_a_worker_killed_again_and_again_loses_no_place(
    told: Told, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, right = told
    asked = wanted(folder, folder / "places.csv", tmp_path)
    kept = KeptAnswers(tmp_path)
    todo, already = to_do(asked, kept)
    killed: list[int] = []
    with cluster.client_of(cluster.Workers(number=1), tmp_path / WORK) as client:
        keep = KeptAnswers.keep

        def kill_after(self: KeptAnswers, id: str, state: str, body: bytes) -> None:
            """A worker dies, five times over the run, after a place was kept."""
            keep(self, id, state, body)
            workers = list(client.run(os.getpid, on_error="ignore").values()) if len(killed) < 5 else []
            for process in workers:
                os.kill(process, signal.SIGKILL)
                killed.append(process)

        monkeypatch.setattr(KeptAnswers, "keep", kill_after)
        monkeypatch.setattr("topwire.many.run.MOST", 1)
        tally = run_places(asked, todo, already, kept, client, lambda _: None)
    assert len(set(killed)) == 5
    assert (tally.answered, tally.left, tally.wrong) == (12, 0, [])
    assert {place.id: kept.body(place.id).decode() for place in asked.listed.places} == right
    assert len(list((tmp_path / "places").glob("*/*.json"))) == 12


def test_a_killed_run_goes_on_where_it_was(told: Told, tmp_path: Path) -> None:
    folder, right = told
    words = [
        str(folder / "places.csv"),
        "--plan",
        str(folder / "template.yaml"),
        "--out",
        str(tmp_path / "out"),
    ]
    words += ["--until", "place", "--workers", "1"]
    run = subprocess.Popen(
        [sys.executable, "-m", "topwire", "many", *words], stderr=subprocess.DEVNULL, start_new_session=True
    )
    room = tmp_path / "out" / "places"
    until = time.monotonic() + 120
    while time.monotonic() < until and not list(room.glob("*/*.json")):
        time.sleep(0.02)
    os.killpg(run.pid, signal.SIGKILL)
    run.wait()
    before = {path: path.stat().st_mtime_ns for path in room.glob("*/*.json")}
    assert before
    again = many(*words)
    assert again.exit_code == 0, again.output
    assert all(path.stat().st_mtime_ns == when for path, when in before.items()), "none is answered twice"
    kept = KeptAnswers(tmp_path / "out")
    assert {id: kept.body(id).decode() for id in right} == right
    third = many(*words)
    assert "0 places to answer, 12 answered before" in third.output


def test_faulty_rows_are_told_and_the_others_stand(told: Told, tmp_path: Path) -> None:
    """From the command to the tables: exit code, reasons, a line a place and cultivar, a map and a list."""
    folder, right = told
    rows = (folder / "places.csv").read_text(encoding="utf-8").splitlines()
    rows[3] = rows[3].replace(",41,", ",95,", 1)
    rows.append("Farm 0,40,-78,200 m,stations/0.csv,")
    rows.append("=SUM(A1),40,-78,200 m,stations/0.csv,")
    table = folder / "faulty.csv"
    table.write_text("\n".join(rows) + "\n", encoding="utf-8")
    out = tmp_path / "out"
    words = (table, "--plan", folder / "template.yaml", "--out", out, "--until", "place", "--workers", "1")
    found = many(*words)
    assert found.exit_code == 2, found.output
    assert "faulty.csv, line 4, latitude" in found.output
    assert "stands in line 2 too" in found.output
    made = tables(out)
    assert made["cultivars.csv"].count(b"\r\n") == 1 + 12 * len(
        read_answer(right["Farm 0"].encode()).cultivars
    )
    assert b"'=SUM(A1)" in made["places.csv"]
    assert made["not_answered.csv"].count(b"\r\n") == 3
    shapes = json.loads(made["places.geojson"])
    assert [one["id"] for one in shapes["features"]][:2] == ["Farm 0", "Farm 1"]
    assert b"<svg" in made["map.svg"]
    assert made["region.csv"].count(b"\r\n") > 1
    again = many(*words)
    assert again.exit_code == 2
    assert "12 answered before" in again.output, "only the faulty are asked again"


def test_where_no_place_is_answered_no_map_and_no_list_are_named(told: Told, tmp_path: Path) -> None:
    """Nor do those of an earlier run stay, to be taken for this one's."""
    folder, _ = told
    head, row, *_ = (folder / "places.csv").read_text(encoding="utf-8").splitlines()
    out = tmp_path / "out"
    for latitude, there in (("39", True), ("95", False)):
        table = folder / "one.csv"
        table.write_text(f"{head}\n{row.replace(',39,', f',{latitude},', 1)}\n", encoding="utf-8")
        words = ("--plan", folder / "template.yaml", "--out", out, "--until", "place", "--workers", "1")
        found = many(table, *words)
        for name in ("map.svg", "region.csv"):
            assert (name in found.output, (out / name).exists()) == (there, there), found.output


def test_of_a_thousand_rows_fifty_are_faulty_and_the_others_are_answered(brief: Told, tmp_path: Path) -> None:
    """Fifty reasons, each in its own row; 950 answers, those the same rows give alone; the exit code says so."""
    folder, right = brief
    head, *good = (folder / "places.csv").read_text(encoding="utf-8").splitlines()
    faults = [  # column, what is written there, and what is said of it
        (1, "95", "latitude"),
        (3, "200 up", "elevation"),
        (4, "none.csv", "none.csv"),
        (5, "400 K", "place.colder_than_station"),
        (0, "P0", "stands in line 2 too"),
    ]
    rows, expected = [], {}
    for number in range(1000):
        cells = [f"P{number}", *good[number % 12].split(",")[1:]]
        if number % 20 == 7:
            column, wrong, expected[number + 2] = faults[number // 20 % 5]
            cells[column] = wrong
        rows.append(",".join(cells))
    table = folder / "thousand.csv"
    table.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    out = tmp_path / "out"
    found = many(
        table, "--plan", folder / "template.yaml", "--out", out, "--until", "place", "--workers", "2"
    )
    assert found.exit_code == 2, found.output
    with (out / "not_answered.csv").open(encoding="utf-8-sig", newline="") as file:
        reasons = list(csv.DictReader(file))
    assert len(reasons) == len(expected) == 50
    assert {int(one["line"]) for one in reasons} == set(expected)
    assert all(expected[int(one["line"])] in one["why there is no answer"] for one in reasons)
    kept = KeptAnswers(out)
    alone = {name: answered(body.encode()) for name, body in right.items()}
    ids = [f"P{number}" for number in range(1000) if number + 2 not in expected]
    for id in ids:
        assert answered(kept.body(id)) == alone[f"Farm {int(id[1:]) % 12}"]
    assert len(list((out / "places").glob("*/*.json"))) == len(ids) == 950


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["none.csv"], "no such file"),
        (["places.csv"], "share a plan"),
        (["places.csv", "--plan", "template.yaml", "--grid", "none.nc"], "no file"),
        (["."], "no orchard in this folder"),
    ],
)
def test_what_cannot_be_asked_is_told_and_nothing_is_written(
    told: Told, tmp_path: Path, words: list[str], said: str
) -> None:
    folder, _ = told
    known = [str(folder / word) if "." in word else word for word in words]
    found = many(*known, "--out", tmp_path / "out")
    assert found.exit_code == 2
    assert said in found.output
    assert not (tmp_path / "out").exists()
