"""Wrong and damaged files: each gets a message that says where, what is wrong, and what would be right."""

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from topwire.values.fault import Faults
from topwire.weather.read import read_weather

DATA = Path(__file__).parent / "data"


def plain(
    days: int = 400,
    *,
    header: str = "date,tmin_c,tmax_c,rain_mm",
    row: Callable[[str, float, float, float], str] = lambda day, low, high, rain: (
        f"{day},{low:.1f},{high:.1f},{rain}"
    ),
) -> str:
    """A sound year and more of invented weather, with the header and the rows as asked."""
    day = np.datetime64("2019-01-01") + np.arange(days)
    middle = 10 - 12 * np.cos(2 * np.pi * (np.arange(days) - 15) / 365.25)
    wobble = 3 * np.sin(np.arange(days) * 1.7) + 2 * np.sin(np.arange(days) * 0.61)
    lines = [
        row(str(one), float(level + swing - 5), float(level + swing + 5), 6.4 if at % 3 == 0 else 0.0)
        for at, (one, level, swing) in enumerate(zip(day, middle, wobble, strict=True))
    ]
    return "\n".join([header, *lines]) + "\n"


def line_changed(text: str, line: int, new: str) -> str:
    lines = text.split("\n")
    lines[line - 1] = new
    return "\n".join(lines)


def sample(name: str) -> str:
    return (DATA / name).read_text(encoding="utf-8")


GOOD = plain()
FAHRENHEIT = plain(
    row=lambda day, low, high, rain: f"{day},{low * 1.8 + 32:.0f},{high * 1.8 + 32:.0f},{rain}"
)


def marked(text: str, mark: str) -> str:
    """Every twentieth day is missing, and says so by a mark."""
    header, *lines = text.splitlines()
    cells = [line.split(",") for line in lines]
    marks = [[day, mark, mark, rain] if at % 20 == 7 else [day, low, high, rain] for at, (day, low, high, rain) in
             enumerate(cells)]  # fmt: skip
    return "\n".join([header, *map(",".join, marks)]) + "\n"


