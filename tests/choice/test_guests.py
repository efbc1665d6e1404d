"""From guests to pounds, and soft wishes."""

import pytest
from choice.conftest import CATALOGUE
from pydantic import ValidationError

from topwire.choice.question import covers_of, whole_fruit_per_week
from topwire.plan.kitchen import Dishes, Need, TasteSection

SEATS = {"seats": 60, "services_per_week": 5, "full": 0.7, "share": 0.5, "dish": "slice of pie"}


def test_seats_services_and_how_full_make_guests() -> None:
    dishes = Dishes.model_validate(SEATS)
    assert dishes.guests == pytest.approx(210)
    assert whole_fruit_per_week(dishes, CATALOGUE) == pytest.approx(210 * 0.5 * 0.175)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"guests_per_week": 200}, "exactly one"),
        ({"seats": None}, "go together"),
        ({"seats": None, "services_per_week": None}, "exactly one"),
    ],
)
def test_guests_are_said_one_way(change: dict[str, object], says: str) -> None:
    with pytest.raises(ValidationError, match=says):
        Dishes.model_validate(SEATS | change)


def test_both_ways_stand_side_by_side() -> None:
    days = {"use": "pie", "from": "1 Sep", "to": "1 Nov"}
    by_guests = covers_of(Need.model_validate(days | {"dishes": SEATS}), CATALOGUE)
    by_mass = covers_of(Need.model_validate(days | {"amount": "18.375 kg/week"}), CATALOGUE)
    assert by_guests is not None
    assert by_mass is not None
    assert (by_guests.guests, by_guests.share) == (pytest.approx(210), 0.5)
    assert 18.375 / by_mass.portion == pytest.approx(210 * 0.5)
    assert covers_of(Need.model_validate(days | {"amount": "9 kg/season"}), CATALOGUE) is None


def test_nobody_is_liked_and_disliked() -> None:
    with pytest.raises(ValidationError, match="favourites"):
        TasteSection.model_validate({"favourites": ["Gala"], "dislikes": ["Gala"]})
