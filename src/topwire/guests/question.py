"""From plan, catalogue and the season's day to what guests are shown: the only file of the room that sees the first."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from topwire.catalogue.model import Catalogue, Cultivar
from topwire.cellar.keeping import storage_life
from topwire.engine.inputs import read_inputs
from topwire.guests.asked import (
    KEPT,
    CookWords,
    DishNow,
    FactTells,
    GuestCultivar,
    GuestsQuestion,
    Hand,
    NameDoubt,
    StoryFact,
)
from topwire.guests.stocks import stocks_on
from topwire.phenology.stages import SeasonStage
from topwire.season.asked import GrownCultivar, KitchenNeed, WeekBasis
from topwire.season.cellar import UNKNOWN_WEEKS, cellar_of
from topwire.season.cellar_findings import CellarFindings, UseFirst
from topwire.season.crop import by_age
from topwire.season.dates import day_of
from topwire.season.kept import open_folder
from topwire.season.outlook import Outlook, outlook_on
from topwire.season.records import seen_by
from topwire.season.seen import Seen
from topwire.values.calendar import week_of_day
from topwire.values.mark import Mark
from topwire.values.terms import Pan, Use

_LEAST = 0.5  # [kg] of fruit that is worth naming
_YEAR = 365.0
_FROM_MEMORY = "(MEMORY)"
_STAGES = (
    SeasonStage.FIRST_BLOOM,
    SeasonStage.FULL_BLOOM,
    SeasonStage.PETAL_FALL,
    SeasonStage.RIPE,
    SeasonStage.OVER,
)


@dataclass(frozen=True)
class StoryRow:
    """A row of cultivar_stories.csv."""

    cultivar: str
    fact: str
    when: str | None
    place: str | None
    tells: FactTells | None
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class DoubtRow:
    """A row of cultivar_doubts.csv."""

    cultivar: str
    says: str
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class CooksRow:
    """A row of cultivar_kitchen.csv."""

    cultivar: str
    texture: str | None
    pan: Pan | None
    flavour: str | None
    best_for: str | None
    evidence: str | None


def question(folder: Path, day: date) -> GuestsQuestion:
    """What is asked on a day: the stories of all planted cultivars, and what the season says of each.

    Raises
    ------
    Faults
        Where the orchard has not been planned, or plan, catalogue or records cannot be used.
    """
    opened = open_folder(folder)
    inputs, seen = read_inputs(folder), seen_by(folder, day)
    outlook = outlook_on(opened, day, seen)
    basis = opened.basis
    recorded = bool(seen.lots or seen.picked or seen.picked_before)
    cellar = cellar_of(opened, day, seen, outlook) if recorded else None
    hands = by_plan(basis, day, outlook) if cellar is None else by_records(cellar, basis.cultivars)
    told = StoryTables.of(inputs.catalogue)
    week = int(week_of_day(day_of(day)))
    shut = week in inputs.plan.kitchen.closed_weeks
    stocks = () if shut else stocks_on(basis, day)
    return GuestsQuestion(
        name=basis.name,
        units=basis.units,
        day=day.isoformat(),
        web_address=inputs.plan.guests.web_address,
        recorded=recorded,
        closed=shut or _closed(basis.needs, stocks, week - 1),
        blocks=tuple(block.name for block in inputs.plan.ground.blocks),
        cultivars=tuple(
            _cultivar(
                inputs.catalogue.cultivar[line.name],
                line,
                told,
                outlook=outlook,
                seen=seen,
                cellar=basis.cellar,
                hand=tuple(hands.get(line.name, ())),
            )
            for line in outlook.standing
            if (line.bearing(day.year) or hands.get(line.name)) and line.name in inputs.catalogue.cultivar
        ),
        dishes=() if shut else dishes_of(basis.needs, stocks, cellar, week - 1),
    )


@dataclass(frozen=True)
class StoryTables:
    """Rows of the tables of stories by cultivar."""

    facts: Mapping[str, Sequence[StoryRow]]
    doubts: Mapping[str, Sequence[DoubtRow]]
    cook: Mapping[str, CooksRow]

    @classmethod
    def of(cls, catalogue: Catalogue) -> "StoryTables":
        facts: dict[str, list[StoryRow]] = defaultdict(list)
        doubts: dict[str, list[DoubtRow]] = defaultdict(list)
        for fact in catalogue.rows("cultivar_stories", StoryRow):
            facts[fact.cultivar].append(fact)
        for doubt in catalogue.rows("cultivar_doubts", DoubtRow):
            if doubt.mark != Mark.MEMORY:
                doubts[doubt.cultivar].append(doubt)
        cook = {row.cultivar: row for row in catalogue.rows("cultivar_kitchen", CooksRow)}
        return cls(facts, doubts, cook)


def _cultivar(
    row: Cultivar,
    line: GrownCultivar,
    told: StoryTables,
    *,
    outlook: Outlook,
    seen: Seen,
    cellar: float,
    hand: tuple[Hand, ...],
) -> GuestCultivar:
    bloom, ripe = days_of(line, outlook)
    return GuestCultivar(
        **told_of(row, told),
        pressed_only=line.pressed_only,
        rows=line.rows,
        bears=line.name in outlook.crops and outlook.crops[line.name].crop.middle >= _LEAST,
        bloom=bloom,
        ripe=None if line.name in seen.over else ripe,
        keeps=_life(line, cellar, eating=True),
        mellow=line.mellow_weeks,
        hand=hand,
    )


def told_of(row: Cultivar, told: StoryTables) -> dict[str, Any]:
    """What the catalogue tells of a cultivar, by the fields of GuestCultivar."""
    return {
        "name": row.name,
        "other_names": row.synonyms,
        "origin": row.origin,
        "origin_read": row.evidence_of("origin").mark is Mark.READ,
        "era": row.era,
        "era_read": row.evidence_of("era").mark is Mark.READ,
        "facts": tuple(story_fact(fact) for fact in told.facts.get(row.name, ())),
        "doubts": tuple(NameDoubt(one.says, _keys(one.source)) for one in told.doubts.get(row.name, ())),
        "cook": _cook(told.cook.get(row.name)),
        "uses": tuple(sorted(row.kitchen_uses, key=list(Use).index)),
    }


def story_fact(row: StoryRow) -> StoryFact:
    sources = _keys(row.source)
    read = row.mark == Mark.READ and bool(sources)
    return StoryFact(row.fact, row.when or "", row.place or "", sources, read, row.tells or FactTells.KNOWN)


def _keys(source: str | None) -> tuple[str, ...]:
    return tuple(key for key in (source or "").split("+") if key)


def _cook(row: CooksRow | None) -> CookWords | None:
    if row is None:
        return None
    marks = dict(part.strip().split("=", 1) for part in (row.evidence or "").split(";") if "=" in part)

    def read(part: str) -> bool:
        return marks.get(part, "").startswith(Mark.READ)

    return CookWords(
        texture=_parts(row.texture, ","),
        texture_read=read("texture"),
        flavour=_parts(row.flavour, ","),
        flavour_read=read("flavour"),
        pan=row.pan,
        pan_read=read("pan"),
        best_for=_parts(row.best_for, ";"),
    )


def _parts(cell: str | None, between: str) -> tuple[str, ...]:
    """Words of a cell; what is said from memory there is left out, and a bracket is one word."""
    parts: list[str] = []
    for part in (cell or "").split(between):
        if parts and parts[-1].count("(") > parts[-1].count(")"):
            parts[-1] += between + part
        else:
            parts.append(part)
    found = [part.strip() for part in parts]
    return tuple(part for part in found if part and _FROM_MEMORY not in part and part != "not stated")


def days_of(
    line: GrownCultivar, outlook: Outlook
) -> tuple[tuple[float, float, float] | None, tuple[float, float] | None]:
    """Middle days of bloom and of picking: the calendar's, until something of the season itself is known."""
    if outlook.usual:
        days = line.usual
    elif line.name in outlook.dates.names:
        at = outlook.dates.names.index(line.name)
        days = np.array([outlook.dates.middle(stage, at) for stage in _STAGES])
    else:
        return None, None
    first, full, fall, ripe, over = map(float, days)
    return (
        (first, full, fall) if np.isfinite([first, full, fall]).all() else None,
        (ripe, over) if np.isfinite([ripe, over]).all() else None,
    )


