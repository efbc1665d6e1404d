"""Sheets of the season: the week's page, part by part."""

from dataclasses import replace
from datetime import date
from itertools import takewhile

from topwire.protection.findings import Danger
from topwire.season.findings import JobWeek, SeasonStage, ThinWeek, WeekFindings
from topwire.show.cellar_sheets import lots
from topwire.show.protection_sheets import windows
from topwire.show.sheet import Column, LinkKind, Sheet, sheet_of, table
from topwire.show.week_sheet import this_week
from topwire.tell.ledger import job_words
from topwire.tell.reader import Reader, counted
from topwire.tell.season import COMING, STATES
from topwire.values.calendar import day_label
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_DAY, _MASS = Plain.DAY_OF_YEAR, Kind.MASS
_THREAT_COLUMNS = ("danger", "threat", "first", "last", "reason", "where", "look_from")
_MOST_THREATS = 8
_ASLEEP = 42  # [d] to bloom, beyond it one cultivar is like another
_FEW_ROWS = 4  # names before “and so many more”


def sheets(found: WeekFindings, reader: Reader) -> list[Sheet]:
    """Every sheet of the week that has a line."""
    made = [
        *([threats(found, reader)] if found.stages else []),
        jobs(found, reader),
        thin(found),
        picks(found),
        plan(found),
        crops(found),
        stages(found),
        lots("week.lots", "In the cellar, to be used first", found.lots),
        kitchen(found),
        ahead(found, reader),
    ]
    if found.water is not None:
        made.insert(4, this_week(found.water))
    return [sheet for sheet in made if sheet.rows]


def stages(found: WeekFindings) -> Sheet:
    """Of those asleep that will not bloom for long, only the first and the last."""
    lines = [line for line in found.stages if line.stage is not SeasonStage.OVER]
    asleep = [
        line
        for line in lines
        if line.stage is SeasonStage.DORMANT and line.days is not None and line.days.low > _ASLEEP
    ]
    between = set(map(id, asleep[1:-1]))
    return sheet_of(
        "week.stages",
        "Where each cultivar stands",
        (
            Column("cultivar", "cultivar", width=2, leads=LinkKind.CULTIVAR),
            Column("trees", "trees"),
            Column("stage", "stage", of=lambda line: str(line.stage)),
            Column("seen", "seen", of=lambda line: "seen" if line.seen else ""),
            Column("coming", "next", words=COMING),
            Column("days_low", "in days, early", Plain.DAYS, of=lambda line: line.days and line.days.low),
            Column("days", "middle", Plain.DAYS, of=lambda line: line.days and line.days.middle),
            Column("days_high", "late", Plain.DAYS, of=lambda line: line.days and line.days.high),
            Column("day", "middle day", _DAY, of=lambda line: line.day and line.day.middle),
        ),
        [line for line in lines if id(line) not in between],
        (
            f"{counted(len(between), 'cultivar')} more asleep, to bloom between the first and the last. "
            if between
            else ""
        )
        + _rests(found),
    )


def _rests(found: WeekFindings) -> str:
    weather = f"Weather to {_label(found.weather_to)}" if found.weather_to else "No weather of this season"
    over = sum(line.stage is SeasonStage.OVER for line in found.stages)
    picked = (
        f"{counted(over, 'cultivar')} {'is' if over == 1 else 'are'} over for this year. " if over else ""
    )
    ahead = f", a forecast of {found.ahead_days} days" if found.ahead_days else ""
    return (
        f"{picked}{weather}{ahead}, {found.dates_seen} dates of your own this year; beyond that the weather of the "
        f"years of today. Early to late holds four dates of five. {found.credit}"
    )


def jobs(found: WeekFindings, reader: Reader) -> Sheet:
    works = {line.item: line for line in found.works}
    return sheet_of(
        "week.jobs",
        "What to do",
        (
            Column("state", "when", of=_when),
            Column("what", "what", of=lambda line: job_words(line.job, works, reader).what, width=2),
            Column("rows", "where", of=_left_where, width=2),
            Column("end", "until", of=lambda line: date.fromisoformat(line.end)),
            Column("hours", "this week", Plain.HOURS, 1, of=lambda line: _hours(line.hours)),
            Column("people", "people", of=lambda line: line.job.people),
            Column("tools", "tools", of=lambda line: job_words(line.job, works, reader).tools, width=2),
            Column("caution", "caution", of=lambda line: job_words(line.job, works, reader).caution, width=2),
            Column("key", "its name in a note", of=lambda line: line.job.key),
        ),
        found.jobs,
        f"Your hands give {found.hands_hours:,.0f} hours a week.",
    )


def _hours(hours: float | None) -> float | None:
    """Hours of a job; a few minutes are a tenth, none are none."""
    return max(hours, 0.1) if hours else None


def _when(line: JobWeek) -> str:
    said = STATES[line.state]
    return f"from {_label(line.start)}" if said == "from" else said


def _label(iso: str) -> str:
    return day_label(date.fromisoformat(iso).timetuple().tm_yday)


def _left_where(line: JobWeek) -> str:
    done = f"; {'begun' if line.begun else 'done'} in {_where(line.part_done)}" if line.part_done else ""
    return f"{_where(line.rows)}{done}"


def _where(rows: tuple[str, ...]) -> str:
    if not rows:
        return "everywhere"
    more = len(rows) - _FEW_ROWS
    return f"{'; '.join(rows[:_FEW_ROWS])} and {more} more" if more > 0 else "; ".join(rows)


