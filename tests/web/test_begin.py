"""From an empty folder to a first plan, step by step, without a browser's script."""

import re
import time
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from engine import small
from web.desk import Browser, browsing

from topwire.plan.first import EATEN, MADE, first_plan
from topwire.plan.meant import as_meant
from topwire.plan.read import parse_plan
from topwire.values.fault import Faults, FileNotice

WHERE = {
    "name": "Eight trees", "units": "metric", "latitude": "39.18", "longitude": "-78.16", "elevation": "220 m",
    "exposure": "sheltered", "texture": "loam",
}  # fmt: skip
GROUND = {"length": "14 m", "width": "7 m", "row_bearing": "0", "slope": "0 %", "slope_bearing": "180"}
GUESTS = {"guests": "6", "share_fresh": "0.8", "share_pie": "0.5", "share_baked": "", "made_sauce": "20"}
TASTE = {"favourites": "GoldRush", "must_have": "", "must_not_have": "", "heritage": "0", "planting": "2029"}


@pytest.fixture
def empty(tmp_path: Path) -> Path:
    (tmp_path / "new").mkdir()
    return tmp_path / "new"


@pytest.fixture
def desk(empty: Path) -> Iterator[Browser]:
    with browsing(empty) as found:
        yield found


def weather(tmp_path: Path) -> bytes:
    return (small.make(tmp_path / "other", years=4) / "weather/daily.csv").read_bytes()


def send_file(desk: Browser, path: str, name: str, content: bytes) -> object:
    return desk.post(path, data={"token": desk.token()}, files={"file": (name, content)}, headers=desk.own)


def until(desk: Browser, says: str) -> str:
    """The state of the run once it says so; steps read as “Place, done”."""
    for _ in range(600):
        text = unescape(desk.get("/run/state").text)
        text = re.sub(r'<li class="([\w-]+)"><span class="name">(\w+)', r"\2, \1", text)
        if says in text:
            return text
        time.sleep(0.1)
    raise AssertionError(text)


def test_an_empty_folder_leads_to_the_first_step(desk: Browser) -> None:
    answer = desk.get("/")
    assert answer.url.path == "/begin/where"
    assert "Latitude" in answer.text


def test_from_nothing_to_a_plan(desk: Browser, empty: Path, tmp_path: Path) -> None:
    assert "Nothing" not in desk.fill("/begin/where", WHERE).text
    assert send_file(desk, "/begin/weather", "My weather.csv", weather(tmp_path)).status_code == 200  # type: ignore[attr-defined]
    assert (empty / "weather/My-weather.csv").exists()
    assert (
        desk.fill("/begin/where", WHERE | {"weather": "weather/My-weather.csv"}).url.path == "/begin/ground"
    )
    assert desk.fill("/begin/ground", GROUND).url.path == "/begin/guests"
    assert desk.fill("/begin/guests", GUESTS).url.path == "/begin/taste"
    assert 'value="6"' in desk.get("/begin/guests").text  # going back loses nothing
    answer = desk.fill("/begin/taste", TASTE)
    assert answer.url.path == "/run"
    plan = parse_plan((empty / "plan.yaml").read_text())
    assert (plan.name, plan.units, len(plan.kitchen.needs)) == ("Eight trees", "metric", 3)
    assert plan.taste.favourites == ["GoldRush"]
    waiting = unescape(desk.get("/season").text)
    assert "Eight trees" in waiting  # its own name and units from the first moment on
    assert "in US units" in waiting
    assert "Lines that begin with # are remarks" in (empty / "plan.yaml").read_text()
    answer = until(desk, "Place, done")
    assert "weather years" in answer  # what it found stands beside the step while the next one is at work
    assert "Place" in desk.get("/place").text
    assert "Bloom and harvest" in unescape(desk.get("/place").text)
    assert desk.fill("/run/stop").status_code == 200
    assert "Stopped" in until(desk, "Stopped")
    assert "only partly worked out" in desk.get("/place").text
    assert desk.get("/begin/where").url.path == "/plan"  # a plan that is there is not begun again


def test_a_fault_stays_at_its_step_with_what_was_written(desk: Browser, empty: Path) -> None:
    answer = desk.fill("/begin/where", WHERE | {"latitude": "391", "elevation": "high"})
    assert answer.status_code == 422
    said = unescape(answer.text)
    assert '<a href="#latitude">Latitude</a>:' in said  # by what stands above the field, and it leads there
    assert '<a href="#elevation">Height above the sea</a>:' in said
    assert '<a href="#record">Weather</a>: there is none yet' in said
    assert re.search(r'<input id="latitude"[^>]*aria-invalid="true"', said)
    assert "plan.yaml" not in said
    assert "files[" not in said
    assert 'value="391"' in said
    assert not (empty / "plan.yaml").exists()