def by_records(cellar: CellarFindings, grown: Sequence[GrownCultivar]) -> dict[str, list[Hand]]:
    """What was picked, noted and not used up."""
    found: dict[str, list[Hand]] = defaultdict(list)
    lines = {line.name: line for line in grown}
    for lot in cellar.lots:
        line = lines.get(lot.cultivar)
        pressed = lot.grade in ("press", "windfall") and not (line and line.pressed_only)
        if lot.first is UseFirst.GONE or lot.sound < _LEAST or pressed:
            continue
        mellow = max(line.mellow_weeks - lot.age, 0.0) if line and lot.first is UseFirst.MELLOWING else 0.0
        found[lot.cultivar].append(Hand(lot.picked, lot.table_left, lot.kitchen_left, mellow))
    return found


def by_plan(basis: WeekBasis, day: date, outlook: Outlook) -> dict[str, list[Hand]]:
    """What would be at hand if nothing were used before its time: this year's picking, and last year's."""
    found: dict[str, list[Hand]] = defaultdict(list)
    today = day_of(day)
    for line in basis.cultivars:
        ripe = days_of(line, outlook)[1]
        crop = outlook.crops.get(line.name)
        if ripe is not None and crop is not None and crop.crop.middle >= _LEAST and ripe[0] <= today:
            found[line.name] += _kept(line, basis.cellar, day, today - min(sum(ripe) / 2, today))
        last = by_age(line, day.year - 1)
        usual = float(line.usual[3:].mean())
        if last is not None and last.middle >= _LEAST and np.isfinite(usual):
            found[line.name] += _kept(line, basis.cellar, day, today + _YEAR - usual)
    return found


