"""What a phone carries into the rows for a day: which tree stands where, the week's jobs and picks, what to offer."""

import logging
import threading
from collections.abc import Callable
from dataclasses import asdict
from datetime import date
from itertools import groupby
from typing import Any

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.records.opening import NotSaved
from topwire.records.store import open_store
from topwire.season.answer import week_of
from topwire.season.findings import JobState, WeekFindings
from topwire.season.kept import open_folder
from topwire.season.records import seen_by
from topwire.show.tree_sheet import cultivar_weeks
from topwire.tell.ledger import job_words
from topwire.tell.reader import Reader
from topwire.tell.season import STATES
from topwire.values.calendar import day_label
from topwire.values.fault import Faults
from topwire.values.units import Kind
from topwire.web.desk import Desk
from topwire.web.phone.offers import crate_says, crates, likely, offers

Plain = dict[str, Any]
_LOG = logging.getLogger(__name__)


class Days:
    """Made once a day for every state of plan and records."""

    def __init__(self, desk: Desk, today: Callable[[], date] = date.today) -> None:
        self._desk, self._today = desk, today
        self._guard = threading.Lock()
        self._kept: tuple[object, Plain] = (None, {})

    def now(self) -> Plain:
        planned, day = self._desk.planned(), self._today()
        mark = self._mark()
        key = (planned.key if planned else "", day, mark)
        with self._guard:
            if self._kept[0] != key:
                orchard = planned.orchard if planned is not None else None
                self._kept = (key, self._made(orchard, day))
            return self._kept[1]

    def _mark(self) -> str:
        try:
            with open_store(self._desk.folder, make=False) as store:
                return store.mark()
        except (FileNotFoundError, NotSaved):
            return ""

    def _made(self, orchard: Orchard | None, day: date) -> Plain:
        if orchard is None or orchard.layout is None or orchard.ground is None:
            says = "Nothing is planned yet, so there are no rows. Work the plan out at the desk first."
            return {"name": self._desk.folder.name, "rows": [], "cultivars": [], "says": says}
        reader = Reader(orchard.origin.units)
        week, says = self._week(day)
        return {
            "name": orchard.origin.name,
            "day": reader.date(day.isoformat()),
            "says": says,
            "rows": _rows(orchard),
            "cultivars": _cultivars(orchard, week, reader),
            "likely": list(likely(None)),
            "offers": [asdict(one) for one in offers(reader)],
            "crates": asdict(crates(reader)),
            "crate": crate_says(reader),
            "jobs": [] if week is None else _jobs(week, reader),
            "picks": [] if week is None else _picks(week, reader),
        }

    def _week(self, day: date) -> tuple[WeekFindings | None, str]:
        try:
            return week_of(open_folder(self._desk.folder), day, seen_by(self._desk.folder, day)), ""
        except Faults as faults:
            says = str(faults.notices[0])
        except Exception:  # whatever is amiss with the week, rows are found and notes taken
            _LOG.exception("the week could not be told to phones")
            says = "a fault of ours."
        return None, f"This week’s jobs cannot be told: {says} Notes are taken all the same."


def _rows(orchard: Orchard) -> list[Plain]:
    """Every row with its stretches of one cultivar; -1 = no tree."""
    ground, layout = orchard.ground, orchard.layout
    assert ground is not None
    assert layout is not None
    places = zip(
        ground.block.tolist(), ground.row.tolist(), ground.place.tolist(), layout.cultivar.tolist(), strict=True
    )  # fmt: skip
    found = []
    for (block, row), of_row in groupby(places, key=lambda one: (one[0], one[1])):
        runs: list[list[int]] = []
        for _, _, place, cultivar in of_row:
            if runs and runs[-1][2] == cultivar and runs[-1][1] == place - 1:
                runs[-1][1] = place
            else:
                runs.append([place, place, cultivar])
        name = ground.blocks[block]
        found.append({"block": name.name, "row": name.rows[row].number, "runs": runs})
    return found


def _cultivars(orchard: Orchard, week: WeekFindings | None, reader: Reader) -> list[Plain]:
    layout = orchard.layout
    assert layout is not None
    stages = {line.cultivar: line for line in (week.stages if week is not None else ())}
    found = []
    for number, line in enumerate(cultivar_weeks(orchard)):
        here = np.flatnonzero(layout.cultivar == number)
        facts: dict[str, str] = {}
        standing = stages.get(line.cultivar)
        if standing is not None:
            facts["stage"] = f"{standing.stage}{' (seen)' if standing.seen else ''}"
            if standing.coming is not None and standing.day is not None:
                facts[str(standing.coming)] = f"about {day_label(standing.day.middle)}"
        if line.first_bloom is not None and line.petal_fall is not None:
            facts["in bloom, middle year"] = f"{day_label(line.first_bloom)} to {day_label(line.petal_fall)}"
        if line.donors:
            facts["pollen from"] = ", ".join(line.donors)
        if here.size:
            facts["rootstock"] = layout.rootstock[number]
        found.append(
            {
                "name": line.cultivar, "code": line.code, "trees": line.trees, "facts": facts,
                "likely": list(likely(standing.stage if standing is not None else None)),
            }
        )  # fmt: skip
    return found


def _jobs(week: WeekFindings, reader: Reader) -> list[Plain]:
    works = {line.item: line for line in week.works}
    found = []
    for line in week.jobs:
        said = job_words(line.job, works, reader)
        when = STATES[line.state]
        if when == "from":
            when = f"from {_short(line.start)}"
        found.append(
            {
                "key": line.job.key, "what": said.what, "cultivar": line.job.cultivar,
                "when": f"{when}, until {_short(line.end)}", "rows": list(line.rows),
                "done_rows": [] if line.begun else list(line.part_done),
                "done": line.state is JobState.DONE, "late": line.state is JobState.LATE, "how": said.how,
                "caution": said.caution, "tools": said.tools, "by_row": line.job.by_row,
            }
        )  # fmt: skip
    return found


def _picks(week: WeekFindings, reader: Reader) -> list[Plain]:
    return [
        {
            "cultivar": line.cultivar, "rows": list(line.rows), "crates": line.crates,
            "says": f"{reader.text(line.this_week, Kind.MASS, 0)} this week, {reader.text(line.left, Kind.MASS, 0)} "
            f"still on the trees; from {day_label(line.first.middle)} to {day_label(line.last.middle)}",
        }
        for line in week.picks
    ]  # fmt: skip


def _short(iso: str) -> str:
    return day_label(date.fromisoformat(iso).timetuple().tm_yday)