@pytest.mark.parametrize(
    "said",
    [
        "39.18, -78.16",
        "39.18,-78.16",
        "39.18° N, 78.16° W",
        "39°10'48\"N 78°09'36\"W",
        "N 39.18 W 78.16",
        "39.18 −78.16",
    ],
)
def test_a_place_is_taken_as_a_map_copies_it(desk: Browser, said: str) -> None:
    answer = desk.fill(
        "/begin/where", WHERE | {"latitude": said, "longitude": "", "elevation": "720", "units": "us"}
    )
    fields = dict(re.findall(r'<input id="(\w+)" name="\w+" value="([^"]*)"', unescape(answer.text)))
    assert (float(fields["latitude"]), float(fields["longitude"])) == (39.18, -78.16)
    assert fields["elevation"] == "720 ft"  # in the units that were chosen


def test_what_is_not_a_place_stays_as_it_was_written() -> None:
    for said in ("north of the barn", "39.18 or so", "1 2 3", ""):
        assert as_meant({"latitude": said, "longitude": "7 W"}, "m", "L") == {
            "latitude": said,
            "longitude": "-7",
        }
    assert as_meant({"latitude": "39,18", "slope": "3"}, "m", "L") == {"latitude": "39.18", "slope": "3 %"}


def test_a_comma_for_the_point_is_read_as_it_is_meant(desk: Browser) -> None:
    answer = desk.fill("/begin/where", WHERE | {"elevation": "219,5"})
    assert 'value="219.5 m"' in answer.text
    said = {
        "units": "metric", "elevation": "219,5 m", "length": "29,5", "width": "1,250", "slope": "2,5", "cider": "12,5",
        "guests": "6", "share_pie": "0,5", "made_sauce": "7,5", "heritage": "0,25", "row_bearing": "12,5",
        "trees": "1,200",
    }  # fmt: skip
    plan = parse_plan(first_plan(said))
    (block,), (pie, sauce), (cider,) = plan.ground.blocks, plan.kitchen.needs, plan.kitchen.cider
    assert block.rectangle is not None
    assert pie.dishes is not None
    assert sauce.amount is not None
    assert (plan.place.elevation, block.rectangle.length, block.rectangle.width) == (219.5, 29.5, 1250.0)
    assert (block.slope, block.row_bearing, plan.trees.total) == (0.025, 12.5, 1200)
    assert (pie.dishes.share, sauce.amount.kilograms, cider.amount) == (0.5, 7.5, 0.0125)
    assert plan.taste.heritage_share == 0.25


def test_a_comma_nobody_can_read_is_told_at_its_field(desk: Browser) -> None:
    answer = desk.fill("/begin/ground", GROUND | {"length": "12,,5 m"})
    assert answer.status_code == 422
    assert "between thousands alone" in unescape(answer.text)
    assert "no setting" not in unescape(answer.text)


def test_somebody_has_to_want_apples(desk: Browser) -> None:
    nobody = dict.fromkeys(GUESTS, "") | {"share_fresh": "0.8"}
    assert "say how many there are" in desk.fill("/begin/guests", nobody).text
    assert desk.fill("/begin/guests", nobody | {"cider": "1500"}).url.path == "/begin/taste"


def test_a_cider_maker_says_litres_and_eight_trees_are_eight() -> None:
    plan = parse_plan(
        first_plan({"units": "us", "cider": "400", "cider_style": "bottle conditioned", "trees": "8"})
    )
    (cider,) = plan.kitchen.cider
    assert (cider.style, round(cider.amount, 3)) == ("bottle conditioned", 1.514)  # m3: 400 US gallons
    assert plan.kitchen.needs == []
    assert plan.trees.total == 8


def short(record: bytes, days: int) -> bytes:
    return b"\n".join(record.splitlines()[: days + 1])


