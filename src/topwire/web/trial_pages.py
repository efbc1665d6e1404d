"""Trials: what-ifs beside the plan, kept under names; one press makes one the plan, another takes it back."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from topwire.engine.inputs import PLAN_FILE
from topwire.engine.plan_text import ChangedMeanwhile, faults_of, hash_of_text, last_change, save_plan
from topwire.engine.shelf import KeptTrial, Otherwise, as_plan, drop_trial, of_another_version, trials
from topwire.plan.form import every_setting, part_of, sections
from topwire.plan.read import parse_yaml, read_plan_text
from topwire.plan.rewritten import as_value
from topwire.show.what_if_sheets import sheets
from topwire.tell.speech import all_told
from topwire.values.fault import Faults, FileNotice
from topwire.values.figures import with_point
from topwire.web.face import Face, setting_in_words
from topwire.web.forms import Sent, taken
from topwire.web.sheet_view import SheetView, view

SETTINGS = 3  # that one trial may change in the form


@dataclass(frozen=True)
class OnShelf:
    """A trial as the shelf shows it."""

    name: str
    when: str
    words: str
    stale: bool  # the plan has changed since
    sheets: tuple[SheetView, ...]
    warnings: tuple[str, ...]  # that the plan has not


@dataclass(frozen=True)
class Asked:
    """How much of one need is asked for: what it is, the setting that says so, and what stands there."""

    says: str
    path: str
    now: str


class TrialPages:
    def __init__(self, face: Face) -> None:
        self._face = face

    def routes(self) -> list[Route]:
        sessions = self._face.sessions
        return [
            Route("/trials", self.shelf),
            taken("/trials", self.begin, sessions),
            taken("/trials/adopt", self.adopt, sessions),
            taken("/trials/drop", self.drop, sessions),
        ]

    def shelf(self, request: Request) -> Response:
        return self._show(request, {"with": request.query_params.get("with", "")[:120]}, ())

    def begin(self, request: Request, sent: Sent) -> Response:
        """Try a change; the answer comes in seconds, in a process of its own."""
        said = {name: value.strip() for name, value in sent.fields().items()}
        try:
            change, name = self._change(said), said.get("name") or self._unused()
            text = self._text()
            faults = told_of_fields(faults_of(self._face.desk.folder, as_plan(text, change)), text)
        except Faults as found:
            faults = told_of_fields(found.notices, self._text())
        except ValueError as found:
            faults = str(found).splitlines()
        else:
            if change == Otherwise():
                faults = [
                    "Say what would be otherwise: a cultivar in or out, a number of trees, more or fewer guests, or "
                    "a setting."
                ]
        if faults:
            return self._show(request, said, tuple(faults), 422)
        arguments = ["plan", str(self._face.desk.folder), "--keep", name]
        for option, values in (
            ("--with", change.with_),
            ("--without", change.without),
            ("--set", change.settings),
        ):
            for value in values:
                arguments += [option, value]
        if change.trees is not None:
            arguments += ["--trees", str(change.trees)]
        if not self._face.errands.start(f"the trial “{name}”", "trial", arguments, "/trials#shelf"):
            return self._show(request, said, ("Another run is at work; wait for it, or stop it.",), 409)
        return RedirectResponse("/run", 303)

    def adopt(self, request: Request, sent: Sent) -> Response:
        """Make a trial the plan, and work it out."""
        trial = self._named(sent.text("name"))
        text = self._text()
        try:
            new = as_plan(text, trial.change)
            faults = faults_of(self._face.desk.folder, new)
            if faults:
                raise Faults(faults)
            save_plan(self._face.desk.folder, new, seen=hash_of_text(text), what=f"the trial “{trial.name}”")
        except ChangedMeanwhile:
            raise HTTPException(
                409, "The plan has changed this very moment; look at it and try again."
            ) from None
        except Faults as found:
            return self._show(request, {}, tuple(told_of_fields(found.notices, text)), 422)
        self._face.errands.start("the plan", "plan", ["plan", str(self._face.desk.folder)])
        return RedirectResponse("/run", 303)

    def drop(self, request: Request, sent: Sent) -> Response:
        drop_trial(self._face.desk.folder, self._named(sent.text("name")).name)
        return RedirectResponse("/trials", 303)

    def _show(
        self, request: Request, said: dict[str, str], faults: tuple[str, ...], status: int = 200
    ) -> Response:
        text = self._text()
        reader = self._face.look(request).reader
        found = [
            OnShelf(
                one.name, one.when, in_words(one.change, text), one.plan != hash_of_text(text),
                tuple(view(sheet, reader) for sheet in sheets(one.found, reader) if sheet.rows),
                tuple(str(notice) for notice in all_told(one.found.theirs.warnings, reader)),
            )
            for one in trials(self._face.desk.folder)
        ]  # fmt: skip
        planned = self._face.desk.planned()
        place = planned.orchard.place if planned else None
        return self._face.page(
            request, "trials.html", status, here="trials", shelf=found, said=said, faults=faults,
            numbers=range(SETTINGS), settings=self._settings(text), needs=asked(text),
            names=place.cultivars if place else (),
            undo=last_change(self._face.desk.folder), lost=of_another_version(self._face.desk.folder),
            ready=planned is not None and planned.orchard.choice is not None,
        )  # fmt: skip

    def _change(self, said: dict[str, str]) -> Otherwise:
        amounts = tuple(
            f"{one.path}={as_value(with_point(value))}"
            for number, one in enumerate(asked(self._text()))
            if (value := said.get(f"need{number}", "")) and value != one.now
        )
        settings = amounts + tuple(
            f"{path}={value}"
            for number in range(SETTINGS)
            if (path := said.get(f"setting{number}", "")) and (value := said.get(f"value{number}", ""))
        )
        trees = with_point(said.get("trees", ""))
        if trees and not trees.isdigit():
            raise ValueError(f"“{said['trees'][:40]}” is no number of trees.")
        return Otherwise(
            settings, _names(said, "with"), _names(said, "without"), int(trees) if trees else None
        )

    def _settings(self, text: str) -> list[tuple[str, str]]:
        """Paths of settings that hold a value, with it."""
        try:
            tree = parse_yaml(text, PLAN_FILE)
        except Faults:
            return []
        found = (one for name in sections() for one in every_setting(part_of(tree, name)))
        return [(one.path, one.value or one.usual) for one in found if one.path not in ("name", "units")]

    def _text(self) -> str:
        if not self._face.desk.begun:
            raise HTTPException(404, "There is no plan yet.")
        return read_plan_text(self._face.desk.plan_path)

    def _named(self, name: str) -> KeptTrial:
        found = next((one for one in trials(self._face.desk.folder) if one.name == name), None)
        if found is None:
            raise HTTPException(404, "There is no such trial on the shelf.")
        return found

    def _unused(self) -> str:
        taken_ = {one.name for one in trials(self._face.desk.folder)}
        return next(name for number in range(1, 1000) if (name := f"Trial {number}") not in taken_)


_IN_PLAN = re.compile(r"^plan\.yaml(, line \d+)?(, )?")
_HOW_MUCH = ("guests_per_week", "seats")
_WORDS = {"guests_per_week": "guests a week", "seats": "seats", "amount": "amount"}


def asked(text: str) -> list[Asked]:
    """How much of each need the plan asks for; none where it cannot be read."""
    try:
        kitchen = parse_yaml(text, PLAN_FILE).get("kitchen") or {}
    except Faults:
        return []
    found = []
    for part, name in (("needs", "use"), ("cider", "style")):
        for number, need in enumerate(kitchen.get(part) or (), 1):
            dishes = need.get("dishes") or {}
            kind = need.get("cider_class")
            called = f"{need.get(name)} ({kind})" if kind else need.get(name)
            key = next((one for one in _HOW_MUCH if one in dishes), "amount")
            held, where = (dishes, ".dishes") if key in dishes else (need, "")
            if key in held:
                says = f"{dishes.get('dish') or called}: {_WORDS[key]}"
                found.append(Asked(says, f"kitchen.{part}[{number}]{where}.{key}", str(held[key])))
    return found


_FIELDS = {
    "trees.total": "So many trees",
    "taste.must_have": "These cultivars have to be there",
    "taste.must_not_have": "These may not",
}


def told_of_fields(found: Iterable[FileNotice], text: str) -> list[str]:
    """What is wrong with a trial by what stands above its fields: its lines of the plan nobody has written."""
    called = {one.path: one.says for one in asked(text)} | _FIELDS
    told: dict[str, None] = {}
    for one in found:
        path = _IN_PLAN.sub("", one.where)
        field = called.get(path) or called.get(path.partition("[")[0]) or setting_in_words(path)
        told[": ".join(filter(None, (field, f"{one.says} {one.remedy}".strip())))] = None
    return list(told)


def in_words(change: Otherwise, text: str) -> str:
    """What a trial changes of the plan written in `text`; a need by the words its field has."""
    called = {one.path: one.says for one in asked(text)}
    parts = [f"with {name}" for name in change.with_] + [f"without {name}" for name in change.without]
    parts += [f"{change.trees:,} trees"] if change.trees is not None else []
    for setting in change.settings:
        path, _, value = setting.partition("=")
        parts.append(f"{called.get(path) or setting_in_words(path)} {value}")
    return "; ".join(parts)


def _names(said: dict[str, str], field: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in said.get(field, "").split(",") if part.strip())
