"""The plan's settings as forms and as text: checked as they are written, saved where the file is as it was read."""

import difflib
import re
from collections import OrderedDict
from collections.abc import Mapping
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from topwire.engine.inputs import PLAN_FILE
from topwire.engine.plan_text import (
    ChangedMeanwhile,
    faults_of,
    hash_of_text,
    last_change,
    save_plan,
    take_back,
)
from topwire.plan.form import Part, every_setting, in_file, part_of, sections
from topwire.plan.read import parse_yaml, read_plan_text
from topwire.plan.rewritten import rewritten
from topwire.show.tables import every_sheet
from topwire.values.fault import Faults, FileNotice, fault
from topwire.web.contents import PAGES
from topwire.web.face import Face, setting_in_words
from topwire.web.forms import Sent, taken
from topwire.web.moves import moved_by
from topwire.web.sheet_view import Leads

SET = "set:"
SHOWN = 100  # texts of the plan that open pages may have been made from
TITLES = {
    "plan": "Name and units", "place": "Place", "weather": "Weather", "ground": "Ground", "kitchen": "Kitchen",
    "taste": "Taste", "trees": "Trees", "years": "Years", "trellis": "Trellis", "water": "Water", "nursery": "Nursery",
    "money": "Money",
}  # fmt: skip
# What a new entry of a list begins as, metric and US.
NEW_ENTRY = {
    "kitchen.needs": (
        "{use: fresh, amount: 20 kg/week, from: 1 Aug, to: 31 Dec}",
        "{use: fresh, amount: 40 lb/week, from: 1 Aug, to: 31 Dec}",
    ),
    "kitchen.cider": ("{style: still dry, amount: 500 L}", "{style: still dry, amount: 130 gal}"),
    "kitchen.tanks": ("{volume: 500 L}", "{volume: 130 gal}"),
    "ground.blocks": (
        "{name: New, rectangle: {length: 40 m, width: 20 m}}",
        "{name: New, rectangle: {length: 130 ft, width: 65 ft}}",
    ),
}
_FILES = re.compile(
    r"^(weather\.(files|scenarios)|ground\.(obstacles|blocks\[\d+\]\.outline)|trees\.standing)"
)
_FIELD = re.compile(r"plan\.yaml(?:, line (\d+))?, ([^:,]+)")