def test_a_record_says_at_once_what_it_holds_and_can_be_taken_away(
    desk: Browser, empty: Path, tmp_path: Path
) -> None:
    record = weather(tmp_path)
    answer = send_file(desk, "/begin/weather", "month.csv", short(record, 395))
    assert answer.status_code == 422  # type: ignore[attr-defined]
    assert "no whole season" in unescape(answer.text)  # type: ignore[attr-defined]
    assert not (empty / "weather").exists()
    for days, says in (
        (400, ": 1 whole season. That is too little"),
        (1218, ": 3 whole seasons. Rare frosts"),
    ):
        assert says in unescape(send_file(desk, "/begin/weather", f"{days}.csv", short(record, days)).text)  # type: ignore[attr-defined]
    fields = {name: WHERE[name] for name in ("name", "units", "latitude")}
    said = desk.fill("/begin/away", {**fields, "away": "weather/1218.csv"}).text
    assert "<option>weather/400.csv" in said
    assert "1218.csv" not in said
    assert 'value="39.18"' in said  # what was typed stays
    desk.fill("/begin/away", {"away": "weather/400.csv"})
    assert "there is none yet" in unescape(desk.fill("/begin/where", WHERE).text)
    assert {path.name for path in (empty / "weather").iterdir()} == {"400.csv", "1218.csv"}
    said = unescape(send_file(desk, "/begin/weather", "400.csv", short(record, 400)).text)  # type: ignore[attr-defined]
    assert "<option selected>weather/400.csv" in said  # brought once more, it is there once more


def test_a_record_that_lay_there_is_looked_at_before_the_next_step(
    desk: Browser, empty: Path, tmp_path: Path
) -> None:
    (empty / "weather").mkdir(exist_ok=True)
    (empty / "weather/daily.csv").write_bytes(short(weather(tmp_path), 395))
    answer = desk.fill("/begin/where", WHERE | {"weather": "weather/daily.csv"})
    assert answer.status_code == 422
    assert "no whole season" in unescape(answer.text)


def test_a_step_that_fails_is_marked_and_leads_to_the_weather(tmp_path: Path) -> None:
    yard = small.make(tmp_path / "yard", years=4)
    (yard / "weather/daily.csv").write_bytes(short(weather(tmp_path), 395))
    with browsing(yard) as desk:
        desk.fill("/run/plan")
        said = until(desk, "could not be worked out")
    place = said[said.index("Place, failed") :]
    assert '<a href="/plan/weather">' in place[: place.index("</li>")]
    assert "Choice, not-reached" in said
    assert "waiting" not in said


def test_thousands_may_have_a_comma() -> None:
    answers = {
        "units": "us",
        "guests": "1,200",
        "share_fresh": "0.8",
        "made_sauce": "1,500 lb",
        "made_juice": "12,000",
    }
    answers |= {
        "cider": "1,000",
        "length": "1,300 ft",
        "width": "1,150",
        "trees": "1,200",
        "elevation": "1,720",
    }
    plan = parse_plan(first_plan(answers))
    assert plan.kitchen.needs[0].dishes is not None
    assert plan.kitchen.needs[0].dishes.guests_per_week == 1200
    made = [need.amount.kilograms / 0.45359237 for need in plan.kitchen.needs[1:] if need.amount]
    assert [round(pounds) for pounds in made] == [1500, 12000]
    assert round(plan.kitchen.cider[0].amount / 3.785411784e-3) == 1000
    sides = plan.ground.blocks[0].rectangle
    assert sides is not None
    assert [round(side / 0.3048) for side in (sides.length, sides.width)] == [1300, 1150]
    assert (plan.trees.total, round(plan.place.elevation / 0.3048)) == (1200, 1720)


@pytest.mark.parametrize(
    ("name", "typed", "setting"),
    [
        ("guests", "60, full: 1", "guests_per_week"),
        ("made_sauce", "60 lb/week, weight: 9", "amount"),
        ("cider", "40 gal, weight: 9", "amount"),
        ("length", "90 ft, width: 9 ft}", "length"),
        ("slope", "3 %, name: North", "slope"),
        ("row_bearing", "0}, {name: North", "row_bearing"),
        ("trees", "[1, 2]", "trees.total"),
        ("texture", "{a: 1}", "texture"),
    ],
)
def test_what_is_typed_is_one_answer_and_never_a_setting_beside_it(
    name: str, typed: str, setting: str
) -> None:
    answers = {"units": "us", "guests": "60", "share_fresh": "0.8", "cider_style": "still dry"}
    with pytest.raises(Faults) as found:
        parse_plan(first_plan(answers | {name: typed}))
    (told,) = found.value.notices
    assert isinstance(told, FileNotice)
    assert told.where.endswith(setting)


