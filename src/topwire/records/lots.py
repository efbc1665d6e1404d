"""Lots of fruit by the records: what is noted as taken out of each beside what was picked into it."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from topwire.records.entries import CellarMoved, FruitPicked, FruitPressed, FruitSold, LotChecked, LotFate
from topwire.records.sold import is_fruit
from topwire.records.store import E, RecordStore

LIES = timedelta(days=400)  # beyond that no fruit lies in a cellar
_SCALES = 0.05  # of a lot that two weighings may differ by: planning figure, no source
_CRUMBS = 1.0  # [kg] that is worth no word


@dataclass(frozen=True)
class FruitTaken:
    """Fruit taken from where it was kept; `mass` [kg], None = all there was; `kitchen`: for the kitchen."""

    day: date
    noted: datetime
    lot: str
    cultivar: str
    mass: float | None
    kitchen: bool = False


@dataclass(frozen=True)
class LotDrawn:
    """A lot out of which more is noted as taken than was picked into it [kg]; `picked` 0: nobody noted a pick."""

    lot: str
    cultivar: str
    picked: float
    taken: float


def taken_out(
    moved: Iterable[CellarMoved], pressed: Iterable[FruitPressed], sold: Iterable[FruitSold]
) -> list[FruitTaken]:
    """What left the cellar, by day; what was served is the kitchen's already."""

    def taken(one: CellarMoved | FruitPressed | FruitSold, *, kitchen: bool = False) -> FruitTaken:
        return FruitTaken(one.day, one.noted, one.lot, one.cultivar, one.mass, kitchen)

    found = [
        taken(one, kitchen=one.fate is LotFate.KITCHEN) for one in moved if one.fate is not LotFate.MOVED
    ]
    found += [taken(one) for one in pressed]
    found += [taken(one) for one in sold if one.mass is not None and is_fruit(one.what)]
    return sorted(found, key=lambda one: (one.day, one.noted))


def overdrawn(
    picks: Iterable[FruitPicked],
    taken: Sequence[FruitTaken],
    looked: Iterable[LotChecked | CellarMoved],
    *,
    since: date,
) -> tuple[LotDrawn, ...]:
    """Named lots that cannot be as noted: more taken out than picked in, another cultivar, or never picked into.

    The cultivar is left out where several were picked into a lot.

    Parameters
    ----------
    looked : lots looked through, or moved to another place
    since : lots of which nothing was noted from that day on are left out
    """
    into: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    first: dict[str, date] = {}
    for pick in picks:
        if pick.lot:
            into[pick.lot][pick.cultivar] += pick.mass
            first[pick.lot] = min(first.get(pick.lot, pick.day), pick.day)
    out: dict[tuple[str, str], float] = defaultdict(float)
    late = {one.lot for one in taken if one.day >= since}
    for one in taken:
        # What left a crate before its first pick here was of an earlier filling.
        if one.lot in late and one.day >= first.get(one.lot, since):
            own = into.get(one.lot, {})
            out[one.lot, one.cultivar if one.cultivar not in own else ""] += one.mass or 0.0
    for entry in looked:
        if entry.lot and entry.lot not in into and entry.day >= since:
            out[entry.lot, entry.cultivar] += 0.0
    found = []
    for (lot, cultivar), mass in out.items():
        its = {} if cultivar else into.get(lot, {})
        picked = sum(its.values())
        if lot and (not its or mass > picked * (1 + _SCALES) + _CRUMBS):
            found.append(LotDrawn(lot, cultivar or (next(iter(its)) if len(its) == 1 else ""), picked, mass))
    return tuple(sorted(found, key=lambda one: (one.picked == 0.0, one.lot)))


def drawn_lot(store: RecordStore, lot: str, since: date) -> tuple[LotDrawn, ...]:
    """The same of one lot, by all that is noted of it since a day."""

    def named(kind: type[E]) -> tuple[E, ...]:
        return store.entries(kind, since=since, lot=lot)

    moved = named(CellarMoved)
    looked: list[LotChecked | CellarMoved] = [one for one in moved if one.fate is LotFate.MOVED]
    taken = taken_out(moved, named(FruitPressed), named(FruitSold))
    return overdrawn(named(FruitPicked), taken, [*looked, *named(LotChecked)], since=since)