MARKED = marked(GOOD, "99.9")
CASES: dict[str, tuple[str | bytes, list[str]]] = {
    "empty": ("", ["is empty"]),
    "only blanks": (" \n \n", ["is empty"]),
    "rubbish": (bytes(range(256)) * 40, ["is not a text file", "CSV"]),
    "zeros": (b"date,tmin_c\n\x00\x00", ["is not a text file"]),
    "spreadsheet": (b"PK\x03\x04" + b"x" * 100, ["spreadsheet", "CSV (UTF-8)"]),
    "packed": (b"\x1f\x8b" + b"x" * 100, ["packed", "Unpack"]),
    "pdf": (b"%PDF-1.7 ...", ["PDF"]),
    "prose": (
        "The weather was fine all year.\nMostly.\n",
        ["line 1", "of no kind that is known", "docs/weather.md"],
    ),
    "one endless line": ("date,tmin_c," * 20_000, ["line 1", "too long"]),
    "other json": ('{"weather": [1, 2]}', ["is JSON, but not of the kind"]),
    "cut json": (sample("power_daily.json")[:600], ["line", "column", "not whole JSON"]),
    "header alone": ("date,tmin_c,tmax_c\n", ["a header but no days"]),
    "one month": (plain(31), ["holds 31 days", "at least a year"]),
    "fahrenheit read as celsius": (FAHRENHEIT, ["Fahrenheit read as Celsius", "tmin_f and tmax_f"]),
    "a mark in a celsius file": (
        MARKED,
        ["99.9 °C (211.8 °F) stands on 20 days", "a mark", "Leave those cells empty"],
    ),
    "a mark hides celsius read as fahrenheit": (
        MARKED.replace("tmin_c,tmax_c", "tmin_f,tmax_f"),
        ["37.72 °C (99.9 °F) stands on 20 days", "Celsius read as Fahrenheit", "tmin_c and tmax_c"],
    ),
    "a mark in a fahrenheit file": (
        marked(FAHRENHEIT.replace("tmin_c,tmax_c", "tmin_f,tmax_f"), "999"),
        ["537.2 °C (999 °F) stands on 20 days"],
    ),
    "kelvin": (
        plain(row=lambda day, low, high, rain: f"{day},{low + 273.15:.1f},{high + 273.15:.1f},{rain}"),
        ["looks like Kelvin", "Take 273.15 away"],
    ),
    "tenths": (
        plain(row=lambda day, low, high, rain: f"{day},{low * 10:.0f},{high * 10:.0f},{rain}"),
        ["looks like tenths of a degree", "Divide the temperatures by ten"],
    ),
    "wild values in a celsius file": (
        plain(row=lambda day, low, high, rain: f"{day},{low:.1f},{high + 70 * (high > 23):.1f},{rain}"),
        ["cannot be. Look for temperatures above 56 °C (132.8 °F)"],
    ),
    "celsius read as fahrenheit": (
        GOOD.replace("tmin_c,tmax_c", "tmin_f,tmax_f"),
        ["Celsius read as Fahrenheit", "tmin_c and tmax_c"],
    ),
    "columns swapped": (GOOD.replace("tmin_c,tmax_c", "tmax_c,tmin_c"), ["lie above the highest", "swapped"]),
    "inches read as millimetres": (
        plain(row=lambda day, low, high, rain: f"{day},{low:.1f},{high:.1f},{0.03 if rain else 0.0}"),
        ["inches may have been read as millimetres", "rain_in"],
    ),
    "millimetres read as inches": (
        plain(row=lambda day, low, high, rain: f"{day},{low:.1f},{high:.1f},{rain * 4}").replace(
            "rain_mm", "rain_in"
        ),
        ["millimetres may have been read as inches", "rain_mm"],
    ),
    "watts read as megajoules": (
        plain(
            header="date,tmin_c,tmax_c,sun_mj_m2",
            row=lambda day, low, high, rain: f"{day},{low:.1f},{high:.1f},{60 + 8 * high:.0f}",
        ),
        ["MJ/m2 of sun a day cannot be", "sun_w_m2"],
    ),
    "kilometres an hour read as metres a second": (
        plain(
            header="date,tmin_c,tmax_c,wind_m_s",
            row=lambda day, low, high, rain: f"{day},{low:.1f},{high:.1f},{20 + rain}",
        ),
        ["a daily wind of", "km/h may have been read as m/s", "wind_km_h"],
    ),
    "dew point in fahrenheit": (
        plain(
            header="date,tmin_c,tmax_c,dew_point_c",
            row=lambda day, low, high, rain: f"{day},{low:.1f},{high:.1f},{low * 1.8 + 30:.0f}",
        ),
        ["a dew point of", "Fahrenheit", "dew_point_f"],
    ),
    "unit not said": (
        GOOD.replace("tmin_c", "tmin"),
        ["line 1", "“tmin” does not say its unit", "tmin_c or tmin_f"],
    ),
    "misspelt column": (
        GOOD.replace("tmin_c", "tmni_c"),
        ["line 1", "lowest", "Is it “tmni_c”?", "tmin_c or tmin_f"],
    ),
    "no highest": (
        plain(header="date,tmin_c,rain_mm", row=lambda day, low, high, rain: f"{day},{low:.1f},{rain}"),
        ["line 1", "no column of the day's highest temperature"],
    ),
    "no date": (GOOD.replace("date,", "dat,"), ["line 1", "no column of the date", "Is it “dat”?"]),
    "two columns of one thing": (
        plain(
            header="date,tmin_c,tmax_c,tmax_f",
            row=lambda day, low, high, rain: f"{day},{low:.1f},{high:.1f},70",
        ),
        ["tmax_c and tmax_f say the same thing"],
    ),
    "empty lines before the header": (
        "\n\n\n" + line_changed(GOOD, 3, "2019-01-02,x,5.0,0.0"),
        ["line 6, tmin_c"],
    ),
    "a zone by its name": (
        "time,temp_c\n2019-01-01 00:00 EST,1\n2019-01-01 01:00 EST,1\n",
        ["line 2, time", "“2019-01-01 00:00 EST” names a zone", "leave the zone away"],
    ),
    "word among numbers": (
        line_changed(GOOD, 7, "2019-01-06,warm,5.0,0.0"),
        ["line 7, tmin_c", "“warm” is not a number", "leave the cell empty"],
    ),
    "decimal comma": (
        line_changed(GOOD, 5, "2019-01-04,-3,5,4,0.0"),
        ["line 5", "has 5 columns", "decimal comma"],
    ),
    "line cut off": (
        line_changed(GOOD, 401, "2020-02-03,-3"),
        ["line 401", "has 2 columns where the header names 4"],
    ),
    "american dates": (
        plain(
            row=lambda day, low, high, rain: (
                f"{int(day[5:7])}/{int(day[8:])}/{day[:4]},{low:.1f},{high:.1f},{rain}"
            )
        ),
        [
            "line 2, date",
            "“1/1/2019” does not say which number is the day",
            "2019-05-03",
            "more faults of the kind",
        ],
    ),
    "a date that never was": (
        line_changed(GOOD, 9, "2019-02-30,1,2,0"),
        ["line 9, date", "“2019-02-30” is not a date"],
    ),
    "a year that never was": (
        line_changed(GOOD, 9, "0219-01-08,1,2,0"),
        ["line 9, date", "no year of weather records"],
    ),
    "a day twice": (
        line_changed(GOOD, 9, "2019-01-07,-20.0,-3.0,0"),
        ["2019-01-07 stands twice with different values", "two stations belong in two files"],
    ),
    "two stations": (
        "station,date,tmin_c,tmax_c\nA,2019-01-01,1,2\nB,2019-01-01,1,2\n",
        ["holds 2 stations (A, B)", "Cut it to one station"],
    ),
    "noaa, two stations": (
        sample("ghcn_access.csv").replace('"XX000000001","2021-05-02"', '"XX000000002","2021-05-02"'),
        ["holds 2 stations"],
    ),
    "noaa, whole degrees": (
        "STATION,NAME,DATE,PRCP,TMAX,TMIN\n"
        + "\n".join(
            f"X,Y,{np.datetime64('2019-01-01') + at},0.00,{60 + at % 30},{40 + at % 20}" for at in range(400)
        ),
        ["column TMAX", "cannot be tenths", "Fahrenheit", "tmax_f, tmin_f and rain_in"],
    ),
    "noaa, value lost": (
        sample("ghcn_by_station.csv").replace("TMAX,180", "TMAX,18x"),
        ["line 5", "“18x” is not a value of TMAX"],
    ),
    "noaa, fixed width shifted": (
        sample("ghcn.dly").replace("  155  7", "  1 55 7"),
        ["line 1", "place 22", "not a value of TMAX, day 1"],
    ),
    "power, cut header": (sample("power_daily.csv").partition("-END")[0], ["no line -END HEADER-", "Fetch"]),
    "power, no temperature": (
        sample("power_daily.csv").replace("T2M_MIN", "TS_MIN"),
        ["has no T2M_MIN", "Ask for T2M_MIN, T2M_MAX"],
    ),
    "power, day 400": (
        sample("power_daily.csv").replace("2021,122", "2021,400"),
        ["line 17, DOY", "make no date"],
    ),
    "power, 30 February": (
        sample("power_hourly.csv").replace("2021,5,2,5,", "2021,2,30,5,"),
        ["line", "MO", "make no date"],
    ),
    "power, hour 24": (
        sample("power_hourly.csv").replace("2021,5,2,23,", "2021,5,2,24,"),
        ["HR", "24 is no hour of the day"],
    ),
    "power, kelvin": (
        sample("power_daily.json").replace('"units": "C"', '"units": "K"'),
        ["T2M_MAX is in “K”", "agroclimatology"],
    ),
    "epw cut in its header": ("\n".join(sample("place.epw").split("\n")[:5]), ["eight header lines"]),
    "epw line cut": (
        ",".join(sample("place.epw").split(",")[:-25]),
        ["line 56", "has 10 fields where EPW has 35"],
    ),
    "epw month 13": (
        sample("place.epw").replace("\n2004,7,", "\n2004,13,"),
        ["line 33", "month 13", "cannot be"],
    ),
    "tmy3 date": (
        sample("tmy3.csv").replace("07/01/1995,01:00", "1995-07-01,01:00"),
        ["line 27", "not a date and time"],
    ),
    "hours in universal time": (
        "time,temp_c\n2021-05-01T00:00Z,10.0\n2021-05-01T01:00Z,9.0\n",
        ["line 2, time", "not in local standard time"],
    ),
    "hour 25": ("date,hour,temp_c\n2021-05-01,25,10.0\n", ["line 2, hour", "“25” is not a time of day"]),
    "no temperature in hours": (
        "time,humidity_pct\n2021-05-01 00:00,70\n",
        ["no column of temperature", "temp_c"],
    ),
    "temperature never measured": (
        plain(row=lambda day, low, high, rain: f"{day},,,{rain}"),
        ["no day of the record has both"],
    ),
}


