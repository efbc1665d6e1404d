"""From entries to what each year showed of a figure: keeping, hours, crop. How far years and figures err stands here.

All of these are proposals of ours (common practice, no source) until the scores of real orchards say otherwise:

==========  =====================================  ======================================================
figure      before anything is seen                what one year shows of it
==========  =====================================  ======================================================
keeping     weeks right to a third (0.3)           a quarter (0.25): the autumn and the cellar differ
hours       between low and high of the table      a fifth (0.2), less where more jobs were noted
crop        a cultivar beside the orchard 0.25,    0.25: frost, set and the year's weather
            the orchard beside the plan 0.3
growth      a cultivar's trunk beside the plan     0.08, and 0.15 from tree to tree: a trunk carries its years
            0.15
water       hours run beside the rule's 0.3, the   0.2; 0.1 for a flow
            meter beside the emitters 0.15
==========  =====================================  ======================================================

A lot, a job or a trunk that says less than a twelfth or more than twelve times what is stated, and a crop of more than
twelve times, is a slip of the pen: it teaches nothing and is told.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from topwire.learning.figures import FigureLearnt, FigureScore, NoteLeftOut, Taught
from topwire.learning.shrunk import REACH, YearSeen, scored, shrunk
from topwire.records.entries import FruitPicked, FruitPressed, LotChecked, TrunkMeasured, Watered, WorkDone
from topwire.records.lots import LIES

STILL_SOUND = 0.8  # share of a lot: below it the lot no longer keeps (common practice, no source)
KEEPING_BEFORE, KEEPING_YEAR = 0.3, 0.25
HOURS_YEAR, HOURS_JOB = 0.2, 0.35
GROWTH_BEFORE, GROWTH_YEAR, GROWTH_TREE = 0.15, 0.08, 0.15
_GROWN_IN = 7  # month from which a trunk is measured as that year's
WATER_BEFORE, WATER_YEAR, FLOW_BEFORE, FLOW_YEAR = 0.3, 0.2, 0.15, 0.1
CROP_BEFORE, ORCHARD_BEFORE, CROP_YEAR = 0.25, 0.3, 0.25
_90TH = 1.2815515655446004  # of the normal distribution
_NEWS = 1.02  # what “at least so long” has to move a figure by to be told
_FEWEST_DAYS = 14  # a check sooner says nothing of keeping
_LEAST_HOURS = 5.0  # [h] a year by the rule, below it the year was wet
_FORECAST = "of the forecast"
_LEAST_CROP = 0.05  # of what is forecast, below it the year was lost to something else


@dataclass(frozen=True)
class TaskRate:
    """A task of labour.csv: min/tree (more is slower) or kg/h (more is quicker)."""

    task: str
    basis: str
    low: float
    middle: float
    high: float


def keeping_learnt(
    picks: Iterable[FruitPicked], checks: Iterable[LotChecked], stated: Mapping[str, float]
) -> tuple[list[FigureLearnt], list[NoteLeftOut]]:
    """Weeks each cultivar's lots stayed sound in the grower's own cellar, beside the catalogue's; lots left out.

    Parameters
    ----------
    stated : [weeks] by cultivar; those nobody knows are left out
    """
    by_year: dict[str, dict[int, list[tuple[float, bool]]]] = defaultdict(lambda: defaultdict(list))
    seen: dict[str, int] = defaultdict(int)
    left_out = []
    for pick, found in _fillings(picks, checks):
        weeks, beyond = _kept(pick.day, found)
        name, known = pick.cultivar, stated.get(pick.cultivar, 0.0)
        if weeks is None or known <= 0.0:
            continue
        if _believed(weeks, known):
            by_year[name][pick.day.year].append((np.log(weeks / known), beyond))
            seen[name] += 1
        elif not beyond or weeks > known:  # one that was eaten early has said nothing that cannot be
            day = max(check.day for check in found)
            left_out.append(NoteLeftOut(Taught.KEEPING, name, day, pick.lot, "weeks", weeks, known))
    made = []
    for name, years in by_year.items():
        samples = [_one_year(year, lots) for year, lots in years.items()]
        line = _learnt(Taught.KEEPING, name, "weeks", stated[name], samples, KEEPING_BEFORE, seen[name], True)
        if not all(one.beyond for one in samples) or line.now > _NEWS * line.stated:
            made.append(line)  # lots eaten long before their time teach nothing
    return sorted(made, key=lambda line: line.name), left_out


def _fillings(
    picks: Iterable[FruitPicked], checks: Iterable[LotChecked]
) -> list[tuple[FruitPicked, list[LotChecked]]]:
    """Each filling of a crate with its checks: a check is of the last pick into the lot by its day, and of the cultivar
    it names; where no fruit can lie there from such a pick any more, of none."""
    into: dict[str, list[FruitPicked]] = defaultdict(list)
    for pick in sorted(picks, key=lambda one: one.day):
        if pick.lot and pick.cultivar:
            into[pick.lot].append(pick)
    looked: dict[tuple[str, int], list[LotChecked]] = defaultdict(list)
    for check in checks:
        own = [
            at
            for at, pick in enumerate(into.get(check.lot, ()))
            if timedelta(0) <= check.day - pick.day <= LIES and check.cultivar in ("", pick.cultivar)
        ]
        if own:
            looked[check.lot, own[-1]].append(check)
    return [(into[lot][at], found) for (lot, at), found in looked.items()]


def _believed(seen: float, stated: float) -> bool:
    """Whether what was seen may be so, beside what is stated."""
    return seen > 0.0 and stated > 0.0 and abs(np.log(seen / stated)) <= REACH


def _kept(picked: date, checks: Sequence[LotChecked]) -> tuple[float | None, bool]:
    """Weeks until a fifth of the lot was gone, between the checks about it; or at least so many."""
    # How sound fruit was when it was picked says nothing of its keeping.
    later = sorted((check for check in checks if check.day > picked), key=lambda one: one.day)
    ages = [((check.day - picked).days, check.sound) for check in later]
    before = (0, 1.0)
    for age, sound in ages:
        if sound < STILL_SOUND:
            part = (before[1] - STILL_SOUND) / (before[1] - sound)
            return (before[0] + part * (age - before[0])) / 7.0, False
        before = (age, sound)
    return (before[0] / 7.0, True) if before[0] >= _FEWEST_DAYS else (None, True)


def _one_year(year: int, lots: Sequence[tuple[float, bool]]) -> YearSeen:
    """Lots of one autumn share it: together they are one year's word."""
    ended = [ratio for ratio, beyond in lots if not beyond]
    if ended:
        longer = [ratio for ratio, beyond in lots if beyond and ratio > float(np.mean(ended))]
        return YearSeen(year, float(np.mean([*ended, *longer])), KEEPING_YEAR)
    return YearSeen(year, max(ratio for ratio, _ in lots), KEEPING_YEAR, beyond=True)


