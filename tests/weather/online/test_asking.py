"""Manners and faults of services: told, and nothing kept that was not checked."""

import re
import socket
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from weather.online.standin import Standin, station_csv

from topwire.values.fault import Faults
from topwire.weather import fetched
from topwire.weather.fetched import SIDECAR, read_fetched, write_entries
from topwire.weather.online import asking
from topwire.weather.online.asking import STANDIN, Asker, NoAnswer, standin_address
from topwire.weather.online.bringing import BroughtHow, bring
from topwire.weather.online.journeys import (
    CACHE,
    RECORD,
    Whereabouts,
    bring_cell,
    bring_grid,
    bring_point,
    bring_station,
    bring_up_to_date,
    look_for_stations,
)
from topwire.weather.online.judged import Lost, why_lost
from topwire.weather.online.records import station_file

NEAR = "USC00999999"
NOW = datetime.now(UTC).replace(microsecond=0)
TOMORROW = NOW + timedelta(days=1)


@pytest.fixture
def services(monkeypatch: pytest.MonkeyPatch) -> Iterator[Standin]:
    with Standin() as running:
        monkeypatch.setenv(STANDIN, running.address)
        yield running


@pytest.fixture
def pauses() -> list[float]:
    return []


@pytest.fixture
def asker(services: Standin, pauses: list[float]) -> Iterator[Asker]:
    with Asker(contact="test@example.org", pause=pauses.append) as one:
        yield one


@pytest.fixture
def orchard(tmp_path: Path) -> Whereabouts:
    return Whereabouts(tmp_path, 40.1, -77.21, 213.0)


def kept(orchard: Whereabouts) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in (orchard.folder / RECORD).rglob("*") if path.is_file()}


def test_any_connection_outwards_fails_a_test() -> None:
    with pytest.raises(pytest.fail.Exception, match="was tried"):
        socket.create_connection(("192.0.2.1", 443), timeout=0.1)
    with pytest.raises(pytest.fail.Exception, match="was tried"):
        socket.getaddrinfo("www.example.org", 443)


def test_a_stand_in_is_on_this_machine_or_none(monkeypatch: pytest.MonkeyPatch) -> None:
    for address in ("http://192.0.2.1:80", "https://127.0.0.1", "http://127.0.0.1.example.org"):
        monkeypatch.setenv(STANDIN, address)
        with pytest.raises(ValueError, match="of this machine"):
            standin_address()


def test_stations_are_looked_at_and_the_nearest_loses_by_its_height(
    orchard: Whereabouts, asker: Asker, services: Standin
) -> None:
    looked = look_for_stations(Whereabouts(orchard.folder, 40.11, -77.23, 200.0), asker, NOW)
    assert [one.station.station for one in looked.candidates] == [NEAR, "USW00099998", "USC00999997"]
    best, ridge = looked.candidates[0], looked.candidates[2]
    assert ridge.station.distance < best.station.distance
    assert why_lost(ridge, best) is Lost.HEIGHT
    assert best.hour == 7
    assert best.whole > 0.99
    assert ridge.coldest < 0, "higher, so colder than the others"
    assert not [path for path in services.paths() if "US1PAXX0001" in path], "rain only"
    assert not [path for path in services.paths() if "USC00999990" in path], "stopped in 1978"


def test_a_year_of_gaps_costs_points(orchard: Whereabouts, asker: Asker, services: Standin) -> None:
    services.left_out = {2012, 2013, 2014, 2015, 2016}
    best = look_for_stations(orchard, asker, NOW).candidates[0]
    assert 0.6 < best.whole < 0.8
    assert best.points[Lost.GAPS] > 1


def test_bytes_are_kept_as_they_came_with_their_credit(
    orchard: Whereabouts, asker: Asker, services: Standin
) -> None:
    (came,) = bring_station(orchard, NEAR, asker, NOW)
    assert came.how is BroughtHow.NEW
    assert kept(orchard)[f"{NEAR}.csv"] == station_csv(services, NEAR)
    (entry,) = read_fetched(orchard.folder / RECORD)
    assert "Menne" in entry.credit
    assert entry.etag == '"invented-1"'
    assert services.asked[-1][1]["User-Agent"].endswith("(test@example.org)")


def test_what_was_looked_at_is_not_asked_for_twice(
    orchard: Whereabouts, asker: Asker, services: Standin
) -> None:
    look_for_stations(orchard, asker, NOW)
    before = len(services.asked)
    assert bring_station(orchard, NEAR, asker, NOW)[0].how is BroughtHow.NEW
    assert bring_station(orchard, NEAR, asker, NOW)[0].how is BroughtHow.FRESH
    assert len(services.asked) == before