def test_the_pattern_is_sound(tmp_path: Path) -> None:
    path = tmp_path / "daily.csv"
    path.write_text(GOOD)
    weather = read_weather([path])
    assert weather.day.size == 400
    assert not weather.notices


@pytest.mark.parametrize("name", CASES)
def test_says_what_is_wrong(tmp_path: Path, name: str) -> None:
    content, expected = CASES[name]
    path = tmp_path / "mine.csv"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    with pytest.raises(Faults) as raised:
        read_weather([path], labels=["weather/mine.csv"])
    told = str(raised.value)
    assert told.startswith("weather/mine.csv")
    for part in expected:
        assert part in told, told


@pytest.mark.parametrize("name", [name for name, (content, _) in CASES.items() if isinstance(content, str)])
def test_empty_lines_above_count_in_every_kind_of_file(tmp_path: Path, name: str) -> None:
    """As they do in an editor: all that is told is three lines farther down."""
    told = []
    for above in ("", "\n\n\n"):
        path = tmp_path / "mine.csv"
        path.write_text(above + str(CASES[name][0]), encoding="utf-8")
        with pytest.raises(Faults) as raised:
            read_weather([path])
        told.append(str(raised.value))
    moved = re.sub(r"(?<=\bline )\d+", lambda found: str(int(found[0]) + 3), told[0])
    assert told[1] == moved