@dataclass(frozen=True)
class _Spent:
    """Hours of a task on one day, and what they were spent on: trees, or [kg]."""

    rate: TaskRate
    day: date
    note: str
    hours: float
    extent: float

    @property
    def said(self) -> float:
        """In the table's own basis."""
        return 60.0 * self.hours / self.extent if self.rate.basis == "min/tree" else self.extent / self.hours


def hours_learnt(
    work: Iterable[WorkDone],
    picks: Iterable[FruitPicked],
    pressings: Iterable[FruitPressed],
    tasks: Mapping[str, TaskRate],
    task_of: Callable[[str, date], str | None],
    trees_in: Mapping[str, int],
    ease: Mapping[str, float],
) -> tuple[list[FigureLearnt], list[NoteLeftOut]]:
    """Rates of tasks from jobs whose extent is known: trees said, a row or block named, fruit of that day; jobs left
    out.

    Parameters
    ----------
    task_of : the task that a job of this name is on this day; None where it is none of them
    trees_in : trees of each row (“South 3”) and block, by name
    ease : by cultivar, how much faster a kilogram is picked than of the size the table's rate is for; else 1
    """
    noted = [
        (tasks[task], job) for job in work if job.hours and (task := task_of(job.job, job.day) or "") in tasks
    ]
    jobs = _on_trees(noted, trees_in) + _on_fruit(noted, _fruit(picks, pressings, ease))
    by_year: dict[str, dict[int, list[tuple[float, float]]]] = defaultdict(lambda: defaultdict(list))
    left_out = []
    for job in jobs:
        rate = job.rate
        if _believed(job.said, rate.middle):
            by_year[rate.task][job.day.year].append((job.said, job.extent))
        else:
            left_out.append(
                NoteLeftOut(Taught.HOURS, rate.task, job.day, job.note, rate.basis, job.said, rate.middle)
            )
    made = []
    for name, years in by_year.items():
        rate = tasks[name]
        before = np.log(rate.high / rate.low) / (2 * _90TH)
        samples = []
        for year, found in years.items():
            weights = np.array([weight for _, weight in found])
            middle = float(np.average(np.log([value for value, _ in found]), weights=weights))
            error = float(np.hypot(HOURS_YEAR, HOURS_JOB / np.sqrt(len(found))))
            samples.append(YearSeen(year, middle - float(np.log(rate.middle)), error))
        count = sum(len(found) for found in years.values())
        made.append(_learnt(Taught.HOURS, name, rate.basis, rate.middle, samples, before, count, True))
    return sorted(made, key=lambda line: line.name), left_out


