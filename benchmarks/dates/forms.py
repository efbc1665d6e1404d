"""Forms of the bloom model that were tried: running heat of a place's years from a few shared figures."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from dates.records import Array, Place

from topwire.phenology.bloom import BloomShape, heat_after_chill, warmth
from topwire.phenology.heat import growing_degree_hours


@dataclass(frozen=True)
class Form:
    """A form: running heat of a place's years from its figures, and where the search for them begins."""

    name: str
    heat: Callable[[Place, Sequence[float]], Array]
    start: tuple[float, ...]
    bounds: tuple[tuple[float, float], ...]


def _shape(values: Sequence[float]) -> BloomShape:
    midpoint, width, gate_day, gate_width, extra, fading = values
    return BloomShape(midpoint, width, gate_day, gate_width, extra, fading)


def _in_sequence(place: Place, values: Sequence[float]) -> Array:
    """Growing degree hours from 60 portions on, need falling with chill: the form shipped before."""
    (extra,) = values
    heat = np.cumsum(np.where(place.chill >= 60.0, growing_degree_hours(place.temperature), 0.0), axis=1)
    return heat / (1.0 + extra * np.exp(-0.04 * np.maximum(place.chill - 60.0, 0.0)))


def _degree_days(place: Place, values: Sequence[float]) -> Array:
    """Degree hours above a base from 1 January: with the need two parameters."""
    (base,) = values
    heat = np.maximum(place.temperature - base, 0.0)
    heat[:, : 92 * 24] = 0.0
    return np.cumsum(heat, axis=1)


def _late_degree_days(place: Place, values: Sequence[float]) -> Array:
    """Degree hours above 4.5 deg C from a day on: with the need two parameters."""
    (first,) = values
    heat = np.maximum(place.temperature - 4.5, 0.0)
    heat[:, : round((first + 91) * 24)] = 0.0
    return np.cumsum(heat, axis=1)


def _gated_degree_hours(place: Place, values: Sequence[float]) -> Array:
    """The asymmetric curve behind a gate of the day, need falling with chill."""
    gate_day, gate_width, extra, fading = values
    gate = BloomShape(0, 1, gate_day, gate_width, 0.0, 1.0)
    open_ = warmth(np.full_like(place.temperature[:1], 100.0), gate)
    heat = np.cumsum(open_ * growing_degree_hours(place.temperature), axis=1)
    return heat / (1.0 + extra * np.exp(-fading * np.maximum(place.chill - 40.0, 0.0)))


def _chill_gate(place: Place, values: Sequence[float]) -> Array:
    """Sigmoid warmth behind a gate of chill in place of the day."""
    midpoint, width, gate, gate_width = values
    h = 1.0 / (1.0 + np.exp(-np.clip((place.temperature - midpoint) / width, -60, 60)))
    return np.cumsum(h / (1.0 + np.exp(-np.clip((place.chill - gate) / gate_width, -60, 60))), axis=1)


SHAPED = Form(
    "sigmoid warmth, gate of the day, chill overlap",
    lambda place, values: heat_after_chill(place.temperature, place.chill, _shape(values)),
    (19.0, 5.5, 45.0, 4.0, 1.4, 0.02),
    ((5, 20), (1, 8), (0, 60), (3, 20), (0, 8), (0.01, 0.15)),
)
FIGURES = ("midpoint", "width", "gate_day", "gate_width", "extra", "fading")
GATED = Form(
    "degree hours, gate of the day, chill overlap",
    _gated_degree_hours,
    (54.0, 9.0, 1.8, 0.03),
    ((0, 60), (3, 20), (0, 8), (0.01, 0.15)),
)
UNCHILLED = Form(
    "sigmoid warmth, gate of the day",
    lambda place, values: heat_after_chill(place.temperature, place.chill, _shape([*values, 0.0, 1.0])),
    (15.0, 7.0, 49.0, 3.0),
    ((5, 20), (1, 8), (0, 60), (3, 20)),
)
FORMS = (
    SHAPED,
    UNCHILLED,
    Form("sigmoid warmth, gate of chill", _chill_gate, (13.0, 2.2, 52.0, 25.0), ((5, 20), (1, 8), (20, 95), (1, 30))),
    GATED,
    Form("degree hours from 60 portions, chill overlap", _in_sequence, (2.0,), ((0, 10),)),
    Form("degree-days from 1 January, base and need", _degree_days, (4.5,), ((-5, 12),)),
    Form("degree-days above 4.5 deg C, start and need", _late_degree_days, (30.0,), ((1, 80),)),
)  # fmt: skip
# The best forms, of which the mean is tried too.
BEST = (SHAPED, GATED)
