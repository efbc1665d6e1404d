import pytest

from topwire.growth.wording import hours_words, in_units
from topwire.values.units import UnitSystem


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("sticks of 15-20 cm", "sticks of 6-8 in"),
        ("loop with 5 cm of room", "loop with 2 in of room"),
        ("shoots are 8-10 cm", "shoots are 3-4 in"),
        ("2-2.5 cm thick", "1 in thick"),
        ("kept at 0-2 °C", "kept at 32-36 °F"),
        ("not below -5 °C", "not below 23 °F"),
        ("calliper 6-10 mm", "calliper 0.25-0.4 in"),
        ("wire plus 0.2 m", "wire plus 0.5 ft"),
        ("6 fruits per cm2", "6 fruits per cm2"),
        ("200-250 degree-days base 4 °C", "360 to 450 degree-days base 39 °F"),
        ("200 to 250 degree-days base 4 °C", "360 to 450 degree-days base 39 °F"),
        ("firmness 16 lb", "firmness 16 lb"),
        ("70 % alcohol, 30-36 laterals", "70 % alcohol, 30-36 laterals"),
    ],
)
def test_for_american_readers(written: str, shown: str) -> None:
    assert in_units(written, UnitSystem.US) == shown
    if "lb" not in written:
        assert in_units(written, UnitSystem.METRIC) == written


def test_for_metric_readers() -> None:
    assert in_units("firmness 16 lb for a short", UnitSystem.METRIC) == "firmness 7.3 kg for a short"


def test_by_area() -> None:
    assert hours_words(1334, UnitSystem.US) == "540 hours an acre"
    assert hours_words(1334, UnitSystem.METRIC) == "1,334 hours a hectare"