def test_next_day_it_is_asked_whether_it_has_changed(
    orchard: Whereabouts, asker: Asker, services: Standin
) -> None:
    bring_station(orchard, NEAR, asker, NOW)
    (came,) = bring_up_to_date(orchard, asker, TOMORROW)
    assert came.how is BroughtHow.UNCHANGED
    headers = services.asked[-1][1]
    assert headers["If-None-Match"] == '"invented-1"'
    assert "If-Modified-Since" in headers


def test_past_values_that_changed_are_told(orchard: Whereabouts, asker: Asker, services: Standin) -> None:
    bring_station(orchard, NEAR, asker, NOW)
    services.warmer = 1.2
    services.today += timedelta(days=1)
    services.faults = {NEAR: ["changed"]}
    (came,) = bring_up_to_date(orchard, asker, TOMORROW)
    assert came.how is BroughtHow.REPLACED
    assert came.changes is not None
    assert came.changes.came == 1
    assert {(one.column, round(one.greatest, 1)) for one in came.changes.changed} == {
        ("tmin", 1.2),
        ("tmax", 1.2),
    }
    assert all(28 <= one.days <= 31 for one in came.changes.changed), (
        "January, without what looks like spikes"
    )


@pytest.mark.parametrize(
    ("fault", "says"),
    [
        ("login", "web page came.*log-in page"),
        ("units", "whole degrees"),
        ("shape", "not kept"),
        ("half", "half an answer"),
        ("empty", "sent nothing"),
        ("redirect:https://portal.example.org/login", "not followed.*log-in page"),
        ("redirect:http://www.ncei.noaa.gov/x", "not followed"),
        ("503,503,503", "out of order.*three times"),
        ("cut,cut,cut", "broke off"),
        ("429:900", "wait 15 minutes"),
    ],
)
def test_no_fault_touches_what_is_kept(
    orchard: Whereabouts, asker: Asker, services: Standin, fault: str, says: str
) -> None:
    bring_station(orchard, NEAR, asker, NOW)
    before = kept(orchard)
    # a changed answer, so that it is not told that nothing has changed
    entries = read_fetched(orchard.folder / RECORD)
    write_entries(orchard.folder / RECORD, [replace(one, etag="", last_modified="") for one in entries])
    before[SIDECAR] = (orchard.folder / RECORD / SIDECAR).read_bytes()
    services.faults = {NEAR: fault.split(",")}
    (came,) = bring_up_to_date(orchard, asker, TOMORROW)
    assert came.how is None
    assert came.last > came.first
    assert re.search(says, came.why), came.why
    assert kept(orchard) == before


def test_three_tries_with_growing_pauses(
    orchard: Whereabouts, asker: Asker, services: Standin, pauses: list[float]
) -> None:
    services.faults = {NEAR: ["503", "cut"]}
    assert bring_station(orchard, NEAR, asker, NOW)[0].how is BroughtHow.NEW
    waits = [one for one in pauses if one > asking.BETWEEN]
    assert len(waits) == 2
    assert 2 <= waits[0] <= 2.5
    assert 8 <= waits[1] <= 10
    assert sum(one <= asking.BETWEEN for one in pauses) == 2, "a second between two questions"


def test_retry_after_is_obeyed(
    orchard: Whereabouts, asker: Asker, services: Standin, pauses: list[float]
) -> None:
    services.faults = {NEAR: ["429:7"]}
    assert bring_station(orchard, NEAR, asker, NOW)[0].how is BroughtHow.NEW
    assert 7.0 in pauses


def test_a_slow_drip_is_given_up(orchard: Whereabouts, asker: Asker, services: Standin) -> None:
    services.faults = {NEAR: ["drip"]}
    with pytest.raises(NoAnswer, match="drips"):
        bring(orchard.folder / RECORD, replace(station_file(NEAR), within=0.3), asker, NOW)
    assert not (orchard.folder / RECORD).exists()


def test_an_exchange_cut_in_the_middle_is_made_good(
    orchard: Whereabouts, asker: Asker, services: Standin, monkeypatch: pytest.MonkeyPatch
) -> None:
    bring_station(orchard, NEAR, asker, NOW)
    before = (orchard.folder / RECORD / f"{NEAR}.csv").read_bytes()
    services.today += timedelta(days=1)
    services.faults = {NEAR: ["changed"]}
    real = fetched.write_safely

    def killed(path: Path, body: bytes) -> None:
        if path.suffix == ".csv":
            raise KeyboardInterrupt
        real(path, body)

    monkeypatch.setattr(fetched, "write_safely", killed)
    with pytest.raises(KeyboardInterrupt):
        bring_up_to_date(orchard, asker, TOMORROW)
    assert (orchard.folder / RECORD / f"{NEAR}.csv").read_bytes() == before
    monkeypatch.setattr(fetched, "write_safely", real)
    (came,) = bring_up_to_date(orchard, asker, TOMORROW)
    assert came.how is BroughtHow.REPLACED
    assert "If-None-Match" not in services.asked[-1][1], "what stands is not what the sidecar says"
    assert (orchard.folder / RECORD / f"{NEAR}.csv").read_bytes() != before


