"""What a learnt figure would change: the plan beside the same trees by the figure."""

from dataclasses import dataclass

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.engine.tried import Tried
from topwire.show.sheet import Column, LinkKind, Sheet, sheet_of
from topwire.tell.choice import need_label
from topwire.tell.reader import Reader, listed
from topwire.values.notice import Measured
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_TELLS = 0.005  # of a need, below it nothing is said to move
_A_DAY = 0.5  # [d]


@dataclass(frozen=True)
class PlanOrTried:
    """One figure of the plan, and by what was learnt."""

    what: str
    plan: Measured | int | None
    tried: Measured | int | None


def sheets(found: Tried, reader: Reader) -> list[Sheet]:
    made = [_totals(found), _needs(found, reader), _dates(found)]
    return [sheet for sheet in made if sheet.rows]


def _totals(found: Tried) -> Sheet:
    plan, tried = _figures(found.plan), _figures(found.tried)
    lines = [PlanOrTried(what, value, tried.get(what)) for what, value in plan.items()]
    lines = [line for line in lines if _differ(line)]
    if found.same_harvest is not None and found.plan.choice is not None:
        lines.insert(
            0, PlanOrTried("trees for the same harvest", found.plan.choice.trees, found.same_harvest)
        )
    departments = listed(found.woken) if found.woken else "no department"
    return sheet_of(
        "tried.totals",
        "What it would change in the plan",
        (
            Column("what", "of a year, full grown", width=2),
            Column("plan", "the plan"),
            Column("tried", "by your records"),
        ),
        lines,
        f"The trees stay as planted. It changes what is asked of {departments}. Nothing was written.",
    )  # fmt: skip


def _figures(orchard: Orchard) -> dict[str, Measured]:
    made: dict[str, Measured] = {}
    choice, ledger = orchard.choice, orchard.ledger
    if choice is not None:
        made["fruit the trees bear"] = Measured(float(choice.harvest.sum(axis=1).mean()), Kind.MASS)
        made["of it to the kitchen and the press"] = Measured(choice.served_kg, Kind.MASS)
        made["of it left over"] = Measured(float(choice.waste.mean()), Kind.MASS)
        made["served in the worst fifth of years"] = Measured(choice.worst_fifth, Plain.SHARE, 1)
    if ledger is not None:
        money = f", {ledger.currency}"
        made["hours outdoors"] = Measured(ledger.outdoor_hours, Plain.HOURS, 0)
        made[f"what the year costs{money}"] = Measured(sum(ledger.cost_by_kind.values()), Plain.MONEY)
        made[f"what its fruit is worth{money}"] = Measured(sum(ledger.value_by_use.values()), Plain.MONEY)
        made[f"worth of the orchard over the plan's years{money}"] = Measured(ledger.npv[1], Plain.MONEY)
    return made


def _differ(line: PlanOrTried) -> bool:
    values = [one.value if isinstance(one, Measured) else one for one in (line.plan, line.tried)]
    return None in values or not np.isclose(values[0], values[1], rtol=1e-3, atol=1e-6)  # type: ignore[arg-type]


def _needs(found: Tried, reader: Reader) -> Sheet:
    sides = [orchard.choice.needs if orchard.choice else () for orchard in (found.plan, found.tried)]
    lines = [
        PlanOrTried(
            need_label(was, reader), Measured(was.share, Plain.SHARE, 1), Measured(now.share, Plain.SHARE, 1)
        )
        for was, now in zip(*sides, strict=True)
        if abs(now.share - was.share) > _TELLS
    ]
    return sheet_of(
        "tried.needs",
        "What each need gets in the mean year",
        (Column("what", "need", width=3), Column("plan", "the plan"), Column("tried", "by your records")),
        lines,
    )


def _dates(found: Tried) -> Sheet:
    lines = [
        line
        for line in found.moved
        if any(abs(tried - plan) > _A_DAY for plan, tried in (line.bloom, line.pick))
    ]
    day = Plain.DAY_OF_YEAR
    return sheet_of(
        "tried.dates",
        "Dates that move",
        (
            Column("cultivar", "cultivar", width=2, leads=LinkKind.CULTIVAR),
            Column("bloom", "full bloom, the plan", day, of=lambda line: line.bloom[0]),
            Column("bloom_tried", "by your records", day, of=lambda line: line.bloom[1]),
            Column("pick", "first pick, the plan", day, of=lambda line: line.pick[0]),
            Column("pick_tried", "by your records", day, of=lambda line: line.pick[1]),
        ),
        lines,
        "Middle of the weather years.",
    )
