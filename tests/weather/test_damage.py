"""Whatever happens to a file, the answer is a reading or a sentence: never a crash."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from topwire.values.fault import Faults, FileNotice
from topwire.weather.read import read_file, read_weather

SAMPLES = sorted((Path(__file__).parent / "data").iterdir())
SETTINGS = settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def answers(path: Path) -> None:
    told: tuple[FileNotice, ...] = ()
    try:
        reading = read_file(path, "mine")
    except Faults as found:
        told = found.notices
    if told:
        assert all(notice.where.startswith("mine") for notice in told)
        assert all(notice.says.endswith((".", "…")) for notice in told)
        return
    assert (np.diff(reading.day) > np.timedelta64(0, "D")).all()
    for values in reading.columns.values():
        assert values.shape == reading.day.shape
        assert not np.isinf(values).any()


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
@SETTINGS
@given(
    start=st.integers(0, 3000),
    length=st.integers(1, 400),
    middle=st.sampled_from([b"", b",", b"\n", b"x", b"9e999", b'"']),
)
def test_a_piece_missing(tmp_path: Path, sample: Path, start: int, length: int, middle: bytes) -> None:
    raw = sample.read_bytes()
    start %= len(raw)
    path = tmp_path / "mine"
    path.write_bytes(raw[:start] + middle + raw[start + length :])
    answers(path)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
@SETTINGS
@given(at=st.integers(0, 5000), digit=st.sampled_from("0123456789-.,;/TZ"))
def test_a_sign_changed(tmp_path: Path, sample: Path, at: int, digit: str) -> None:
    raw = bytearray(sample.read_bytes())
    raw[at % len(raw)] = ord(digit)
    path = tmp_path / "mine"
    path.write_bytes(raw)
    answers(path)


@SETTINGS
@given(raw=st.binary(max_size=3000))
def test_rubbish(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "mine"
    path.write_bytes(raw)
    answers(path)


@SETTINGS
@given(text=st.text(max_size=600))
def test_any_text(tmp_path: Path, text: str) -> None:
    path = tmp_path / "mine"
    path.write_text(text, encoding="utf-8")
    answers(path)


def test_a_short_record_of_any_kind_is_refused_not_crashed() -> None:
    for sample in SAMPLES:
        with pytest.raises(Faults, match="at least a year"):
            read_weather([sample])
