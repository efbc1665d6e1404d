"""The cellar on a day: how long each lot is still good, which goes first, who gets it for the rest of the year."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from topwire.cellar.cider import free_sulphite, gravity_of_brix, strength, sulphite_at_pressing, told_ph
from topwire.cellar.keeping import share_kept, storage_life
from topwire.cellar.moisture import water_loss
from topwire.choice.needs import WeeklyNeed
from topwire.choice.plate import Juice, JuiceSide, mixed_value
from topwire.season.allotment import AHEAD, NEXT_SEASON, FruitSource, SharedOut, made_by, shared_out
from topwire.season.asked import GrownCultivar, KitchenBasis, WeekBasis
from topwire.season.cellar_findings import BatchSheet, CellarFindings, LotState, NeedLeft, UseFirst
from topwire.season.cellar_telling import cellar_notices
from topwire.season.crop import by_age
from topwire.season.dates import day_of
from topwire.season.findings import SeasonStage
from topwire.season.kept import OpenedFolder
from topwire.season.medians import medians
from topwire.season.outlook import Outlook
from topwire.season.seen import LotLeft, PhNoted, Seen
from topwire.values.calendar import WEEKS, week_of_day
from topwire.values.terms import Use

HUMIDITY = 0.9  # of a cellar's air, where nobody has read it: planning figure, as the choice takes it
MONTH = 4.0  # weeks
FORGOTTEN = 4.0  # weeks past its life from which fruit is taken as gone, whatever is written down
UNKNOWN_WEEKS = 8.0  # a cultivar nobody knows the keeping of: planning figure, no source
PRODUCTS = (Use.SAUCE, Use.BUTTER, Use.DRIED, Use.JUICE, Use.CIDER)
_PRESSED = (Use.JUICE, Use.CIDER)
_EATEN = ("table",)
_NAMED = 6  # lots told of a need
_ALIKE = 0.9  # share of the same fruit from which a juice tells the pH of another: planning figure, no source


@dataclass(frozen=True)
class _Life:
    """Weeks a cultivar is good from its picking."""

    table: float
    kitchen: float
    mellow: float


def cellar_of(opened: OpenedFolder, day: date, seen: Seen, outlook: Outlook) -> CellarFindings:
    """The cellar on the evening of `day`, and the kitchen's fruit from that week on."""
    basis = opened.basis
    temperature = basis.cellar if seen.cellar is None else seen.cellar
    lives = {line.name: _life(line, temperature) for line in basis.cultivars}
    week = int(week_of_day(day_of(day)))
    every = [_state(lot, lives.get(lot.cultivar), day, temperature) for lot in seen.lots]
    forgotten = [state for state in every if _past(state, day) > FORGOTTEN]
    states = [state for state in every if _past(state, day) <= FORGOTTEN]
    sources = [_lot_source(state, lives) for state in states]
    sources += _coming(basis, day, seen, outlook, lives)
    made = made_by(basis.kitchen, seen.pressed, day, week)
    ends = ends_of(basis, day, week, outlook)
    shared = shared_out(sources, basis.kitchen, week, holds=basis.cellar_holds, made=made, ends=ends)
    unused = [
        0.0 if state.first is UseFirst.GONE else max(state.sound - float(shared.given[at].sum()), 0.0)
        for at, state in enumerate(states)
    ]
    lots = tuple(
        sorted(
            (_with_unused(state, left) for state, left in zip(states, unused, strict=True)),
            key=lambda state: (list(UseFirst).index(state.first), state.until, state.cultivar),
        )
    )
    found = CellarFindings(
        name=basis.name,
        units=basis.units,
        day=day.isoformat(),
        temperature=temperature,
        read=seen.cellar is not None,
        first_week=week,
        lots=lots,
        needs=_needs(basis, shared, sources, week),
        batches=_batches(basis.kitchen, shared, sources, seen),
        holds=basis.cellar_holds,
        lies=sum(state.kg for state in lots),
        ahead=7.0 * shared.wanted.shape[1] if shared.wanted.size else 0.0,
        notices=(),
    )
    return cellar_notices(found, forgotten, seen.drawn)


def _life(line: GrownCultivar, temperature: float) -> _Life:
    weeks = UNKNOWN_WEEKS if line.best_weeks is None else line.best_weeks
    table, kitchen = (float(storage_life(weeks, temperature, eating=eating)) for eating in (True, False))
    return _Life(table, kitchen, line.mellow_weeks)


