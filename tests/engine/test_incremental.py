"""Nothing stale: after any one change the plan made from kept answers is the plan made from nothing."""

import os
import random
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import cast

import pytest
from engine import small
from engine.worked_out import WorkedOut
from engine.worked_out import overheard as overheard_steps

from topwire.catalogue.tables import read_tables
from topwire.engine import run
from topwire.engine.department import Department, Earlier, Posed
from topwire.engine.inputs import Inputs, read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import fingerprint, plan_orchard
from topwire.engine.store import as_json
from topwire.export.files import FILES, writers
from topwire.records.entries import (
    Entry,
    FruitPicked,
    PestSeen,
    SeenStage,
    StageSeen,
    TakeCounted,
    TreeChanged,
    TreeEvent,
    WorkDone,
)  # fmt: skip
from topwire.records.store import open_store
from topwire.values.progress import Progress

DRAWN, SEED = 40, 5  # of the plan's settings; tables, weather and outlines come on top
Change = Callable[[Path], None]


WHOLE = 12  # of so many changes one is worked out from nothing to the last sum
STEPS = tuple(run.STEPS)


def overheard(inputs: Inputs, worked_out: WorkedOut, *, fresh: bool) -> Orchard:
    """The plan; from nothing it takes answers that were worked out before for the very same question."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(run, "STEPS", overheard_steps(STEPS, worked_out, takes=fresh))
        return worked_out.seen(plan_orchard(inputs, fresh=fresh))


@pytest.fixture(scope="module")
def worked_out() -> WorkedOut:
    return WorkedOut()


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory, worked_out: WorkedOut) -> Path:
    folder = small.make(tmp_path_factory.mktemp("small") / "yard")
    orchard = overheard(read_inputs(folder), worked_out, fresh=False)
    assert not orchard.notices
    return folder


def _plan(text: str) -> Change:
    return lambda folder: (folder / "plan.yaml").write_text(text, encoding="utf-8") and None


def _edit(name: str, pattern: str, by: str) -> Change:
    def change(folder: Path) -> None:
        text = (folder / name).read_text(encoding="utf-8")
        changed, times = re.subn(pattern, by, text, count=1, flags=re.MULTILINE)
        assert times == 1
        (folder / name).write_text(changed, encoding="utf-8")

    return change


def _own_row(table: str) -> Change | None:
    """A row of the shipped table with one figure moved by a fiftieth, laid over it from the orchard's folder."""
    shipped = read_tables()[table]
    key = shipped.columns[0]
    for row in shipped.rows.values():
        for column in shipped.columns[1:]:
            cell = row.cells[column]
            if column not in ("introduced", "ploidy", "leaf", "low_f") and re.fullmatch(r"\d*\.\d+", cell):
                text = f"{key},{column}\n{_quoted(row.cells[key])},{float(cell) * 1.02:.6g}\n"

                def change(folder: Path, text: str = text) -> None:
                    (folder / "catalogue").mkdir()
                    (folder / "catalogue" / f"{table}.csv").write_text(text, encoding="utf-8")

                return change
    return None


def _quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"'


NAME_A_FILE = {"weather.mornings", "ground.obstacles", "trees.standing"}  # which would have to be there


def changes() -> Iterator[tuple[str, Change]]:
    settings = list(small.plan_changes())
    for path, text in random.Random(SEED).sample(settings, DRAWN):
        if path not in NAME_A_FILE:
            yield path, _plan(text)
    for table in read_tables():
        change = _own_row(table)
        if change is not None:
            yield f"catalogue/{table}.csv", change
    yield "weather, one night", _edit("weather/daily.csv", r"^(\w+,20\d\d-04-2\d),[-\d.]+,", r"\1,-6.5,")
    yield "outline, one corner", _edit("yard.geojson", r"39\.1801\b", "39.18012")


ALL = list(changes())


def test_there_are_enough_changes() -> None:
    assert len(ALL) >= 60
    assert len({name for name, _ in ALL}) == len(ALL)