@pytest.mark.parametrize("trees", ["0", "-5", "2000000", "2,000,000", "1.5", "many"])
def test_a_number_of_trees_that_cannot_be_is_told_at_its_field(desk: Browser, trees: str) -> None:
    answer = desk.fill("/begin/ground", GROUND | {"trees": trees})
    assert answer.status_code == 422
    assert re.search(r'<input id="trees"[^>]*aria-invalid="true"', answer.text)


def test_files_are_read_before_they_are_kept(desk: Browser, empty: Path) -> None:
    for name, content in (
        ("x.csv", b"not weather"),
        ("x.exe", b"MZ"),
        ("..", b""),
        ("plan.yaml", b"name: x"),
    ):
        assert send_file(desk, "/begin/weather", name, content).status_code == 422  # type: ignore[attr-defined]
    for name, content in (("x.geojson", b"{}"), ("x.svg", b"<svg onload='alert(1)'/>"), ("x.json", b"\xff")):
        assert send_file(desk, "/begin/outline", name, content).status_code == 422  # type: ignore[attr-defined]
    assert not list((empty / "weather").glob("*")) if (empty / "weather").exists() else True
    assert {path.name for path in empty.iterdir()} <= {".topwire", "weather"}


def test_a_files_name_cannot_lead_anywhere(desk: Browser, empty: Path, tmp_path: Path) -> None:
    found = send_file(desk, "/begin/weather", "../../../out side/..\\evil.csv", weather(tmp_path))
    assert found.status_code == 200  # type: ignore[attr-defined]
    assert [path.name for path in (empty / "weather").iterdir()] == ["evil.csv"]


def test_a_file_that_is_brought_takes_no_others_place(desk: Browser, empty: Path, tmp_path: Path) -> None:
    room = empty / "weather"
    room.mkdir(exist_ok=True)
    (room / "daily.csv").write_text("mine", encoding="utf-8")
    content = weather(tmp_path)
    for _ in range(2):
        assert send_file(desk, "/begin/weather", "daily.csv", content).status_code == 200  # type: ignore[attr-defined]
    assert (room / "daily.csv").read_text(encoding="utf-8") == "mine"
    assert {path.name for path in room.iterdir()} == {"daily.csv", "daily-2.csv"}
    assert "weather/daily-2.csv" in desk.get("/begin/where").text


@pytest.mark.parametrize("name", ["days.json", "days", f"{'long' * 100}.csv", "fetched.json"])
def test_what_a_file_is_its_content_tells(desk: Browser, empty: Path, tmp_path: Path, name: str) -> None:
    assert send_file(desk, "/begin/weather", name, weather(tmp_path)).status_code == 200  # type: ignore[attr-defined]
    (there,) = (empty / "weather").iterdir()
    assert there.name != "fetched.json"  # what is fetched is told of there


@pytest.mark.parametrize(
    ("answers", "fewest", "most"),
    [
        ({"trees": "120"}, 6, 15),  # of few trees, on whatever ground
        ({"trees": "120", "length": "300 ft", "width": "150 ft"}, 6, 15),
        ({"trees": "24"}, 3, 8),
        ({"most": "8"}, 8, 8),
        ({"fewest": "40"}, 40, 40),
        ({"trees": "900"}, 15, 30),
        ({}, 15, 30),
    ],
)
def test_what_was_not_asked_yet_never_stands_against_what_was(
    answers: dict[str, str], fewest: int, most: int
) -> None:
    plan = parse_plan(first_plan({"units": "us", "cider": "150", **answers}))
    assert (plan.taste.fewest_cultivars, plan.taste.most_cultivars) == (fewest, most)


def test_first_plans_are_plans_in_both_units() -> None:
    for units, length in (("us", "300 ft"), ("metric", "90 m")):
        answers = {"units": units, "guests": "200", "length": length, "width": length, "slope": "3 %"}
        answers |= {f"share_{one.use}": "0.5" for one in EATEN} | {f"made_{one.use}": "500" for one in MADE}
        plan = parse_plan(first_plan(answers))
        assert len(plan.kitchen.needs) == len(EATEN) + len(MADE)
        assert plan.unit_system == units
    assert parse_plan(first_plan({"longitude": "−78.16"})).place.longitude == -78.16  # as a page prints it
    untouched = parse_plan(first_plan({}))
    assert len(untouched.kitchen.needs) == 4
