"""The fruit at hand and still to come, shared out to the kitchen's needs for the rest of the year.

The choice's programme of one year with the trees fixed: in place of trees stand lots in the cellar, at their true mass
and age, and what still hangs in the orchard.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import repeat

import numpy as np

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.serving import Service, serve
from topwire.choice.supply import CandidateCultivar, Supply
from topwire.season.asked import KitchenBasis
from topwire.season.seen import PressedNoted
from topwire.values.arrays import Floats
from topwire.values.calendar import WEEKS
from topwire.values.terms import Use

AHEAD = 44  # weeks shared out at the most: of next year's harvest nothing is known
NEXT_SEASON = 26  # weeks ahead from which a making is the next season's
FIRST_OUT = 2e-4  # [weighted kg] a week of life: of fruit as good what ends first goes first
SHORTEST = 0.05  # weeks of life of fruit that is past it
_BY_GRADE: dict[str, tuple[tuple[Use, ...] | None, float]] = {
    "table": (None, 1.0),  # every use
    "kitchen": (tuple(use for use in Use if use is not Use.FRESH), 0.0),
    "press": ((Use.JUICE, Use.CIDER), 0.0),
    "windfall": ((Use.SAUCE, Use.BUTTER), 0.0),  # cooked through; never raw juice
}


@dataclass(frozen=True)
class FruitSource:
    """Fruit to share out: sound mass [kg], the weeks it comes in, and the weeks it is still good for.

    Attributes
    ----------
    grade : of a lot; empty for what hangs on the trees
    first, last : weeks from now of its picking; 0 for a lot
    """

    cultivar: str
    grade: str
    kg: float
    first: int
    last: int
    table: float
    kitchen: float
    mellow: float


@dataclass(frozen=True)
class SharedOut:
    """By source and need.

    Attributes
    ----------
    needs : as asked, their past weeks left out; index : of each among the plan's needs
    wanted, served : (needs, AHEAD) [kg]
    given : (sources, needs) [kg] of sound fruit as it lies or hangs
    """

    needs: tuple[WeeklyNeed, ...]
    index: tuple[int, ...]
    wanted: Floats
    served: Floats
    given: Floats


def shared_out(
    sources: Sequence[FruitSource],
    basis: KitchenBasis,
    week: int,
    *,
    holds: float | None,
    made: Sequence[float | None] = (),
    ends: Sequence[int] = (),
) -> SharedOut:
    """Least weighted shortfall of the needs from `week` on.

    Parameters
    ----------
    week : 1 to 52, this week
    holds : fruit the cellar holds [kg]; None = no limit
    made : of each need, the fruit made into it this season [kg]; None where nobody noted it
    ends : of each need, the weeks until the next crop's first fruit for it; AHEAD where nothing is said
    """
    made = made or [None] * len(basis.needs)
    ends = ends or [AHEAD] * len(basis.needs)
    known = {row.name: row for row in basis.cultivars}
    taken = [
        (at, one)
        for at, one in enumerate(sources)
        if one.kg > 0 and one.first < AHEAD and one.cultivar in known
    ]
    left = [(at, need) for at, need in enumerate(map(still, basis.needs, repeat(week), made, ends)) if need]
    needs = tuple(need for _, need in left)
    wanted = np.array([_ahead(need.by_week(), week) for need in needs]).reshape(len(needs), AHEAD)
    given = np.zeros((len(sources), len(needs)))
    if not taken or not needs:
        return SharedOut(needs, tuple(at for at, _ in left), wanted, np.zeros_like(wanted), given)
    supply = _supply([one for _, one in taken], known, week)
    limits = Limits(
        places=len(taken),
        fewest_trees=0,
        most_trees=1,
        fewest_cultivars=0,
        most_cultivars=len(taken),
        heritage_share=0.0,
        must_have=(),
        standing={},
        tree_cost=np.zeros(len(taken)),
        board=basis.board,
        press_week=basis.press_week,
        cellar=holds,
    )
    life = np.array([one.first + one.kitchen for _, one in taken])
    _, service = serve(supply, needs, limits, np.ones(len(taken)), dear=FIRST_OUT * life)
    given[[at for at, _ in taken]] = service.given[0]
    return SharedOut(needs, tuple(at for at, _ in left), wanted, _served(service, week), given)


def still(need: WeeklyNeed, week: int, made: float | None = None, end: int = AHEAD) -> WeeklyNeed | None:
    """What is left of a need from a week on, within `end` weeks; None where nothing is.

    Of a product made once, what was noted is `made` [kg]; where nothing was, as much is taken to be made by now as the
    share of its weeks that is over. It is used beyond `end` too, until the next season's is made.
    """
    weeks = _from(need.weeks, week, end)
    if not weeks:
        return None
    if need.weekly is not None:
        return replace(need, weeks=weeks, total=need.weekly * len(weeks))
    away = (need.weeks[0] - week) % WEEKS  # to the begin of its making
    begun = (week - need.weeks[0]) % WEEKS < len(need.weeks)
    if not begun and away > NEXT_SEASON:
        return None  # what is wanted now is on the shelf, or was never made
    share = 1.0
    if begun:
        weeks = tuple(one for one in weeks if (one - week) % WEEKS < len(need.weeks))
        share = len(weeks) / len(need.weeks) if made is None else max(1.0 - made / need.total, 0.0)
        if share <= 0.0:
            return None
    used = _from(need.used, week)
    if need.used:
        begin, gone = need.weeks[0], (week - need.weeks[0]) % WEEKS
        used = (
            tuple(one for one in used if (one - begin) % WEEKS >= gone)  # not the next season's
            if begun
            else tuple(one for one in used if (one - week) % WEEKS >= away)
        )
        share *= len(used) / len(need.used)
        if not used:
            return None
    return replace(need, weeks=weeks, total=need.total * share, used=used)


def made_by(basis: KitchenBasis, pressed: Sequence[PressedNoted], day: date, week: int) -> list[float | None]:
    """Fruit noted as pressed for each need of juice or cider since its making began [kg]; None for all others, and
    where nothing was pressed since.

    A pressing goes to the needs its cultivar is fit for, of the product that was said, the first not yet full; what is
    too much stays with the last.
    """
    known = {row.name: row for row in basis.cultivars}
    made: list[float | None] = [None] * len(basis.needs)
    open_ = [
        at
        for at, need in enumerate(basis.needs)
        if need.pressed and need.weekly is None and (week - need.weeks[0]) % WEEKS < len(need.weeks)
    ]
    for noted in sorted(pressed, key=lambda one: one.day):
        said = noted.product.casefold()
        fit = [
            at
            for at in open_
            for need in [basis.needs[at]]
            if (not said or str(need.use) in said)
            and noted.cultivar in known
            and need.served_by(known[noted.cultivar])
            and (day - noted.day).days <= 7 * ((week - need.weeks[0]) % WEEKS + 1)
        ]
        left = noted.kg
        for at in fit:
            room = max(basis.needs[at].total - (made[at] or 0.0), 0.0)
            part = left if at == fit[-1] else min(left, room)
            made[at] = (made[at] or 0.0) + part
            left -= part
    uses = {basis.needs[at].use for at in open_ if made[at] is not None}
    return [
        0.0 if one is None and at in open_ and basis.needs[at].use in uses else one
        for at, one in enumerate(made)
    ]


def _from(weeks: Sequence[int], week: int, end: int = AHEAD) -> tuple[int, ...]:
    """Those within `end` weeks from `week`, AHEAD at the most, in order of time."""
    most = min(end, AHEAD)
    return tuple(
        sorted((one for one in weeks if (one - week) % WEEKS < most), key=lambda one: (one - week) % WEEKS)
    )


def _ahead(by_week: Floats, week: int) -> Floats:
    """A calendar year's weeks as those from `week` on."""
    turned: Floats = np.roll(by_week, -(week - 1))[:AHEAD]
    return turned