def _state(lot: LotLeft, life: _Life | None, day: date, temperature: float) -> LotState:
    life = life or _Life(UNKNOWN_WEEKS * 0.7, UNKNOWN_WEEKS, 0.0)
    age = (day - lot.picked).days / 7
    since = age if lot.checked is None else (day - lot.checked).days / 7
    kept_now, kept_then = (
        float(share_kept(weeks, max(life.kitchen, age, 0.1))) for weeks in (age, age - since)
    )
    sound = lot.kg * (kept_now if lot.sound is None else lot.sound * kept_now / max(kept_then, 1e-9))
    table, kitchen = max(life.table - age, 0.0), max(life.kitchen - age, 0.0)
    serves = table if lot.grade in _EATEN else kitchen
    mellowing = lot.grade in _EATEN and age < life.mellow
    first = (
        UseFirst.GONE
        if kitchen <= 0
        else UseFirst.MELLOWING
        if mellowing
        else UseFirst.NOW
        if serves < 1.0
        else UseFirst.SOON
        if serves < MONTH
        else UseFirst.KEEPS
    )
    until = day + timedelta(days=round(7 * serves))
    return LotState(
        lot=lot.lot,
        cultivar=lot.cultivar,
        grade=lot.grade,
        stored=lot.stored,
        picked=lot.picked.isoformat(),
        kg=lot.kg,
        sound=sound,
        age=age,
        table_left=table if lot.grade in _EATEN else 0.0,
        kitchen_left=kitchen,
        until=until.isoformat(),
        ended=(lot.picked + timedelta(days=round(7 * life.kitchen))).isoformat(),
        dried=float(water_loss(temperature, HUMIDITY, 7 * (age + serves))),
        first=first,
        unused=0.0,
    )


def _past(state: LotState, day: date) -> float:
    """Weeks past its life; 0 where it is not."""
    return (day - date.fromisoformat(state.ended)).days / 7 if state.first is UseFirst.GONE else 0.0


def _with_unused(state: LotState, kg: float) -> LotState:
    return LotState(**{**vars(state), "unused": kg if kg >= 0.5 else 0.0})


def _lot_source(state: LotState, lives: dict[str, _Life]) -> FruitSource:
    life = lives.get(state.cultivar)
    mellow = 0.0 if life is None else max(life.mellow - state.age, 0.0)
    sound = 0.0 if state.first is UseFirst.GONE else state.sound
    return FruitSource(state.cultivar, state.grade, sound, 0, 0, state.table_left, state.kitchen_left, mellow)


