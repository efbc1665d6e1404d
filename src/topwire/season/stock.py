"""The cellar by the records: what is left of every lot, what was pressed, and the pH of juices."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise

from topwire.records.entries import (
    BatchNoted,
    CellarMoved,
    FruitPicked,
    FruitPressed,
    FruitServed,
    FruitSold,
    LotChecked,
    LotFate,
    PhMeasured,
)
from topwire.records.lots import LIES, FruitTaken, taken_out
from topwire.records.store import E, RecordStore
from topwire.season.seen import LotLeft, PhNoted, PressedNoted

_PRESSED_BACK = timedelta(days=360)
_PH_BACK = timedelta(days=120)
_NOTHING = 0.01  # [kg]
_LATE = timedelta(days=3)  # by which a pick may be dated after what was taken of it
_HARVEST = timedelta(days=180)  # picks of a cultivar that lie further apart are of two harvests

_Key = tuple[str, str, str]  # lot and cultivar; of fruit without a lot cultivar and grade


@dataclass(frozen=True)
class CellarFlow:
    """What was put into the cellar and taken out of it, as long as fruit lies there."""

    picks: Sequence[FruitPicked]
    moved: Sequence[CellarMoved]
    pressed: Sequence[FruitPressed]
    taken: Sequence[FruitTaken]
    served: Sequence[FruitServed]
    checks: Sequence[LotChecked]

    @classmethod
    def of(cls, store: RecordStore, picks: Sequence[FruitPicked], day: date) -> "CellarFlow":
        """As it was known on a day; picks are given."""

        def noted(kind: type[E]) -> tuple[E, ...]:
            return store.entries(kind, since=day - LIES, until=day, known_on=day)

        kept, pressed = noted(CellarMoved), noted(FruitPressed)
        moved = [entry for entry in kept if entry.fate is LotFate.MOVED]
        taken = taken_out(kept, pressed, noted(FruitSold))
        return cls(picks, moved, pressed, taken, noted(FruitServed), noted(LotChecked))

    @property
    def looked(self) -> tuple[LotChecked | CellarMoved, ...]:
        return (*self.checks, *self.moved)


@dataclass
class _Picked:
    """One pick and what of it lies there still [kg]."""

    pick: FruitPicked
    left: float


class _Lots:
    """What lies in each lot, by picks; a lot that was emptied may be filled again."""

    def __init__(self, picks: Iterable[FruitPicked]) -> None:
        self.lying: dict[_Key, list[_Picked]] = defaultdict(list)
        for pick in picks:
            key = (pick.lot, pick.cultivar, "") if pick.lot else ("", pick.cultivar, str(pick.grade))
            self.lying[key].append(_Picked(pick, pick.mass))

    def take(
        self, lot: str, cultivar: str, mass: float | None, day: date, noted: datetime | None = None
    ) -> dict[str, float]:
        """Out of the lot, or of the cultivar's lots where none is named, of what was picked by then; oldest first.

        Where no lot is named, what is left of the harvest before comes last: it was eaten and not noted, or rots. Of
        another cultivar than the lot's nothing is taken: that is told as overdrawn. What is noted as taken a few days
        before its pick is of that pick.

        Parameters
        ----------
        mass : [kg]; None = all there is: of the day's own fruit what was noted by then, for a crate may be filled
            again the same day

        Returns
        -------
        What was there to take, by cultivar [kg].
        """
        if not (lot or cultivar):
            return {}  # nobody can say of what

        def same_day(pick: FruitPicked) -> bool:
            return pick.day == day and (mass is not None or noted is None or pick.noted <= noted)

        wanted = float("inf") if mass is None else mass
        keys = [key for key in self.lying if (key[0] == lot or not lot) and cultivar in (key[1], "")]
        there = {
            key: [one for one in self.lying[key] if one.pick.day < day or same_day(one.pick)] for key in keys
        }
        before = sorted((one for its in there.values() for one in its), key=lambda one: one.pick.day)
        if before and not lot:
            begun = before[-1].pick.day - _HARVEST
            before.sort(key=lambda one: one.pick.day < begun)
        if mass is not None:
            before += [one for key in keys for one in self.lying[key] if day < one.pick.day <= day + _LATE]
        taken: dict[str, float] = defaultdict(float)
        for one in before:
            part = min(one.left, max(wanted, 0.0))
            one.left -= part
            wanted -= part
            taken[one.pick.cultivar] += part
        for key, its in there.items():
            if sum(one.left for one in its) <= _NOTHING:  # a filling that is gone
                gone = set(map(id, its))
                self.lying[key] = [one for one in self.lying[key] if id(one) not in gone]
        return taken

    def holds(self, lot: str, cultivar: str) -> bool:
        return bool(lot and self.lying.get((lot, cultivar, "")))


def _cultivar_in(picks: Sequence[FruitPicked], lot: str, day: date) -> str:
    """What was last picked into a lot by a day; picks in the order of their days; empty where nothing was."""
    return next((one.cultivar for one in reversed(picks) if lot and one.lot == lot and one.day <= day), "")


def _harvest_of(picks: Sequence[FruitPicked], cultivar: str, day: date) -> int:
    """Number of the harvest of a cultivar whose fruit was there on a day; picks in the order of their days."""
    days = [one.day for one in picks if one.cultivar == cultivar and one.day <= day]
    return sum(later - earlier > _HARVEST for earlier, later in pairwise(days))


def left_of(stock: CellarFlow) -> tuple[LotLeft, ...]:
    """What is left of every lot, by cultivar; fruit without a lot is taken together by cultivar and grade."""
    picks = sorted(stock.picks, key=lambda one: one.day)
    lots = _Lots(picks)
    covered: dict[tuple[str, int], float] = defaultdict(float)  # for the kitchen, by cultivar and harvest
    for gone in stock.taken:
        there = lots.take(gone.lot, gone.cultivar, gone.mass, gone.day, gone.noted)
        if gone.kitchen:
            unknown = gone.cultivar or _cultivar_in(picks, gone.lot, gone.day)
            there[unknown] = there.get(unknown, 0.0) + max((gone.mass or 0.0) - sum(there.values()), 0.0)
            for cultivar, mass in there.items():
                covered[cultivar, _harvest_of(picks, cultivar, gone.day)] += mass
    for dish in sorted(stock.served, key=lambda one: one.day):
        # What the kitchen took already covers what it served; only the rest is still to come out.
        cultivar = dish.cultivar or _cultivar_in(picks, dish.lot, dish.day)
        harvest, mass = (cultivar, _harvest_of(picks, cultivar, dish.day)), dish.mass or 0.0
        lot = dish.lot if lots.holds(dish.lot, cultivar) else ""
        lots.take(lot, cultivar, max(mass - covered[harvest], 0.0), dish.day)
        covered[harvest] = max(covered[harvest] - mass, 0.0)
    return tuple(sorted(_left(lots, stock), key=lambda lot: (lot.picked, lot.cultivar, lot.lot)))


def _left(lots: _Lots, stock: CellarFlow) -> Iterator[LotLeft]:
    moved = {entry.lot: entry for entry in stock.moved if entry.lot}
    for (lot, cultivar, _), lying in lots.lying.items():
        left = sum(one.left for one in lying)
        if left <= _NOTHING:
            continue
        middle = sum(one.pick.day.toordinal() * one.left for one in lying) / left
        picked = date.fromordinal(round(middle))
        named = (cultivar, "") if lot else (cultivar,)
        looks = (one for one in reversed(stock.checks) if one.lot == lot and one.cultivar in named)
        check, move, last = next(looks, None), moved.get(lot), lying[-1].pick
        if check is not None and check.day < picked:
            check = None  # of the fruit that lay there before
        yield LotLeft(
            lot=lot,
            cultivar=cultivar,
            picked=picked,
            kg=left,
            taken=sum(one.pick.mass for one in lying) - left,
            grade=str(last.grade),
            stored=move.stored if move is not None and move.day >= lying[0].pick.day else last.stored,
            sound=check.sound if check else None,
            checked=check.day if check else None,
        )


def ph_noted(store: RecordStore, day: date, picks: Iterable[FruitPicked]) -> tuple[PhNoted, ...]:
    """Of juices within the season, with the fruit pressed into each by then; left out where nobody said which."""
    since = day - _PH_BACK
    picks = sorted(picks, key=lambda one: one.day)
    pressed = store.entries(FruitPressed, since=since, until=day, known_on=day)

    def of(entry: FruitPressed | PhMeasured) -> str:
        return entry.cultivar or _cultivar_in(picks, entry.lot, entry.day)

    found = [
        PhNoted(entry.day, entry.ph, {of(entry): entry.mass}) for entry in pressed if entry.ph is not None
    ]
    for entry in store.entries(PhMeasured, since=since, until=day, known_on=day):
        if entry.of.casefold() not in ("juice", "cider"):
            continue
        fruit: dict[str, float] = defaultdict(float)
        for one in pressed:
            if entry.batch and one.batch == entry.batch and one.day <= entry.day:
                fruit[of(one)] += one.mass
        found.append(PhNoted(entry.day, entry.ph, dict(fruit) or {of(entry): 1.0}))
    return tuple(one for one in found if "" not in one.fruit)


def pressed_by(store: RecordStore, pressed: Iterable[FruitPressed], day: date) -> tuple[PressedNoted, ...]:
    """What was pressed in the year before a day, and for what."""
    batches = store.entries(BatchNoted, since=day - _PRESSED_BACK, until=day, known_on=day)
    products = {entry.batch: entry.product for entry in batches if entry.product}
    return tuple(
        PressedNoted(entry.day, entry.cultivar, products.get(entry.batch, ""), entry.mass)
        for entry in pressed
        if day - entry.day <= _PRESSED_BACK
    )
