"""What all places say together, taken in one after the other."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from topwire.many.cover import fewest, is_served, packed, served_places, unpacked
from topwire.many.findings import (
    NotAnswered,
    PlaceAnswer,
    RegionFindings,
    RegionList,
    WorthPropagating,
)
from topwire.many.joint import JointOrders


@dataclass
class Region:
    """Counts over the places; holds no answer, so that a million places need no more memory than their kinds."""

    cultivars: tuple[str, ...] = ()
    places: int = 0
    _kinds: dict[bytes, int] = field(default_factory=dict)
    _fits: dict[str, int] = field(default_factory=dict)
    _lasts: dict[str, int] = field(default_factory=dict)
    _season: dict[str, int] = field(default_factory=dict)
    _licensed: frozenset[str] = frozenset()
    _joint: JointOrders = field(default_factory=JointOrders)

    def take(self, answer: PlaceAnswer) -> None:
        """Count a place. Cultivars a place has of its own, beside those of the first, are not for the region's list."""
        if not self.cultivars:
            self.cultivars = answer.cultivars
            self._season = dict(zip(answer.cultivars, map(int, answer.season), strict=True))
            self._licensed = frozenset(answer.licensed)
        self.places += 1
        worth = set(answer.worth)
        flags = np.array([name in worth for name in self.cultivars])
        season = np.array([self._season[name] for name in self.cultivars])
        key = packed(flags, season)
        self._kinds[key] = self._kinds.get(key, 0) + 1
        for counts, names in ((self._fits, answer.fits), (self._lasts, answer.lasting)):
            for name in names:
                counts[name] = counts.get(name, 0) + 1
        self._joint.take(answer)

    def found(self, share: float, choices: int, not_answered: Sequence[NotAnswered]) -> RegionFindings:
        """The list, and the joint orders."""
        winters, orders = self._joint.orders()
        return RegionFindings(
            self._list(share, choices) if self.places else None,
            winters,
            orders,
            tuple(sorted(not_answered, key=lambda one: one.line)),
        )

    def _list(self, share: float, choices: int) -> RegionList:
        count = len(self.cultivars)
        free = np.array([name not in self._licensed for name in self.cultivars])
        cover = fewest(self._kinds, count, share, choices, free)
        on_list = np.zeros(count, dtype=bool)
        on_list[list(cover.listed)] = True
        servable = sum(places for key, places in self._kinds.items() if any(key))
        lines = []
        for at in cover.listed:
            serves = needed = 0
            without = on_list.copy()
            without[at] = False
            for key, places in self._kinds.items():
                wants = unpacked(key, count)
                serves += places * bool(wants[:, at].any())
                if is_served(wants, on_list, choices) and not is_served(wants, without, choices):
                    needed += places
            name = self.cultivars[at]
            lines.append(
                WorthPropagating(
                    name,
                    self._fits.get(name, 0),
                    self._lasts.get(name, 0),
                    serves,
                    needed,
                    self._season[name],
                    name in self._licensed,
                )
            )
        lines.sort(key=lambda line: (line.season, -line.served_by, line.cultivar))
        return RegionList(
            tuple(lines),
            places=self.places,
            servable=servable,
            served=served_places(self._kinds, count, cover.listed, choices),
            asked=share,
            choices=choices,
            bound=cover.bound,
            gap=(len(lines) - cover.bound) / cover.bound if cover.bound else 0.0,
        )
