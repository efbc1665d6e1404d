"""Cards, board and walk of a day."""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from topwire.guests.asked import KEPT, FactTells, GuestCultivar, GuestsQuestion
from topwire.guests.dated import TimeBound, ToldTime, dated, era_ends
from topwire.guests.findings import (
    BoardDish,
    ComesNext,
    CultivarCard,
    GuestsFindings,
    InSeason,
    SeasonNow,
    SeenInRow,
    TableBoard,
    ToldFact,
    WalkStop,
)
from topwire.guests.telling import guest_notices
from topwire.values.terms import Use

MANNERS = 5  # ways to put the cook's words
WEEK = 6.0  # days ahead that still count as this week
_TO_COOK = (InSeason.TABLE, InSeason.COOK, InSeason.PICKED)
_MOST_IN_A_DISH = 4
_AT_HOME = (FactTells.ORIGIN, FactTells.HOME)
_BOUNDS = (TimeBound.BY, TimeBound.BEFORE)


def answer(asked: GuestsQuestion) -> GuestsFindings:
    """What guests are shown on a day."""
    day = date.fromisoformat(asked.day)
    grown = sorted(asked.cultivars, key=lambda line: line.name)
    seasons = {line.name: season_of(line, day) for line in grown}
    board = board_of(asked, grown, seasons, day)
    cards = tuple(
        card_of(line, as_served(line, seasons[line.name], board, day, closed=asked.closed), manner)
        for line, manner in zip(grown, manners([line.name for line in grown]), strict=True)
    )
    walk = walk_of(asked, day)
    found = GuestsFindings(
        name=asked.name,
        units=asked.units,
        day=asked.day,
        web_address=asked.web_address,
        recorded=asked.recorded,
        closed=asked.closed,
        cards=cards,
        board=board,
        walk=walk,
        next=None if walk else next_of(grown, day),
        notices=(),
    )
    return replace(found, notices=guest_notices(found))


def card_of(line: GuestCultivar, season: SeasonNow, manner: int) -> CultivarCard:
    facts = tuple(
        ToldFact(fact.says, dated(fact.when), fact.place, fact.sources, fact.read, fact.tells)
        for fact in line.facts
    )
    read = next((fact for fact in facts if fact.read and fact.place and fact.tells in _AT_HOME), None)
    since = arose(facts)
    return CultivarCard(
        name=line.name,
        page=page_name(line.name),
        other_names=line.other_names,
        origin=read.place if read else line.origin,
        origin_read=read is not None or line.origin_read,
        since=since,
        known=None if since else known_by(facts, line.era or "", read=line.era_read),
        era=line.era,
        era_read=line.era_read,
        facts=facts,
        doubts=line.doubts,
        cook=line.cook,
        pressed_only=line.pressed_only,
        season=season,
        rows=line.rows,
        manner=manner,
    )


def arose(facts: Sequence[ToldFact]) -> ToldTime | None:
    """When it was raised, found or sent out: only of a fact that was read and tells it, and by no bound."""
    times = [
        fact.dated
        for fact in facts
        if fact.read and fact.dated and fact.tells is FactTells.ORIGIN and fact.dated.how not in _BOUNDS
    ]
    return min(times, key=lambda time: time.year, default=None)


def known_by(facts: Sequence[ToldFact], era: str, *, read: bool) -> ToldTime | None:
    """The oldest notice that was read; None where the catalogue's era is earlier, or read where that is not sure."""
    times = [
        fact.dated for fact in facts if fact.read and fact.dated and fact.tells is not FactTells.TRADITION
    ]
    found, ends = min(times, key=lambda time: time.ends, default=None), era_ends(era)
    if found is None or (ends is not None and (ends < found.ends or (read and not found.sure))):
        return None
    return found