def _coming(
    basis: WeekBasis, day: date, seen: Seen, outlook: Outlook, lives: dict[str, _Life]
) -> list[FruitSource]:
    """What hangs on the trees: the middle of each crop less what was picked, in its weeks from now."""
    today, dates = day_of(day), outlook.dates
    found = []
    for line in basis.cultivars:
        crop = outlook.crops.get(line.name)
        if crop is None or line.name in seen.over:
            continue
        at = dates.names.index(line.name)
        first, last = (dates.middle(stage, at) for stage in (SeasonStage.RIPE, SeasonStage.OVER))
        left = crop.crop.middle - seen.picked.get(line.name, 0.0)
        if not np.isfinite(first) or left <= 0 or last + 7 < today:
            continue
        weeks = [max(int((when - today) // 7), 0) for when in (first, last)]
        life = lives[line.name]
        found.append(
            FruitSource(line.name, "", left, weeks[0], weeks[1], life.table, life.kitchen, life.mellow)
        )
    return found


def ends_of(basis: WeekBasis, day: date, week: int, outlook: Outlook) -> list[int]:
    """Of each need, the weeks until the next crop begins to serve it: so long this crop is meant for it.

    Of what nothing is wanted until then the next crop is told, once it is within NEXT_SEASON, until the one after it.
    """
    usual = dict(zip(outlook.known.traits.names, medians(outlook.known.harvest).tolist(), strict=True))
    dates = outlook.dates
    this_year = {name: dates.middle(SeasonStage.RIPE, dates.names.index(name)) for name in outlook.crops}
    bearing = [line.name for line in basis.cultivars if by_age(line, day.year + 1) is not None]
    next_year = {name: usual[name] for name in bearing}
    found = []
    for need in basis.kitchen.needs:
        fit = {row.name for row in basis.kitchen.cultivars if need.served_by(row)}
        begin = _begins(need, fit, this_year), WEEKS + _begins(need, fit, next_year)
        ahead = sorted(one - week for one in begin if one > week)
        wanted = any((one - week) % WEEKS < ahead[0] for one in need.weeks)
        found.append(ahead[0] if wanted or ahead[0] > NEXT_SEASON else ahead[-1])
    return found


def _begins(need: WeeklyNeed, fit: Collection[str], ripe: Mapping[str, float]) -> int:
    """Week in which a crop begins to serve a need: that of its first fruit for it. A need that begins in the month
    before, and what is made once and being made by then, begins with its own first week."""
    weeks = [int(day - 1) // 7 + 1 for name, day in ripe.items() if name in fit and np.isfinite(day)]
    first, own = min(weeks, default=WEEKS + AHEAD), need.weeks[0]
    anew = (own - 2) % WEEKS + 1 not in need.weeks
    soon = 0 < first - own <= MONTH or (need.weekly is None and first in need.weeks)
    return own if anew and soon else first


def _needs(
    basis: WeekBasis, shared: SharedOut, sources: Sequence[FruitSource], week: int
) -> tuple[NeedLeft, ...]:
    return tuple(
        NeedLeft(
            use=str(need.use),
            dish=basis.needs[shared.index[at]].dish,
            wanted=shared.wanted[at],
            served=shared.served[at],
            last_week=(week - 1 + max(np.flatnonzero(shared.wanted[at]).tolist(), default=0)) % WEEKS + 1,
            lots=_largest(shared, sources, at)[:_NAMED],
        )
        for at, need in enumerate(shared.needs)
    )


def _largest(shared: SharedOut, sources: Sequence[FruitSource], need: int) -> tuple[tuple[str, float], ...]:
    """Cultivars that serve a need, by their mass."""
    by_name: dict[str, float] = defaultdict(float)
    for at, one in enumerate(sources):
        by_name[one.cultivar] += float(shared.given[at, need])
    found = [(name, kg) for name, kg in by_name.items() if kg >= 0.1]
    return tuple(sorted(found, key=lambda one: (-one[1], one[0])))


def _batches(
    kitchen: KitchenBasis, shared: SharedOut, sources: Sequence[FruitSource], seen: Seen
) -> tuple[BatchSheet, ...]:
    """A sheet for every product that takes fruit which lies in the cellar."""
    juices = {row.name: row.juice for row in kitchen.cultivars}
    found = []
    for at, need in enumerate(shared.needs):
        if need.use not in PRODUCTS:
            continue
        lies = [(one, float(shared.given[number, at])) for number, one in enumerate(sources) if one.grade]
        lies = [(one, kg) for one, kg in lies if kg >= 0.5]
        if not lies:
            continue
        fruit: dict[str, float] = defaultdict(float)
        for one, kg in lies:
            fruit[one.cultivar] += kg
        total = sum(fruit.values())

        def mixed(side: str, fruit: dict[str, float] = fruit, total: float = total) -> float:
            return float(sum(kg * getattr(juices[name], side).value for name, kg in fruit.items()) / total)

        pressed, sugar = need.use in _PRESSED, mixed("sugar")
        ph, read = ph_of(fruit, juices, seen.ph) if pressed else (None, False)
        found.append(
            BatchSheet(
                use=str(need.use),
                kg=total,
                fruit=tuple(sorted(fruit.items(), key=lambda item: -item[1])),
                juice=total * kitchen.juice if pressed else None,
                acid=mixed("acid"),
                tannin=mixed("tannin"),
                sugar=sugar,
                alcohol=float(strength(gravity_of_brix(sugar))) if need.use is Use.CIDER else None,
                ph=ph,
                ph_read=read,
                sulphite=keeping_sulphite(ph, read=read)
                if ph is not None and need.use is Use.CIDER
                else None,
            )
        )
    return tuple(found)


def keeping_sulphite(ph: float, *, read: bool) -> float | None:
    """Free SO2 that keeps a dry cider [g/L]; None where makers have the juice made sharper first.

    Parameters
    ----------
    read : by a meter
    """
    told = told_ph(ph, read=read)
    return None if sulphite_at_pressing(told) is None else float(free_sulphite(told)) * 1e-3


def ph_of(
    fruit: Mapping[str, float], juices: Mapping[str, Juice], noted: Sequence[PhNoted]
) -> tuple[float, bool]:
    """pH of a mixture [kg], and whether a meter read all of it: in juice of the same fruit, or of each cultivar by
    itself. What nobody read is that of the press's plan, which goes by the acid."""
    total = sum(fruit.values())
    shares = {name: kg / total for name, kg in fruit.items()}
    read = _read_of(shares, noted)
    if read is not None:
        return read, True
    each = {name: _read_of({name: 1.0}, noted) for name in shares}
    mixed = [
        juices[name] if ph is None else replace(juices[name], measured_ph=ph) for name, ph in each.items()
    ]
    found = mixed_value(JuiceSide.PH, mixed, [False] * len(mixed), np.array(list(shares.values())))
    return float(found), None not in each.values()


def _read_of(shares: Mapping[str, float], noted: Sequence[PhNoted]) -> float | None:
    """pH last read in juice of this fruit and no other; of two of a day the milder juice, which needs more care."""
    found = []
    for one in noted:
        total = sum(one.fruit.values())
        alike = sum(min(shares.get(name, 0.0), kg / total) for name, kg in one.fruit.items())
        if one.fruit.keys() <= shares.keys() and alike >= _ALIKE:
            found.append((one.day, one.ph))
    return max(found)[1] if found else None