def _on_trees(noted: Iterable[tuple[TaskRate, WorkDone]], trees_in: Mapping[str, int]) -> list[_Spent]:
    """Jobs by the tree. Hours noted of one place on one day were spent on the same trees, unless trees are said."""
    found = []
    whole: dict[tuple[TaskRate, date, str], float] = defaultdict(float)
    trees = dict(trees_in)
    for rate, job in noted:
        if rate.basis != "min/tree" or not job.hours:
            continue
        if job.trees:
            found.append(_Spent(rate, job.day, job.where or f"{job.trees:,} trees", job.hours, job.trees))
            continue
        if job.place is not None:
            trees[job.where] = 1
        whole[rate, job.day, job.where] += job.hours
    return found + [
        _Spent(rate, day, where, hours, trees[where])
        for (rate, day, where), hours in whole.items()
        if trees.get(where)
    ]


def _on_fruit(
    noted: Iterable[tuple[TaskRate, WorkDone]], fruit: Mapping[tuple[str, date, str], float]
) -> list[_Spent]:
    """Jobs by the kilogram: of a day, all hours of a cultivar with all its fruit. Where a note of that day names none,
    nobody knows whose its hours are: all of them together are of all fruit."""
    whole: dict[tuple[TaskRate, date], dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for rate, job in noted:
        if rate.basis == "kg/h" and job.hours and fruit.get((rate.task, job.day, job.cultivar)):
            whole[rate, job.day][job.cultivar] += job.hours
    return [
        _Spent(rate, day, name, hours, fruit[rate.task, day, name])
        for (rate, day), by_name in whole.items()
        for name, hours in ({"": sum(by_name.values())} if "" in by_name else by_name).items()
    ]


def _fruit(
    picks: Iterable[FruitPicked], pressings: Iterable[FruitPressed], ease: Mapping[str, float]
) -> dict[tuple[str, date, str], float]:
    """[kg] picked and pressed on each day, by cultivar and, under no name, of all.

    Picked as fruit of the table's size, as the ledger reckons hours: small fruit counts for more.
    """
    found: dict[tuple[str, date, str], float] = defaultdict(float)
    for pick in picks:
        for name in {pick.cultivar, ""}:
            found["picking", pick.day, name] += pick.mass / ease.get(pick.cultivar, 1.0)
    for pressed in pressings:
        for name in {pressed.cultivar, ""}:
            found["pressing", pressed.day, name] += pressed.mass
    return found


def crop_learnt(
    picks: Iterable[FruitPicked], forecast: Mapping[tuple[str, int], float], mature: float
) -> tuple[list[FigureLearnt], list[NoteLeftOut]]:
    """What trees bore beside the plan's forecast: the orchard as a whole, then each cultivar beside the orchard; crops
    left out, each at its heaviest pick.

    Parameters
    ----------
    forecast : [kg] of all trees of a cultivar in a year, its middle; windfalls count with what was picked
    mature : [t/ha] of the table, what the whole orchard's figure is shown in
    """
    bore: dict[tuple[str, int], float] = defaultdict(float)
    count: dict[str, int] = defaultdict(int)
    heaviest: dict[tuple[str, int], FruitPicked] = {}
    for pick in picks:
        of_it = pick.cultivar, pick.day.year
        heaviest[of_it] = max(heaviest.get(of_it, pick), pick, key=lambda one: one.mass)
        bore[of_it] += pick.mass
        count[pick.cultivar] += 1
    ratios: dict[str, dict[int, float]] = defaultdict(dict)
    of_year: dict[int, list[float]] = defaultdict(lambda: [0.0, 0.0])
    left_out = []
    for (name, year), mass in bore.items():
        wanted = forecast.get((name, year), 0.0)
        if wanted > 0.0 and _LEAST_CROP < mass / wanted < np.exp(REACH):
            ratios[name][year] = float(np.log(mass / wanted))
            of_year[year][0] += mass
            of_year[year][1] += wanted
        elif wanted > 0.0 and mass > wanted:
            day = heaviest[name, year].day
            left_out.append(
                NoteLeftOut(Taught.CROP, name, day, f"crop of {year}", _FORECAST, mass / wanted, 1.0)
            )
    if not of_year:
        return [], left_out
    together = {year: float(np.log(seen / wanted)) for year, (seen, wanted) in of_year.items()}
    orchard = [YearSeen(year, ratio, CROP_YEAR) for year, ratio in together.items()]
    total = sum(count[name] for name in ratios)
    made = [_learnt(Taught.YIELD, "mature yield", "t/ha", mature, orchard, ORCHARD_BEFORE, total, True)]
    for name, years in sorted(ratios.items()):
        # Beside the year's orchard: what a year did to all of them is not the cultivar's.
        own = [YearSeen(year, ratio - together[year], CROP_YEAR) for year, ratio in years.items()]
        made.append(_learnt(Taught.CROP, name, "of the orchard's", 1.0, own, CROP_BEFORE, count[name], False))
    return made, left_out


def growth_learnt(
    trunks: Iterable[TrunkMeasured], forecast: Mapping[tuple[str, int], float]
) -> tuple[list[FigureLearnt], list[NoteLeftOut]]:
    """Width of each cultivar's trunks beside the plan's forecast for trees of that leaf; trunks left out.

    Parameters
    ----------
    forecast : [m] at the end of a year, by cultivar and year; trunks measured before July count for the year before
    """
    by_year: dict[str, dict[int, list[float]]] = defaultdict(lambda: defaultdict(list))
    left_out = []
    for trunk in trunks:
        year = trunk.day.year if trunk.day.month >= _GROWN_IN else trunk.day.year - 1
        wanted = forecast.get((trunk.cultivar, year), 0.0)
        if _believed(trunk.diameter, wanted):
            by_year[trunk.cultivar][year].append(float(np.log(trunk.diameter / wanted)))
        elif wanted > 0.0:
            ratio = trunk.diameter / wanted
            left_out.append(
                NoteLeftOut(Taught.GROWTH, trunk.cultivar, trunk.day, trunk.where, _FORECAST, ratio, 1.0)
            )
    made = []
    for name, years in by_year.items():
        samples = [
            YearSeen(
                year, float(np.mean(found)), float(np.hypot(GROWTH_YEAR, GROWTH_TREE / np.sqrt(len(found))))
            )
            for year, found in years.items()
        ]
        count = sum(map(len, years.values()))
        made.append(_learnt(Taught.GROWTH, name, _FORECAST, 1.0, samples, GROWTH_BEFORE, count, False))
    return sorted(made, key=lambda line: line.name), left_out


def water_learnt(
    watered: Iterable[Watered], rule: Mapping[tuple[str, int], float], flow: Mapping[str, float]
) -> list[FigureLearnt]:
    """Hours each block was watered beside the plan's rule in that year's weather, and its flow by the meter.

    Parameters
    ----------
    rule : [h] by block and year; years of fewer than _LEAST_HOURS teach nothing
    flow : [m3/h] of a block while it runs, by its emitters; what is noted without a block is that of all blocks
    """
    hours: dict[tuple[str, int], float] = defaultdict(float)
    metered: dict[str, dict[int, list[float]]] = defaultdict(lambda: defaultdict(list))
    runs: dict[str, int] = defaultdict(int)
    for run in watered:
        for block in [run.block] if run.block else list(flow):
            if run.hours:
                hours[block, run.day.year] += run.hours
                runs[block] += 1
        if run.block in flow and run.hours and run.volume:
            metered[run.block][run.day.year].append(float(np.log(run.volume / run.hours / flow[run.block])))
    made = []
    for block in flow:
        years = [
            YearSeen(year, float(np.log(seen / rule[name, year])), WATER_YEAR)
            for (name, year), seen in hours.items()
            if name == block and seen > 0 and rule.get((name, year), 0.0) >= _LEAST_HOURS
        ]
        if years:
            made.append(
                _learnt(Taught.WATER, block, "of the rule's", 1.0, years, WATER_BEFORE, runs[block], False)
            )
    for block, by_year in metered.items():
        years = [YearSeen(year, float(np.median(found)), FLOW_YEAR) for year, found in by_year.items()]
        count = sum(map(len, by_year.values()))
        made.append(_learnt(Taught.FLOW, block, "of the emitters'", 1.0, years, FLOW_BEFORE, count, False))
    return made


def _learnt(
    what: Taught,
    name: str,
    unit: str,
    stated: float,
    years: Sequence[YearSeen],
    before: float,
    seen: int,
    changes: bool,
) -> FigureLearnt:
    found = shrunk(years, before=before)
    low, high = found.range_80
    scores = [score for score in scored(years, before=before) if score.year > min(one.year for one in years)]
    missed: tuple[float | None, float | None] = (None, None)
    if scores:
        missed = (
            float(np.expm1(np.mean([abs(score.stated) for score in scores]))),
            float(np.expm1(np.mean([abs(score.learnt) for score in scores]))),
        )
    return FigureLearnt(
        what, name, unit, stated, stated * found.ratio, stated * low, stated * high, seen,
        len({one.year for one in years}), *missed, changes,
        tuple(
            FigureScore(one.year, *(float(np.expm1(abs(miss))) for miss in (one.stated, one.learnt)))
            for one in scores
        ),
    )  # fmt: skip