def page_name(name: str) -> str:
    """“bramleys-seedling”: letters, digits and hyphens, fit for every web server."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    plain = re.sub(r"['’.]", "", plain)
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "apple"


def manners(names: Sequence[str]) -> list[int]:
    """A way of speaking for each name: its own where neither of the two before it has that."""
    found: list[int] = []
    for name in names:
        own = sum(map(ord, name)) % MANNERS
        while own in found[-2:]:
            own = (own + 1) % MANNERS
        found.append(own)
    return found


def season_of(line: GuestCultivar, day: date) -> SeasonNow:
    """Where it is in its year."""
    today = _number(day)
    ripe, over = line.ripe or (None, None)
    keeps_to = None
    if ripe is not None and over is not None:
        keeps_to = _iso(day, (ripe + over) / 2 + 7 * line.keeps)
    found = SeasonNow(InSeason.OVER, None, None, ripe, over, keeps_to)
    hangs = _hangs(line, day)
    if line.pressed_only:
        if line.hand or hangs:
            return replace(found, state=InSeason.PRESS)
    elif line.hand:
        best = max(line.hand, key=lambda hand: (hand.mellow <= 0, hand.table, hand.kitchen))
        raw = Use.FRESH in line.uses
        if raw and best.table > 0 and best.mellow <= 0:
            return replace(found, state=InSeason.TABLE, until=_in_weeks(day, best.table))
        if raw and best.mellow > 0 and best.table > best.mellow:
            state = InSeason.FOR_LATER if hangs else InSeason.MELLOWS
            return replace(found, state=state, ready=_in_weeks(day, best.mellow))
        if best.kitchen > 0:
            return replace(found, state=InSeason.COOK, until=_in_weeks(day, best.kitchen))
    if hangs:
        return replace(found, state=InSeason.PICKED)
    if not line.bears:
        return replace(found, state=InSeason.YOUNG)
    if line.bloom is not None and line.bloom[0] <= today + 0.5 and today <= line.bloom[2]:
        return replace(found, state=InSeason.BLOOMS)
    if ripe is not None and today < ripe:
        return replace(found, state=InSeason.COMES)
    return found


def as_served(
    line: GuestCultivar, season: SeasonNow, board: TableBoard, day: date, *, closed: bool
) -> SeasonNow:
    """The same as the board has it: nothing is served while the kitchen is closed, nor cooked but in its dishes."""
    cooked = any(line.name in dish.fruit for dish in board.dishes)
    if season.state is InSeason.TABLE and closed:
        state = InSeason.KEPT
    elif season.state is InSeason.COOK and not cooked:
        state = InSeason.KEPT_TO_COOK
    else:
        return season
    return replace(season, state=InSeason.PICKED if _hangs(line, day) else state)


def board_of(
    asked: GuestsQuestion, grown: Sequence[GuestCultivar], seasons: dict[str, SeasonNow], day: date
) -> TableBoard:
    def ends(name: str) -> tuple[str, str]:
        return seasons[name].until or "9999", name

    ready = {line.name for line in grown if seasons[line.name].state in _TO_COOK}
    if not asked.recorded:  # the plan may cook what is still to mellow
        ready |= {line.name for line in grown if any(hand.kitchen > 0 for hand in line.hand)}
    dishes = []
    for dish in asked.dishes:
        kept = dish.use in KEPT
        if dish.use is Use.FRESH:
            continue
        fruit: tuple[str, ...] = ()
        if not kept:
            can = [line.name for line in grown if dish.use in line.uses and line.name in ready]
            named = [name for name in dish.fruit if name in can]
            if asked.recorded:
                named = named or sorted(can, key=ends)
            fruit = tuple(named[:_MOST_IN_A_DISH])
            if not fruit:
                continue
        dishes.append(BoardDish(dish.use, dish.dish, fruit, kept))
    uses = {dish.use for dish in dishes}
    return TableBoard(
        raw=tuple(
            sorted(
                (
                    line.name
                    for line in grown
                    if seasons[line.name].state is InSeason.TABLE and not asked.closed
                ),
                key=ends,
            )
        ),
        dishes=tuple(dishes),
        picked=tuple(line.name for line in grown if _hangs(line, day)),
        blooms=tuple(line.name for line in grown if seasons[line.name].state is InSeason.BLOOMS),
        juice=Use.JUICE in uses,
        cider=Use.CIDER in uses,
    )


def _hangs(line: GuestCultivar, day: date) -> bool:
    return (
        line.bears
        and line.ripe is not None
        and line.ripe[0] <= _number(day) + 0.5
        and _number(day) <= line.ripe[1]
    )


def walk_of(asked: GuestsQuestion, day: date) -> tuple[WalkStop, ...]:
    """Rows with something in bloom or ripe this week, block by block and row by row."""
    order = {name: at for at, name in enumerate(asked.blocks)}
    found = []
    for line in asked.cultivars:
        seen = _seen(line, _number(day))
        if seen is None:
            continue
        found += [WalkStop(row.row, row.first, row.last, row.trees, line.name, *seen) for row in line.rows]

    def place(stop: WalkStop) -> tuple[int, int, int]:
        block, _, number = stop.row.rpartition(" ")
        return order.get(block, len(order)), int(number), stop.first

    return tuple(sorted(found, key=place))


def _seen(line: GuestCultivar, today: float) -> tuple[SeenInRow, float] | None:
    if not line.bears:
        return None
    if line.bloom is not None:
        first, full, fall = line.bloom
        if first <= today + 0.5 and today <= fall:
            return SeenInRow.BLOOMS, full
        if today < first <= today + WEEK:
            return SeenInRow.OPENS, first
    if line.ripe is not None:
        ripe, over = line.ripe
        if ripe <= today + 0.5 and today <= over:
            return SeenInRow.RIPE, ripe
        if today < ripe <= today + WEEK:
            return SeenInRow.RIPENS, ripe
    return None


def next_of(grown: Sequence[GuestCultivar], day: date) -> ComesNext | None:
    """The next bloom or harvest of this year."""
    today = _number(day)
    coming = [
        ComesNext(line.name, blooms, when)
        for line in grown
        if line.bears
        for blooms, when in ((True, line.bloom and line.bloom[0]), (False, line.ripe and line.ripe[0]))
        if when is not None and when > today
    ]
    return min(coming, key=lambda one: (one.day, one.cultivar), default=None)


def _number(day: date) -> float:
    return float(day.timetuple().tm_yday)


def _iso(day: date, day_of_year: float) -> str:
    return (date(day.year, 1, 1) + timedelta(days=round(day_of_year) - 1)).isoformat()


def _in_weeks(day: date, weeks: float) -> str:
    return (day + timedelta(days=round(7 * weeks))).isoformat()