def picks(found: WeekFindings) -> Sheet:
    return sheet_of(
        "week.picks",
        "What to pick",
        (
            Column("cultivar", "cultivar", width=2, leads=LinkKind.CULTIVAR),
            Column("this_week", "this week", _MASS),
            Column("left", "still on the trees", _MASS),
            Column("crop_low", "crop this year, low", _MASS, of=lambda line: line.crop.low),
            Column("crop_high", "high", _MASS, of=lambda line: line.crop.high),
            Column("first", "first pick", _DAY, of=lambda line: line.first.middle),
            Column("last", "last pick", _DAY, of=lambda line: line.last.middle),
            Column("rows", "rows, in walking order", of=lambda line: _where(line.rows), width=2),
            Column("crates", "crates"),
            Column("hours", "hours", Plain.HOURS, 1, of=lambda line: _hours(line.hours)),
        ),
        found.picks,
        "Crates of a bushel. Windfalls apart, never into raw juice; ladder on firm ground.",
    )


def threats(found: WeekFindings, reader: Reader, most: int = _MOST_THREATS) -> Sheet:
    """The windows of the protection, those that matter now; `topwire protect` tells them whole. No severe one that
    leads them is cut."""
    whole = windows(found.threats, reader)
    severe = sum(1 for _ in takewhile(lambda one: one.danger is Danger.SEVERE, found.threats.windows))
    keep = [at for at, column in enumerate(whole.columns) if column.key in _THREAT_COLUMNS]
    return replace(
        whole,
        name="week.threats",
        title="What threatens",
        columns=tuple(whole.columns[at] for at in keep),
        rows=tuple(tuple(row[at] for at in keep) for row in whole.rows[: max(most, severe)]),
    )


def thin(found: WeekFindings) -> Sheet:
    return sheet_of(
        "week.thin",
        "Fruit to thin",
        (
            Column("cultivar", "cultivar", width=2, leads=LinkKind.CULTIVAR),
            Column("trees", "trees"),
            Column("trunk", "trunk", Kind.SMALL_AREA, (2, 1)),
            Column("measured", "measured", of=lambda line: line.measured or None),
            Column("target", "fruits to leave on a tree", Plain.COUNT, links=table("crop_load")),
            Column("there", "counted on a tree", Plain.COUNT),
            Column("clusters", "counted", of=_counted),
            Column("off", "more than that on a tree", Plain.COUNT),
            Column("until", "until", _DAY),
        ),
        found.thin,
        "One fruit a cluster, a hand apart, the smallest and the damaged first. Cultivars that bear every other year "
        "answer only to a week after bloom. Trunks not measured are those of trees of that age in the plan.",
    )


def _counted(line: ThinWeek) -> str:
    return "count five trees" if line.there is None else "clusters" if line.clusters else "fruits"


def crops(found: WeekFindings) -> Sheet:
    return sheet_of(
        "week.crops",
        "The crop that is coming",
        (
            Column("cultivar", "cultivar", width=2, leads=LinkKind.CULTIVAR),
            Column("low", "low", _MASS, of=lambda line: line.crop.low),
            Column("middle", "middle", _MASS, of=lambda line: line.crop.middle),
            Column("high", "high", _MASS, of=lambda line: line.crop.high),
            Column("sources", "rests on, beside age and frost"),
        ),
        found.crops,
        "Counts of flower clusters, of fruits in summer, and diameters by the calliper make it surer.",
    )


def plan(found: WeekFindings) -> Sheet:
    return sheet_of(
        "week.picking_plan",
        "Picking, day by day",
        (
            Column("day", "day", of=lambda line: date.fromisoformat(line.day)),
            Column("cultivar", "cultivar", of=lambda one: "rain: none" if one.wet else one.cultivar, width=2),
            Column("kg", "fruit", _MASS, of=lambda line: line.kg or None),
            Column("crates", "crates", of=lambda line: line.crates or None),
            Column("people", "people", of=lambda line: line.people or None),
            Column("hours", "hours each", Plain.HOURS, 1, of=lambda line: _hours(line.hours)),
            Column("rows", "rows, in walking order", of=lambda one: one.rows and _where(one.rows), width=2),
        ),
        found.plan,
        "What would be over first goes first. Dew off the fruit before the first bag.",
    )


def kitchen(found: WeekFindings) -> Sheet:
    return sheet_of(
        "week.kitchen",
        "What the kitchen gets",
        (
            Column("use", "use"),
            Column("dish", "dish"),
            Column("wanted", "wanted this week", _MASS),
            Column("gets", "there is", _MASS),
        ),
        found.kitchen,
        "Whole fruit: by the cellar and the trees where picks are noted, else by the plan's middle year. What is made "
        "once in a season takes what is ripe.",
    )


def ahead(found: WeekFindings, reader: Reader) -> Sheet:
    works = {line.item: line for line in found.works}
    return sheet_of(
        "week.ahead",
        "The next four weeks",
        (
            Column("week", "week of", of=lambda line: date.fromisoformat(line.first_day)),
            Column("bloom", "in bloom", width=2),
            Column("harvest", "first picks", width=2),
            Column(
                "jobs",
                "jobs that begin",
                of=lambda line: "; ".join(job_words(job, works, reader).what for job in line.jobs),
                width=3,
            ),
            Column("hours", "their hours", Plain.HOURS, 0, of=lambda line: line.hours or None),
        ),
        found.ahead,
    )