@pytest.mark.parametrize(
    ("change", "whole"),
    [(change, number % WHOLE == 0) for number, (_, change) in enumerate(ALL)],
    ids=[name for name, _ in ALL],
)
def test_kept_answers_are_those_of_a_run_from_nothing(
    planned: Path, worked_out: WorkedOut, tmp_path: Path, change: Change, whole: bool
) -> None:
    folder = tmp_path / "yard"
    shutil.copytree(planned, folder)
    change(folder)
    inputs = read_inputs(folder)
    kept = overheard(inputs, worked_out, fresh=False)
    fresh = plan_orchard(inputs, fresh=True) if whole else overheard(inputs, worked_out, fresh=True)
    assert all(step.seconds is not None for step in fresh.steps)
    assert _departments(kept) == _departments(fresh)
    assert kept.notices == fresh.notices
    assert fingerprint(kept) == fingerprint(fresh)  # out/ is made from nothing else


def _departments(orchard: Orchard) -> dict[str, str]:
    return {name: as_json(found) if found is not None else "" for name, found in orchard.departments.items()}


def test_an_answer_hangs_on_its_question_alone(planned: Path, tmp_path: Path) -> None:
    """No sum looks into the orchard's folder; what is read there is read before the question is put."""
    folder = tmp_path / "yard"
    shutil.copytree(planned, folder)
    looked: list[tuple[str, str]] = []
    at_work: list[str] = []

    def look(event: str, given: tuple[object, ...]) -> None:
        if at_work and event in ("open", "os.listdir", "os.scandir", "sqlite3.connect"):
            reads = event != "open" or not cast(int, given[2]) & (
                os.O_WRONLY | os.O_EXCL
            )  # O_EXCL: just made
            if reads and str(folder) in str(given[0]):
                looked.append((at_work[0], str(given[0])))

    class Watched(Department):
        def __init__(self, step: Department) -> None:
            self.name, self.says, self.needs, self.findings = step.name, step.says, step.needs, step.findings
            self._step = step

        def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
            posed = self._step.pose(inputs, earlier)

            def answer(progress: Progress) -> object:
                at_work.append(self.name)
                try:
                    return posed.answer(progress)
                finally:
                    at_work.clear()

            return replace(posed, answer=answer)

    sys.addaudithook(look)  # cannot be taken away again; it does nothing once nobody is at work
    inputs = read_inputs(folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path)
        patch.setattr(run, "STEPS", [Watched(step) for step in STEPS])
        orchard = plan_orchard(inputs, fresh=True)
    assert len(orchard.steps) == len(STEPS)
    assert not looked


def test_out_is_the_same_from_kept_answers(planned: Path, tmp_path: Path) -> None:
    folder = tmp_path / "yard"
    shutil.copytree(planned, folder)
    _edit("plan.yaml", "seasons: 1", "seasons: 2")(folder)
    inputs = read_inputs(folder)
    kept, fresh = writers(plan_orchard(inputs)), writers(plan_orchard(inputs, fresh=True))
    for name in FILES:
        assert kept[name]() == fresh[name](), name


def _plan_line(old: str, new: str) -> Change:
    return _edit("plan.yaml", re.escape(old), new)


def _money(setting: str) -> Change:
    return _plan_line("nursery: {", f"money: {{{setting}}}\nnursery: {{")


def _own(table: str, text: str) -> Change:
    def change(folder: Path) -> None:
        (folder / "catalogue").mkdir()
        (folder / "catalogue" / f"{table}.csv").write_text(text, encoding="utf-8")

    return change


def _bloom_seen(folder: Path) -> None:
    (folder / "records").mkdir()
    lines = "entry,cultivar,event,date\n1,Dolgo,full bloom,{}-04-20\n"
    year = (folder / "weather/daily.csv").read_text(encoding="utf-8").splitlines()[-1].split(",")[1][:4]
    (folder / "records/bloom.csv").write_text(lines.format(int(year) - 1), encoding="utf-8")


def _noted(*entries: Entry) -> Change:
    def change(folder: Path) -> None:
        with open_store(folder) as store:
            store.append(entries)

    return change


def _learnt(table: str, text: str) -> Change:
    def change(folder: Path) -> None:
        (folder / "learned").mkdir()
        (folder / "learned" / f"{table}.csv").write_text(text, encoding="utf-8")

    return change


SPRING, AUTUMN = date(2024, 4, 20), date(2024, 9, 20)