def _served(service: Service, week: int) -> Floats:
    turned: Floats = np.roll(service.served[0], -(week - 1), axis=1)[:, :AHEAD]
    return turned


def _supply(sources: Sequence[FruitSource], known: dict[str, CandidateCultivar], week: int) -> Supply:
    rows = []
    for one in sources:
        row = known[one.cultivar]
        uses, table = _BY_GRADE.get(one.grade, (None, row.table_share))
        kept = row.uses if uses is None else tuple(use for use in row.uses if use in uses)
        rows.append(replace(row, uses=kept, table_share=table))
    crop = np.array([[one.kg for one in sources]])
    first, last = (
        np.array([[(week - 1 + getattr(one, side)) % WEEKS + 1 for one in sources]])
        for side in ("first", "last")
    )
    life = [
        np.array([max(min(getattr(one, side), _until_now_comes_round(one)), SHORTEST) for one in sources])
        for side in ("table", "kitchen")
    ]
    mellow = np.array([one.mellow for one in sources])
    return Supply(tuple(rows), np.array([0]), crop, crop[0], first, last, life[0], life[1], mellow)


def _until_now_comes_round(one: FruitSource) -> float:
    """Weeks that fruit still to come may lie. The programme's year is a ring, in which what is picked in autumn and
    keeps into spring would serve the spring before its picking."""
    return float(WEEKS - one.last - 1) if one.first > 0 else np.inf
