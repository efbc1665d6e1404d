"""People's units to SI and back."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.values.units import (
    Kind,
    UnitSystem,
    bound_in,
    feet_and_inches,
    from_si,
    parse,
    shown,
    to_si,
    unit_in,
    unit_of,
    written_units,
)


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("12 ft", Kind.LENGTH, 3.6576),
        ("9 ft 6 in", Kind.LENGTH, 2.8956),
        ("9'6\"", Kind.LENGTH, 2.8956),
        ("3.6 m", Kind.LENGTH, 3.6),
        ("-20 ft", Kind.LENGTH, -6.096),
        ("5 lb 4 oz", Kind.MASS, 2.38135949),
        ("1,200 lb", Kind.MASS, 544.310844),
        ("1,234,567.5 m", Kind.LENGTH, 1234567.5),
        ("36 F", Kind.TEMPERATURE, 2.2222222),
        ("-4 °C", Kind.TEMPERATURE, -4.0),
        ("90 mph", Kind.SPEED, 40.2336),
        ("25 gpm", Kind.FLOW, 1.577255e-3),
        ("45 psi", Kind.PRESSURE, 310264.08),
        ("4 %", Kind.SLOPE, 0.04),
    ],
)
def test_reads_what_people_write(text: str, kind: Kind, expected: float) -> None:
    # conversion factors: NIST Special Publication 811, appendix B.8
    assert parse(text, kind) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("12", Kind.LENGTH, "with a unit"),
        ("ft", Kind.LENGTH, "with a unit"),
        ("", Kind.LENGTH, "missing"),
        ("12 lb", Kind.LENGTH, "measures mass"),
        ("12 furlong", Kind.LENGTH, "not a known unit"),
        ("3 C 4 C", Kind.TEMPERATURE, "not one temperature"),
        ("wide", Kind.LENGTH, "with a unit"),
        ("12,5 ft", Kind.LENGTH, r"“12,5 ft” .*write 12\.5 with a point"),
        ("−36,5 F", Kind.TEMPERATURE, r"write 36\.5 with a point"),
        ("5 lb 4,25 oz", Kind.MASS, r"write 4\.25 with a point"),
        ("1.234,5 kg", Kind.MASS, r"write 1234\.5 with a point"),
        ("0,500 m", Kind.LENGTH, r"write 0\.500 with a point"),
        ("12,5", Kind.LENGTH, r"write 12\.5 with a point"),
        ("12,,5 ft", Kind.LENGTH, "between thousands alone, as in 1,200"),
        ("1,20,000 ft", Kind.LENGTH, "between thousands alone, as in 1,200"),
    ],
)
def test_says_what_is_wrong(text: str, kind: Kind, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        parse(text, kind)


@given(st.floats(-1e6, 1e6), st.sampled_from(list(Kind)), st.sampled_from(list(UnitSystem)))
def test_there_and_back(value: float, kind: Kind, system: UnitSystem) -> None:
    unit = unit_of(kind, system)
    assert math.isclose(from_si(to_si(value, unit, kind), unit, kind), value, rel_tol=1e-9, abs_tol=1e-9)


def test_shows_in_the_persons_units() -> None:
    assert shown(3.6576, Kind.LENGTH, UnitSystem.US, digits=1) == "12.0\u00a0ft"
    assert shown(-1e-9, Kind.MASS, UnitSystem.METRIC) == "0\u00a0kg"
    assert feet_and_inches(9.6) == "31 ft 6 in"
    assert feet_and_inches(3.6575) == "12 ft 0 in"


@pytest.mark.parametrize("kind", [Kind.LENGTH, Kind.TEMPERATURE, Kind.MASS, Kind.FLOW, Kind.SLOPE])
@given(bound=st.floats(-1e5, 1e5), most=st.booleans(), data=st.data())
def test_a_told_bound_is_itself_allowed(kind: Kind, bound: float, most: bool, data: st.DataObject) -> None:
    said = f"3 {data.draw(st.sampled_from(written_units(kind)))}"
    told = parse(bound_in(bound, unit_in(said, kind), kind, most=most), kind)
    assert told <= bound if most else told >= bound