# Exactly these steps run after the change; the others are kept. The choice and what hangs on its trees are awake only
# where the trees, their fruit or what the kitchen wants can change.
RUNS: dict[str, tuple[Change, set[str]]] = {
    "another name": (_plan_line("name: Small yard", "name: Other yard"), set()),
    "US units": (_plan_line("units: metric", "units: us"), set()),
    "two seasons in the nursery": (
        _plan_line("seasons: 1", "seasons: 2"),
        {"years", "nursery", "trellis", "ledger"},
    ),
    "a practised grafter": (_plan_line("skill: beginner", "skill: practised"), {"nursery", "ledger"}),
    "nursery rows apart": (_plan_line("seasons: 1", "seasons: 1, row_spacing: 1.2 m"), {"nursery"}),
    "the price of wood": (
        _own("prices", "item,price,low,high\nscion wood,0.8,0.5,1\n"),
        {"nursery", "ledger"},
    ),
    "the price of a fence": (_own("prices", "item,price\nfence post,29.9\n"), {"ledger"}),
    "interest": (_money("interest: 0.07"), {"trellis", "ledger"}),
    # Hours weigh otherwise, trees change places, and with them what hangs on a row when.
    "hands": (_money("hands: 2"), {"layout", "trellis", "ledger"}),
    "a gust": (_plan_line("gust: 38 m/s", "gust: 41 m/s"), {"trellis", "ledger"}),
    "posts by the storm": (_plan_line("trellis: {", "trellis: {choose_by: storm, "), {"trellis", "ledger"}),
    "line posts apart": (_plan_line("trellis: {", "trellis: {post_spacing: 3 m, "), {"trellis", "ledger"}),
    "hours of water": (_plan_line("hours_per_day: 4", "hours_per_day: 5"), {"water", "ledger"}),
    "mulch": (_plan_line("distance: 15 m", "distance: 15 m, mulch: true"), {"water", "ledger"}),
    "a remark": (_edit("plan.yaml", r"\Z", "# planted on a Tuesday\\n"), set()),
    "a bloom seen": (_bloom_seen, {"learning"}),
    "a bloom noted": (
        _noted(StageSeen(day=SPRING, cultivar="Dolgo", stage=SeenStage.FULL_BLOOM)),
        {"learning"},
    ),
    "a first pick": (_noted(FruitPicked(day=AUTUMN, cultivar="Dolgo", mass=3.0)), {"learning"}),
    "a dead tree": (
        _noted(TreeChanged(day=SPRING, block="Yard", row=1, place=2, event=TreeEvent.DIED)),
        set(),
    ),
    "hours and pests": (
        _noted(WorkDone(day=SPRING, job="pruning", hours=3.0), PestSeen(day=AUTUMN, what="scab")),
        set(),
    ),
    "grafts counted": (
        _noted(TakeCounted(day=SPRING, cultivar="Dolgo", started=25, good=20)),
        {"nursery", "ledger"},
    ),
    "hours learnt": (
        _learnt("labour", "task,low,middle,high\npreserving,8,13,24\n"),
        {"ledger"},
    ),
    "own dates used until a year before any": (
        _plan_line("exposure: sheltered", "exposure: sheltered\n  own_dates_until: 2000"),
        {"learning"},
    ),
}


@pytest.mark.parametrize(("change", "expected"), RUNS.values(), ids=RUNS)
def test_only_what_reads_a_setting_wakes(
    planned: Path, tmp_path: Path, change: Change, expected: set[str]
) -> None:
    assert _woken(planned, tmp_path, change) == expected


def test_a_bloom_date_reaches_the_choice_once_the_plan_follows_it(planned: Path, tmp_path: Path) -> None:
    def followed(folder: Path) -> None:
        _bloom_seen(folder)
        _plan_line("exposure: sheltered", "exposure: sheltered\n  own_dates_until: 2200")(folder)

    woken = _woken(planned, tmp_path, followed)
    assert {"place", "learning", "choice"} <= woken
    assert "ground" not in woken


def test_keeping_learnt_reaches_the_choice_once_it_is_used_and_nothing_before_it(
    planned: Path, tmp_path: Path
) -> None:
    woken = _woken(planned, tmp_path, _learnt("cultivars", "name,storage_weeks\nFreedom,7\n"))
    assert "choice" in woken
    assert not woken & {"place", "learning", "ground", "water"}


def _woken(planned: Path, tmp_path: Path, change: Change) -> set[str]:
    folder = tmp_path / "yard"
    shutil.copytree(planned, folder)
    change(folder)
    orchard = plan_orchard(read_inputs(folder))
    assert not orchard.notices
    return {step.name for step in orchard.steps if step.seconds is not None}
