"""Keys: equal questions have one, others do not."""

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.values.key import key_of


class Colour(StrEnum):
    RED = "red"


@dataclass(frozen=True)
class Asked:
    name: str
    numbers: np.ndarray
    shares: dict[str, float]
    inner: tuple[object, ...] = ()


ASKED = Asked("a", np.array([1.0, np.nan, 3.0]), {"x": 0.5, "y": 0.1}, (Colour.RED, None, True, 2, 2.0))
LEAVES = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False), st.text(max_size=4))
TREES = st.recursive(
    LEAVES,
    lambda inner: st.one_of(st.tuples(inner, inner), st.dictionaries(st.text(max_size=3), inner, max_size=3)),
)


def test_equal_values_have_one_key() -> None:
    again = replace(ASKED, numbers=ASKED.numbers.copy(), shares={"y": 0.1, "x": 0.5})
    assert key_of(again) == key_of(ASKED)


@pytest.mark.parametrize(
    "other",
    [
        replace(ASKED, name="b"),
        replace(ASKED, numbers=np.array([1.0, np.nan, 3.5])),
        replace(ASKED, numbers=np.array([[1.0, np.nan, 3.0]])),
        replace(ASKED, numbers=np.array([1.0, 2.0, 3.0], dtype=np.float32)),
        replace(ASKED, shares={"x": 0.5}),
        replace(ASKED, inner=(Colour.RED, None, True, 2, 2.1)),
        replace(ASKED, inner=("red", None, True, 2, 2.0)),
        replace(ASKED, inner=(Colour.RED, None, 1, 2, 2.0)),
        replace(ASKED, inner=((Colour.RED, None), True, 2, 2.0)),
        replace(ASKED, inner=(date(2024, 4, 28),)),
    ],
)
def test_any_difference_is_another_key(other: Asked) -> None:
    assert key_of(other) != key_of(ASKED)


@given(TREES, TREES)
def test_keys_differ_exactly_where_values_do(one: object, other: object) -> None:
    assert (key_of(one) == key_of(other)) == (_typed(one) == _typed(other))


def _typed(value: object) -> object:
    """A value in which 1, 1.0 and True are not the same."""
    if isinstance(value, tuple):
        return tuple(_typed(item) for item in value)
    if isinstance(value, dict):
        return ("mapping", tuple((name, _typed(value[name])) for name in sorted(value)))
    return (type(value).__name__, value + 0.0 if isinstance(value, float) else value)


def test_a_question_holds_plain_values_only() -> None:
    with pytest.raises(TypeError, match="cannot hold a function"):
        key_of((1, lambda: 0))
