"""The German service's packed files: a spoiled one is told apart from weather, never a traceback."""

import io
import zipfile

import pytest

from topwire.values.fault import Faults
from topwire.weather.german import unpacked
from topwire.weather.read import reading_of

NAME = "produkt_klima_tag_20200101_20201231_01234.txt"
DAYS = b"STATIONS_ID;MESS_DATUM;TXK;TNK;eor\n" + b"1234;20200101;4.1;-0.3;eor\n" * 400


def packed(*, name: str = NAME) -> bytes:
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, DAYS)
    return kept.getvalue()


def test_the_days_come_out_and_nothing_else_does() -> None:
    assert unpacked(packed(), 100_000) == DAYS
    assert unpacked(packed(), len(DAYS) - 1) is None  # more than it may unpack to
    assert unpacked(packed(name="Metadaten.html"), 100_000) is None
    assert unpacked(b"<!doctype html>", 100_000) is None


def test_every_torn_or_cut_archive_is_none() -> None:
    whole = packed()
    for at in range(30, len(whole), 7):
        torn = whole[:at] + bytes([whole[at] ^ 0xFF]) + whole[at + 1 :]
        assert unpacked(torn, 100_000) in (None, DAYS)
        assert unpacked(whole[:at], 100_000) is None


def test_a_bad_value_is_told_by_its_line_with_empty_lines_above() -> None:
    lines = DAYS.decode().splitlines()
    lines[2] = lines[2].replace("4.1", "warm")
    with pytest.raises(Faults, match="line 6, TXK: “warm” is not a number"):
        reading_of("\n".join(["", "", "", *lines]).encode(), "days.txt")
