"""topwire weather as a person runs it: told first, asked, the plan named, exit codes of who is at fault."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from weather.online.standin import Standin

from topwire.cli import main
from topwire.engine.at_work import at_work
from topwire.weather.online import asking
from topwire.weather.online.asking import STANDIN

STATION = "USC00999999"


@pytest.fixture
def services(monkeypatch: pytest.MonkeyPatch) -> Iterator[Standin]:
    monkeypatch.setattr(asking, "BETWEEN", 0.0)
    monkeypatch.setattr(asking, "FIRST_PAUSE", 0.0)
    with Standin() as running:
        monkeypatch.setenv(STANDIN, running.address)
        yield running


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "orchard"
    assert run("new", str(made)).exit_code == 0
    plan = made / "plan.yaml"
    text = plan.read_text().replace("latitude: 39.2 ", "latitude: 40.1 ")
    plan.write_text(text.replace("longitude: -78.2", "longitude: -77.21"))
    return made


def run(*words: str, answers: str = "") -> Result:
    return CliRunner().invoke(main, words, input=answers)


def test_from_a_new_folder_to_a_record_in_the_plan(folder: Path, services: Standin) -> None:
    done = run("weather", "fetch", str(folder), answers="y\ny\n")
    assert done.exit_code == 0, done.output
    before = done.output.index("Go on?")
    assert "www.ncei.noaa.gov" in done.output[:before]
    assert "nothing of the orchard" in done.output[:before]
    assert "Best: INVENTED HOLLOW 2 NW" in done.output
    assert "Menne and others 2012" in done.output
    assert f"files: [weather/{STATION}.csv]" in (folder / "plan.yaml").read_text()
    assert "files: [weather/daily.csv]" in (folder / "plan.yaml.bak").read_text()
    done = run("weather", "fetch", str(folder), "--cell", "--yes")
    assert done.exit_code == 0, done.output
    assert "weather/cell_past.json, weather/cell_recent.json]" in (folder / "plan.yaml").read_text()
    done = run("weather", "update", str(folder), "--yes")
    assert done.exit_code == 0, done.output
    assert done.output.count("is still good") == 3
    assert "Langley Research Center" in done.output


def test_nothing_is_asked_before_somebody_agrees(folder: Path, services: Standin) -> None:
    for answers in ("n\n", ""):
        done = run("weather", "find", str(folder), answers=answers)
        assert done.exit_code == 2
        assert "nothing was asked" in done.output
    assert services.asked == []


def test_coordinates_leave_the_house_in_hundredths_only(folder: Path, services: Standin) -> None:
    plan = folder / "plan.yaml"
    plan.write_text(plan.read_text().replace("latitude: 40.1 ", "latitude: 40.123456 "))
    assert run("weather", "forecast", str(folder), "--yes").exit_code == 0
    assert run("weather", "fetch", str(folder), "--cell", "--yes").exit_code == 0
    assert any("points/40.12,-77.21" in path for path in services.paths())
    assert not any("40.123" in path for path in services.paths())


def test_the_forecast_is_shown_with_its_credit_and_age(folder: Path, services: Standin) -> None:
    done = run("weather", "forecast", str(folder), "--yes", "--contact", "me@example.org")
    assert done.exit_code == 0, done.output
    assert "me@example.org" in done.output
    assert "National Weather Service, issued" in done.output
    assert "public domain" in done.output
    asked = len(services.asked)
    done = run("weather", "forecast", str(folder))
    assert done.exit_code == 0
    assert "still good" in done.output
    assert len(services.asked) == asked
    shutil.rmtree(folder / ".topwire")
    done = run("weather", "forecast", str(folder), "--kept")
    assert done.exit_code == 0
    assert "Go on?" not in done.output
    assert not (folder / ".topwire").exists(), "a look writes nothing"
    with at_work(folder):
        assert run("weather", "forecast", str(folder), "--kept").exit_code == 0
    done = run("check", str(folder))
    assert "nws_grid" not in done.output, "never part of the record"


def test_outside_the_grid_the_second_service_is_told_and_asked(folder: Path, services: Standin) -> None:
    services.faults = {"points": ["unknown"]}
    done = run("weather", "forecast", str(folder), answers="y\ny\n")
    assert done.exit_code == 0, done.output
    assert done.output.index("api.weather.gov does not know the place") < done.output.index("api.met.no (")
    assert "CC BY 4.0" in done.output


@pytest.mark.parametrize(
    ("faults", "code", "says"),
    [
        (["login"], 1, "log-in page.*What was kept stays"),
        (["503", "503", "503"], 1, "out of order.*three times"),
        (["429:3600"], 1, "wait 60 minutes"),
        (["units"], 1, "is not kept"),
        ([], 0, ""),
    ],
)
def test_exit_codes_of_a_service_at_fault(
    folder: Path, services: Standin, faults: list[str], code: int, says: str
) -> None:
    services.faults = {STATION: faults}
    done = run("weather", "fetch", str(folder), STATION, "--yes")
    assert done.exit_code == code, done.output
    assert re.search(says, done.output, re.S)
    assert "Traceback" not in done.output
    assert (folder / "weather" / f"{STATION}.csv").exists() == (code == 0)


def test_exit_code_of_a_name_that_is_none(folder: Path, services: Standin) -> None:
    done = run("weather", "fetch", str(folder), "USC00999988", "--yes")
    assert done.exit_code == 2
    assert "has nothing at" in done.output
    assert run("weather", "fetch", str(folder), "../../etc", "--yes").exit_code == 2
    assert services.paths()[-1].endswith("USC00999988.csv")
    done = run("weather", "update", str(folder), "--yes")
    assert done.exit_code == 2
    assert "nothing to bring up to date" in done.output
    done = run("weather", "forecast", str(folder), "--kept")
    assert done.exit_code == 2
    assert "holds no forecast" in done.output


def test_without_the_extra_the_command_to_install_is_told(
    folder: Path, services: Standin, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "httpx", None)
    done = run("weather", "find", str(folder), "--yes")
    assert done.exit_code == 1
    assert 'pip install "topwire[online]"' in done.output


def test_a_stand_in_elsewhere_is_refused(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(STANDIN, "http://192.0.2.1:80")
    done = run("weather", "find", str(folder), "--yes")
    assert done.exit_code == 2
    assert "of this machine" in done.output