def test_a_file_changed_by_hand_is_left(orchard: Whereabouts, asker: Asker) -> None:
    bring_station(orchard, NEAR, asker, NOW)
    path = orchard.folder / RECORD / f"{NEAR}.csv"
    path.write_bytes(path.read_bytes() + b"\n")
    with pytest.raises(Faults, match="changed since"):
        bring_station(orchard, NEAR, asker, TOMORROW)


def test_the_cell_is_asked_in_hundredths_and_checked(
    orchard: Whereabouts, asker: Asker, services: Standin
) -> None:
    came = bring_cell(Whereabouts(orchard.folder, 40.123456, -77.198765, 200.0), asker, NOW)
    assert [one.entry.file for one in came] == ["cell_past.json", "cell_recent.json"]
    assert "latitude=40.12&" in came[0].entry.address
    assert "longitude=-77.20&" in came[0].entry.address
    assert came[0].last + 1 == came[1].first, "no day falls between the two files"


@pytest.mark.parametrize(
    ("fault", "says"), [("units", "“K”"), ("half", "not the days asked"), ("shape", "not")]
)
def test_a_cells_wrong_answer_is_not_kept(
    orchard: Whereabouts, asker: Asker, services: Standin, fault: str, says: str
) -> None:
    services.faults = {"power": [fault]}
    with pytest.raises(NoAnswer, match=says):
        bring_cell(orchard, asker, NOW)
    assert not (orchard.folder / RECORD).exists()


def test_the_grid_in_the_states_and_the_point_elsewhere(
    orchard: Whereabouts, asker: Asker, services: Standin
) -> None:
    grid = bring_grid(orchard, asker, NOW)
    assert grid is not None
    assert grid.content.utc_offset == -5
    assert grid.content.whole.sum() >= 5
    again = bring_grid(orchard, asker, NOW)
    assert again is not None
    assert again.how is BroughtHow.FRESH, "good until it expires"
    services.faults = {"points": ["unknown"]}
    elsewhere = Whereabouts(orchard.folder / "north", 46.1, -77.2, 200.0)
    assert bring_grid(elsewhere, asker, NOW) is None
    point = bring_point(elsewhere, asker, NOW)
    assert point.content.elevation == 200
    assert services.asked[-1][0].startswith("api.met.no/")


@pytest.mark.parametrize(
    ("fault", "says"),
    [
        ("units", "not known here"),
        ("half", "half an answer"),
        ("shape", "another shape|no forecast"),
        ("ahead", "still to come"),
        ("login", "log-in page"),
    ],
)
def test_a_wrong_forecast_is_not_kept(
    orchard: Whereabouts, asker: Asker, services: Standin, fault: str, says: str
) -> None:
    services.faults = {"gridpoints": [fault]}
    with pytest.raises(NoAnswer, match=says):
        bring_grid(orchard, asker, NOW)
    assert not (orchard.folder / RECORD).exists()


def test_half_a_list_is_not_kept(orchard: Whereabouts, asker: Asker, services: Standin) -> None:
    services.faults = {"ghcnd-stations": ["half"]}
    with pytest.raises(NoAnswer, match="cut off"):
        look_for_stations(orchard, asker, NOW)
    assert not (orchard.folder / CACHE).exists()


def test_german_stations_are_looked_at_and_brought_in_two_files(
    orchard: Whereabouts, asker: Asker, services: Standin
) -> None:
    here = Whereabouts(orchard.folder, 51.11, 9.93, 200.0)
    looked = look_for_stations(here, asker, NOW)
    assert [one.station.station for one in looked.candidates] == ["dwd:00044", "dwd:00055"]
    assert looked.candidates[0].station.name == "Erfundenhausen, Bad"
    assert looked.candidates[0].whole > 0.99
    came = bring_station(here, "dwd:00044", asker, NOW)
    assert [one.entry.file for one in came] == ["dwd_00044_historical.zip", "dwd_00044_recent.zip"]
    assert all("Deutscher Wetterdienst" in one.entry.credit for one in came)
    again = bring_up_to_date(here, asker, TOMORROW)
    assert {one.how for one in again} == {BroughtHow.UNCHANGED, BroughtHow.FRESH}
    services.faults = {"00044_akt": ["login"]}
    entries = [replace(one, etag="", last_modified="") for one in read_fetched(orchard.folder / RECORD)]
    write_entries(orchard.folder / RECORD, entries)
    before = kept(orchard)
    failed = [one for one in bring_up_to_date(here, asker, NOW + timedelta(days=3)) if one.how is None]
    assert ["log-in page" in one.why for one in failed] == [True]
    assert kept(orchard) == before
