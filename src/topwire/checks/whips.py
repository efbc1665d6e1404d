"""Whips on their way to the wires, held against arithmetic worked out apart and lengths read in extension notes."""

from functools import partial

from topwire.catalogue.model import Mark
from topwire.checks import Check, checks_of
from topwire.growth.whip import cane_length, day_grown, feather_angle, grown_by, passing, seasons_to

_check = checks_of("Years")
_TOP = 3.0  # [m]
# Start [m], growth of a season [m], seasons to a wire at 3.0 m.
_SEASONS = (
    (0.45, 0.30, 9), (1.00, 0.30, 7), (1.50, 0.30, 5),
    (0.45, 0.45, 6), (1.00, 0.45, 5), (1.50, 0.45, 4),
    (0.45, 0.60, 5), (1.00, 0.60, 4), (1.50, 0.60, 3),
    (0.45, 0.75, 4), (1.00, 0.75, 3), (1.50, 0.75, 2),
    (0.45, 0.90, 3), (1.00, 0.90, 3), (1.50, 0.90, 2),
    (0.45, 1.275, 2), (1.00, 1.27, 2), (1.50, 1.27, 2),
)  # fmt: skip
_JUNE_27, _JULY_31 = 178.0, 212.0


def checks() -> list[Check]:
    found = [
        _check(
            f"seasons from {start:.2f} m to a wire at 3.00 m at {growth:.2f} m a season",
            "WHIP-SEASONS",
            seasons,
            partial(seasons_to, _TOP, start, growth),
            0.01,
            Mark.COMPUTED,
        )
        for start, growth, seasons in _SEASONS
    ]
    goal = 0.535  # [m] middle of 46 to 61 cm by the end of July
    return [
        *found,
        _check(
            "leader by 27 June where it makes 46-61 cm by the end of July (published 30-36), cm",
            "TRAIN-CORNELL12",
            33.0,
            lambda: 100 * goal * float(grown_by(_JUNE_27)) / float(grown_by(_JULY_31)),
            3.0,
            Mark.READ,
        ),
        _check(
            "share of a season's growth made by the end of July, least to most 0.9 to 1",
            "TRAIN-CORNELL12",
            0.95,
            lambda: float(grown_by(_JULY_31)),
            0.05,
            Mark.READ,
        ),
        _check(
            "the growth curve and its inverse, day by which half is made, twice over",
            "WHIP-SEASONS",
            0.5,
            lambda: float(grown_by(day_grown(0.5))),
            1e-9,
            Mark.COMPUTED,
        ),
        _check(
            "leaf in which a whip of 0.45 m growing 0.60 m is a hand past a wire at 0.90 m",
            "WHIP-SEASONS",
            2,
            lambda: float(passing([0.45, 1.05, 1.65, 2.25], 0.9).leaf or 0),
            0.01,
            Mark.COMPUTED,
        ),
        _check(
            "cane past the second wire at 1.6 m, m (published proposal 2.1 to 2.4)",
            "common practice, no source",
            2.25,
            partial(cane_length, [0.9, 1.6, 2.3, 3.0]),
            0.16,
        ),
        _check(
            "feather angle of a strong tree from upright, degrees",
            "common practice, no source",
            115,
            lambda: sum(feather_angle(1.5)) / 2,
            5.1,
        ),
        _check(
            "feather angle of a weak tree from upright, degrees",
            "common practice, no source",
            90,
            lambda: feather_angle(0.6)[0],
            0.1,
        ),
    ]