def _kept(line: GrownCultivar, cellar: float, day: date, days: float) -> list[Hand]:
    """Fruit picked so many days ago, as long as it is good for anything."""
    weeks = days / 7
    kitchen = _life(line, cellar, eating=False) - weeks
    if kitchen <= 0:
        return []
    picked = (day - timedelta(days=round(days))).isoformat()
    table = max(_life(line, cellar, eating=True) - weeks, 0.0)
    return [Hand(picked, table, kitchen, max(line.mellow_weeks - weeks, 0.0))]


def _life(line: GrownCultivar, cellar: float, *, eating: bool) -> float:
    """Weeks from the picking."""
    weeks = UNKNOWN_WEEKS if line.best_weeks is None else line.best_weeks
    return float(storage_life(weeks, cellar, eating=eating))


def _closed(needs: Sequence[KitchenNeed], stocks: Sequence[int], week: int) -> bool:
    return not stocks and not any(need.wanted[week] > 0 for need in needs if not _from_stock(need))


def _from_stock(need: KitchenNeed) -> bool:
    """Whether it is served out of what lies there, in whichever week; a season's pies are baked as fruit is ripe."""
    return need.made_once and Use(need.use) in KEPT


def dishes_of(
    needs: Sequence[KitchenNeed], stocks: Sequence[int], cellar: CellarFindings | None, week: int
) -> tuple[DishNow, ...]:
    """Needs that are served this week, each dish once.

    Parameters
    ----------
    stocks : numbers of those that are to be had out of jar, bottle or rack
    cellar : shares out what is there; without it fruit is the choice's of that week
    week : counted from 0
    """
    fruit: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    for left in () if cellar is None else cellar.needs:
        fruit[left.use, left.dish] |= dict.fromkeys(name for name, _ in left.lots)
    found: dict[tuple[str, str], DishNow] = {}
    for number, need in enumerate(needs):
        key = need.use, need.dish
        week_has = need.wanted[week] > 0 and need.served[week] > 0
        if not (number in stocks if Use(need.use) in KEPT else week_has):
            continue
        if cellar is None and need.brought_by:
            fruit[key] |= dict.fromkeys(need.brought_by[week])
        found[key] = DishNow(Use(need.use), _dish(need), tuple(fruit[key]))
    return tuple(sorted(found.values(), key=lambda dish: (list(Use).index(dish.use), dish.dish)))


def _dish(need: KitchenNeed) -> str:
    """“sharp cider” of cider that is asked for by its class."""
    return f"{need.dish} {Use.CIDER}" if need.use == Use.CIDER and need.dish else need.dish
