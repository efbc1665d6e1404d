"""The fewest cultivars that serve most places well: a covering problem, solved as a programme in whole numbers.

A place is served when in each part of the season (summer, main season, late) it has so many cultivars of the list to
choose from that last there, fit today and in the warmer climate asked for; or all that last there, where these are
fewer. A place where nothing lasts cannot be served by any list. What "lasts" here is what the place's own plan would
weigh too: see `PlaceAnswer.worth`.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.model import Model
from topwire.choice.solver import solve

PARTS = 3
MOST_NODES = 2_000  # branches after which the list found is taken, with the gap it has
# Of one cultivar, shared out over all: of equal lists the one whose cultivars fit most places and are free to all.
_PREFERENCE = 0.5
_FREE = 0.5  # part of the preference that being free counts

Flags = npt.NDArray[np.bool_]
Counts = npt.NDArray[np.int64]
Weights = npt.NDArray[np.float64]


@dataclass(frozen=True)
class ShortestList:
    """A list, by the cultivars' numbers; no list that serves as many places is shorter than `bound`."""

    listed: tuple[int, ...]
    bound: int


def packed(lasting: Flags, season: Counts) -> bytes:
    """What lasts at a place by part of the season, as a key under which equal places are counted once."""
    rows = np.stack([lasting & (season == part) for part in range(PARTS)])
    return np.packbits(rows, axis=1).tobytes()


def unpacked(key: bytes, cultivars: int) -> Flags:
    """(PARTS, cultivars)"""
    rows = np.frombuffer(key, dtype=np.uint8).reshape(PARTS, -1)
    return np.unpackbits(rows, axis=1, count=cultivars).astype(bool)


def asked_of(wants: Flags, choices: int) -> Counts:
    """(PARTS,) cultivars of the list that a place wants in each part of the season."""
    asked: Counts = np.minimum(wants.sum(axis=1), choices)
    return asked


def is_served(wants: Flags, on_list: Flags, choices: int) -> bool:
    """Whether a list serves a place, which it cannot where nothing lasts."""
    return bool(wants.any() and ((wants & on_list).sum(axis=1) >= asked_of(wants, choices)).all())


def fewest(
    places: Mapping[bytes, int], cultivars: int, share: float, choices: int = 1, free: Flags | None = None
) -> ShortestList:
    """The shortest list that serves `share` of the places that can be served.

    Parameters
    ----------
    places : how many there are of each key of `packed`
    cultivars : how many there are
    share : above 0 and up to 1
    choices : cultivars to choose from in each part of the season
    free : (cultivars,) those that anyone may propagate; None = all
    """
    kinds = [(wants, count) for key, count in places.items() if (wants := unpacked(key, cultivars)).any()]
    if not kinds:
        return ShortestList((), 0)
    needed = math.ceil(share * sum(count for _, count in kinds) - 1e-9)
    worth = np.zeros(cultivars)
    for wants, count in kinds:
        worth += count * wants.any(axis=0)
    liked = (1.0 - _FREE) * worth / max(float(worth.max()), 1.0)
    liked += _FREE * (np.ones(cultivars) if free is None else free)
    kept = _worth_asking(np.concatenate([wants for wants, _ in kinds]), worth, liked, choices)
    alike: dict[
        tuple[bytes, bytes], tuple[Flags, Counts, int]
    ] = {}  # kinds that differ in nothing that is kept
    for wants, count in kinds:
        few, asked = wants[:, kept], asked_of(wants, choices)
        key = (np.packbits(few, axis=1).tobytes(), asked.tobytes())
        alike[key] = (few, asked, alike[key][2] + count if key in alike else count)
    preference = _PREFERENCE / cultivars * liked[kept]
    model = Model()
    taken = model.add_columns(1.0 - preference, high=1.0, whole=True)
    served = model.add_columns(np.zeros(len(alike)), high=1.0, whole=True)
    for number, (few, asked, _) in enumerate(alike.values()):
        for row, least in zip(few, asked, strict=True):
            if least:
                line = model.add_rows(0.0, np.inf)
                model.put(line, taken[row], 1.0)
                model.put(line, served[number], -float(least))
    most = model.add_rows(float(needed), np.inf)
    model.put(most, served, np.array([float(count) for *_, count in alike.values()]))
    found = solve(model, gap=1e-6, most_nodes=MOST_NODES)
    assert found.values is not None  # all cultivars together serve all places that can be served
    listed = kept[found.values[taken] > 0.5]
    bound = max(math.ceil(found.bound - 1e-6), 1)
    return ShortestList(tuple(int(one) for one in listed), min(bound, len(listed)))


def served_places(
    places: Mapping[bytes, int], cultivars: int, listed: Sequence[int], choices: int = 1
) -> int:
    """How many places the list serves."""
    on_list = np.zeros(cultivars, dtype=bool)
    on_list[list(listed)] = True
    return sum(
        count for key, count in places.items() if is_served(unpacked(key, cultivars), on_list, choices)
    )


def _worth_asking(rows: Flags, worth: Weights, liked: Weights, choices: int) -> Counts:
    """Cultivars but those that `choices` better ones replace everywhere: some shortest list does without them."""
    wants = np.unique(rows, axis=0).astype(np.float32)
    extra = wants.T @ (1.0 - wants)  # (c, d): rows that c serves and d does not
    order = np.lexsort((np.arange(worth.size), -liked))
    kept: list[int] = []
    for one in order:
        if worth[one] > 0 and sum(extra[one, other] == 0 for other in kept) < choices:
            kept.append(int(one))
    return np.array(sorted(kept), dtype=np.int64)