class PlanPages:
    def __init__(self, face: Face) -> None:
        self._face = face
        self._shown: OrderedDict[str, str] = OrderedDict()  # texts that open pages were made from, by hash
        self._moves: tuple[str, Mapping[str, tuple[Leads, ...]]] = ("", {})

    def routes(self) -> list[Route]:
        sessions = self._face.sessions
        return [
            Route("/plan", self.contents),
            Route("/plan/text", self.text),
            Route("/plan/{section}", self.section),
            taken("/plan/text", self.save_text, sessions),
            taken("/plan/check", self.check, sessions),
            taken("/plan/undo", self.undo, sessions),
            taken("/plan/{section}", self.save_section, sessions),
        ]

    def contents(self, request: Request) -> Response:
        at = request.query_params.get("at", "")
        if at.startswith("catalogue/"):
            return self._face.page(request, "own_table.html", here="plan", table=at)
        if at:
            section = at.partition(".")[0].partition("[")[0]
            known = sections()
            place = section if section in known else "plan"
            return RedirectResponse(f"/plan/{place}#{at}", 303)
        try:
            tree = parse_yaml(read_plan_text(self._begun()), PLAN_FILE)
        except Faults:
            return RedirectResponse("/plan/text", 303)
        told = [
            (
                name,
                TITLES.get(name, name.capitalize()),
                [one for one in part_of(tree, name).settings if one.value][:6],
            )
            for name in sections()
        ]
        return self._face.page(
            request, "plan.html", here="plan", told=told, undo=last_change(self._face.desk.folder)
        )

    def section(self, request: Request) -> Response:
        return self._section(request, request.path_params["section"], read_plan_text(self._begun()))

    def save_section(self, request: Request, sent: Sent) -> Response:
        name = request.path_params["section"]
        text = read_plan_text(self._begun())
        # what was changed is told by the text the page showed, so that a change made outside is not undone
        part, _ = self._part(name, self._shown.get(sent.text("seen"), text))
        known = {setting.path: setting for setting in every_setting(part)}
        said = {
            path.removeprefix(SET): value for path, value in sent.fields().items() if path.startswith(SET)
        }
        changes = {
            path: in_file(known[path], value)
            for path, value in said.items()
            if path in known and value.strip() != known[path].value
        }
        for path in sent.all("remove"):
            changes = {one: value for one, value in changes.items() if not one.startswith(f"{path}.")}
            changes[path] = None
        for path in sent.all("add"):
            count = sum(inner.list_of == path for inner in _every_part(part))
            if path in NEW_ENTRY:
                changes[f"{path}[{count + 1}]"] = NEW_ENTRY[path][self._face.look(request).reader.us]
        try:
            faults = _leading_out(changes)
            new = rewritten(text, changes)
            faults = faults or faults_of(self._face.desk.folder, new)
        except Faults as found:
            faults = found.notices
        if faults:
            return self._section(request, name, text, said, faults, sent.text("seen"))
        what = (
            ", ".join(map(setting_in_words, changes))
            if len(changes) < 4
            else f"{len(changes)} settings of {name}"
        )
        return self._save(request, new, sent.text("seen"), what, f"/plan/{name}")

    def text(self, request: Request) -> Response:
        text = read_plan_text(self._begun())
        return self._text(request, text, faults_of(self._face.desk.folder, text), hash_of_text(text))

    def save_text(self, request: Request, sent: Sent) -> Response:
        self._begun()
        text = sent.body("text")
        faults = (*_leading_out_of_text(text), *faults_of(self._face.desk.folder, text))
        if faults or sent.text("only_check"):
            return self._text(request, text, faults, sent.text("seen"), checked=True)
        return self._save(request, text, sent.text("seen"), "the plan’s text", "/plan/text")

    def check(self, request: Request, sent: Sent) -> Response:
        """The faults of a text that is being written, for the script beside it."""
        text = sent.body("text")
        faults = (*_leading_out_of_text(text), *faults_of(self._face.desk.folder, text))
        return JSONResponse([{"line": _line(one), "says": str(one)} for one in faults])

    def undo(self, request: Request, sent: Sent) -> Response:
        found = take_back(self._face.desk.folder)
        if found is None:
            raise HTTPException(409, "There is nothing to take back, or the plan was changed outside since.")
        return RedirectResponse("/plan", 303)

    def _save(self, request: Request, text: str, seen: str, what: str, then: str) -> Response:
        try:
            save_plan(self._face.desk.folder, text, seen=seen, what=what)
        except ChangedMeanwhile as changed:
            lines = difflib.unified_diff(
                changed.now.splitlines(), text.splitlines(), n=2, lineterm=""
            )  # fmt: skip
            now, difference = hash_of_text(changed.now), [*lines][2:]
            return self._face.page(
                request, "both.html", 409, here="plan", difference=difference, text=text, now=now
            )
        return RedirectResponse(f"{then}?saved", 303)

    def _section(
        self,
        request: Request,
        name: str,
        text: str,
        said: Mapping[str, str] | None = None,
        faults: tuple[FileNotice, ...] = (),
        seen: str = "",
    ) -> Response:
        part, _ = self._part(name, text)
        here = {setting.path for setting in every_setting(part)}
        wrong: dict[str, list[str]] = {}
        for one in faults:
            found = _FIELD.match(one.where)
            path = found[2] if found else ""
            path = path if path in here or path.rpartition("[")[0] not in here else path.rpartition("[")[0]
            wrong.setdefault(path, []).append(f"{one.says} {one.remedy}".strip())
        elsewhere = [says for path, many in wrong.items() if path not in here for says in many]
        page = next((page for page in PAGES if name in page.settings), None)
        return self._face.page(
            request, "section.html", 422 if faults else 200, here="plan", part=part, name=name,
            title=TITLES.get(name, name.capitalize()), said=said or {}, wrong=wrong, elsewhere=elsewhere,
            seen=seen or self._remembered(text), set=SET, moved=self._moved(), names=self._names(part), page=page,
            saved="saved" in request.query_params, new_entry=tuple(NEW_ENTRY),
            undo=last_change(self._face.desk.folder),
        )  # fmt: skip

    def _text(
        self, request: Request, text: str, faults: tuple[FileNotice, ...], seen: str, *, checked: bool = False
    ) -> Response:
        return self._face.page(
            request, "text.html", 422 if checked and faults else 200, here="plan", text=text, seen=seen,
            checked=checked, faults=[{"line": _line(one), "says": str(one)} for one in faults],
            saved="saved" in request.query_params, undo=last_change(self._face.desk.folder),
        )  # fmt: skip

    def _remembered(self, text: str) -> str:
        """The hash of a text a page is made from, which is kept until the page comes back."""
        seen = hash_of_text(text)
        self._shown[seen] = text
        self._shown.move_to_end(seen)
        while len(self._shown) > SHOWN:
            self._shown.popitem(last=False)
        return seen

    def _begun(self) -> Path:
        if not self._face.desk.begun:
            raise HTTPException(404, "There is no plan yet.")
        return self._face.desk.plan_path

    def _part(self, name: str, text: str) -> tuple[Part, str]:
        if name not in sections():
            raise HTTPException(404, "There is no such part of the plan.")
        try:
            tree = parse_yaml(text, "plan.yaml")
        except Faults as found:
            raise HTTPException(
                422, f"The plan’s text cannot be read: {found}. Mend it under Text."
            ) from None
        return part_of(tree, name), text

    def _moved(self) -> Mapping[str, tuple[Leads, ...]]:
        planned = self._face.desk.planned()
        if planned is not None and self._moves[0] != planned.key:
            self._moves = (planned.key, moved_by(every_sheet(planned.orchard)))
        return self._moves[1]

    def _names(self, part: Part) -> tuple[str, ...]:
        """Names of the catalogue that a field of this part may want."""
        if part.path not in ("taste", "trees"):
            return ()
        planned = self._face.desk.planned()
        place = planned.orchard.place if planned else None
        return tuple(sorted(place.cultivars)) if place is not None else ()


def _every_part(part: Part) -> list[Part]:
    return [part, *(deep for inner in part.parts for deep in _every_part(inner))]


def _line(one: FileNotice) -> int:
    found = re.search(r", line (\d+)", one.where)
    return int(found[1]) if found else 0


def _leading_out(changes: Mapping[str, str | None]) -> tuple[FileNotice, ...]:
    """Names of files that would lead out of the orchard's folder; a page opens none of these."""
    return tuple(
        fault(
            f"plan.yaml, {path}",
            "a page names only files in the orchard’s own folder.",
            "Put the file there.",
        )
        for path, value in changes.items()
        if value and _FILES.match(path) and _outside(value)
    )


def _leading_out_of_text(text: str) -> tuple[FileNotice, ...]:
    try:
        tree = parse_yaml(text, "plan.yaml")
    except Faults:
        return ()
    settings = (one for name in sections() for one in every_setting(part_of(tree, name)))
    return _leading_out({one.path: one.value for one in settings})


def _outside(names: str) -> bool:
    return any(
        part.strip(" '\"").startswith(("/", "\\", "~")) or ".." in re.split(r"[/\\]", part.strip(" '\"")) or ":" in part
        for part in names.strip("[]{}").split(",")
    )  # fmt: skip