def test_a_mark_is_not_told_as_fahrenheit(tmp_path: Path) -> None:
    (tmp_path / "daily.csv").write_text(MARKED)
    with pytest.raises(Faults) as raised:
        read_weather([tmp_path / "daily.csv"])
    assert "Fahrenheit" not in str(raised.value)
    (tmp_path / "daily.csv").write_text(marked(GOOD, ""))  # obeyed
    read_weather([tmp_path / "daily.csv"])


def test_a_desert_is_only_doubted(tmp_path: Path) -> None:
    """Little rain in whole tenths of a millimetre may be a desert with ditches: apples grow there."""
    path = tmp_path / "daily.csv"
    path.write_text(
        plain(row=lambda day, low, high, rain: f"{day},{low:.1f},{high:.1f},{0.4 if rain else 0.0}")
    )
    assert ["is a desert's" in notice.says for notice in read_weather([path]).notices] == [True]


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.csv"
    with path.open("wb") as stream:
        stream.truncate(200_000_000)  # sparse: two hundred megabytes that take no room
    with pytest.raises(Faults, match=r"is 200 MB; files up to 100 MB are read here"):
        read_weather([path])


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(Faults, match="there is no file"):
        read_weather([tmp_path / "none.csv"])


def test_all_files_are_told_at_once(tmp_path: Path) -> None:
    first, second = tmp_path / "first.csv", tmp_path / "second.csv"
    first.write_text("")
    second.write_text(FAHRENHEIT)
    with pytest.raises(Faults) as raised:
        read_weather([first, second])
    assert {notice.where for notice in raised.value.notices} == {"first.csv", "second.csv"}


def test_a_damaged_file_is_not_told_line_by_line(tmp_path: Path) -> None:
    path = tmp_path / "mine.csv"
    path.write_text(plain(row=lambda day, low, high, rain: f"{day},x,y,z"))
    with pytest.raises(Faults) as raised:
        read_weather([path])
    assert len(raised.value.notices) == 11
