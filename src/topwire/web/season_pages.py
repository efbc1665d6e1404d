"""The season's pages: the week from any day, the cellar, the diary of what was noted."""

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from topwire.engine.noted import doubts, noted, noted_orchard
from topwire.export.week_calendar import week_calendar
from topwire.records.form import NotAnEntry
from topwire.records.note import address_of, examples
from topwire.records.opening import NotSaved
from topwire.records.store import Standing, open_store, undo
from topwire.records.words_left import NotUnderstood
from topwire.season.answer import week_of
from topwire.season.cellar import cellar_of
from topwire.season.kept import open_folder
from topwire.season.outlook import outlook_on
from topwire.season.records import seen_by
from topwire.show import cellar_sheets, season_sheets
from topwire.show.sheet import Sheet
from topwire.tell.reader import Reader
from topwire.tell.recorded import said
from topwire.tell.speech import all_told
from topwire.values.days import FIRST_DAY, LAST_DAY, day_named
from topwire.values.fault import Faults
from topwire.web.contents import BY_NAME
from topwire.web.face import Face
from topwire.web.forms import Sent, taken
from topwire.web.sheet_view import view

KEPT = 24  # weeks and cellars held ready
LAST = 200  # notes shown
_WEEK = timedelta(days=7)


@dataclass(frozen=True)
class NoteLine:
    """One note: its identity, what it says, and whether it holds."""

    identity: str
    says: str
    holds: bool
    standing: str


class SeasonPages:
    def __init__(self, face: Face) -> None:
        self._face = face
        self._kept: OrderedDict[tuple[str, str, str], Any] = OrderedDict()
        self._guard = threading.Lock()

    def routes(self) -> list[Route]:
        sessions = self._face.sessions
        return [
            Route("/season", self.season),
            Route("/season.ics", self.calendar),
            Route("/cellar", self.cellar),
            Route("/records", self.records),
            taken("/records/note", self.note, sessions),
            taken("/records/undo", self.take_back, sessions),
        ]

    def season(self, request: Request) -> Response:
        return self._of_day(request, "season", self._week, season_sheets.sheets)

    def cellar(self, request: Request) -> Response:
        return self._of_day(request, "cellar", self._cellar, cellar_sheets.sheets)

    def calendar(self, request: Request) -> Response:
        """The week as a file for a calendar program."""
        try:
            found = self._held("season", _day(request), self._week)
        except Faults as wrong:
            raise HTTPException(404, str(wrong)) from None
        named = {"content-disposition": 'attachment; filename="week.ics"'}
        return Response(week_calendar(found), media_type="text/calendar; charset=utf-8", headers=named)

    def records(self, request: Request) -> Response:
        return self._diary(request, {}, ())

    def note(self, request: Request, sent: Sent) -> Response:
        """Keep a note; what is not understood is said, and nothing is kept."""
        folder, text = self._face.desk.folder, sent.text("note")[:500]
        try:
            orchard = noted_orchard(folder)
            with open_store(folder) as store:
                made = noted(
                    orchard, store, text, today=date.today(), who=sent.text("who")[:60], instead_of=None
                )
                unsure = doubts(made, orchard, store)
        except NotUnderstood as missed:
            return self._diary(request, sent.fields(), (f"{missed.says} {missed.remedy}",), 422)
        except NotAnEntry as wrong:
            return self._diary(
                request, sent.fields(), tuple(f"{name}: {says}." for name, says in wrong.wrong), 422
            )
        except (Faults, NotSaved) as wrong:
            return self._diary(request, sent.fields(), (str(wrong),), 422)
        return RedirectResponse(f"/records?doubt={made[0].identity}" if unsure else "/records", 303)

    def take_back(self, request: Request, sent: Sent) -> Response:
        try:
            with open_store(self._face.desk.folder) as store:
                undo(store, store.one(sent.text("entry")[:36]), day=date.today())
        except (NotAnEntry, NotSaved) as wrong:
            raise HTTPException(409, f"It cannot be taken back: {wrong}") from None
        return RedirectResponse("/records", 303)

    def _of_day(
        self,
        request: Request,
        name: str,
        make: Callable[[date], Any],
        sheets: Callable[[Any, Reader], list[Sheet]],
    ) -> Response:
        page, day = BY_NAME[name], _day(request)
        if not self._face.desk.begun:
            return self._face.page(request, "empty.html", here=name, page=page, told=())
        reader = self._face.look(request).reader
        try:
            found = self._held(name, day, make)
        except Faults as wrong:
            told = all_told(wrong.notices, reader)
            return self._face.page(request, "empty.html", here=name, page=page, told=told)
        before, after = max(day - _WEEK, FIRST_DAY), min(day + _WEEK, LAST_DAY)
        shown = [view(sheet, reader) for sheet in sheets(found, reader) if sheet.rows]
        return self._face.page(
            request, "day.html", here=name, page=page, sheets=shown, told=all_told(found.notices, reader),
            day=day.isoformat(), says=reader.date(day.isoformat()), before=before.isoformat(),
            after=after.isoformat(),
        )  # fmt: skip

    def _held(self, name: str, day: date, make: Callable[[date], Any]) -> Any:
        """Found once for a day and a state of the folder."""
        key = (name, day.isoformat(), self._face.desk.state())
        with self._guard:
            if key not in self._kept:
                self._kept[key] = make(day)
                while len(self._kept) > KEPT:
                    self._kept.popitem(last=False)
            return self._kept[key]

    def _week(self, day: date) -> Any:
        folder = self._face.desk.folder
        return week_of(open_folder(folder), day, seen_by(folder, day))

    def _cellar(self, day: date) -> Any:
        opened = open_folder(self._face.desk.folder)
        seen = seen_by(self._face.desk.folder, day)
        return cellar_of(opened, day, seen, outlook_on(opened, day, seen))

    def _diary(
        self, request: Request, typed: dict[str, str], faults: tuple[str, ...], status: int = 200
    ) -> Response:
        page, folder = BY_NAME["records"], self._face.desk.folder
        reader = self._face.look(request).reader
        if not self._face.desk.begun:
            return self._face.page(request, "empty.html", here="records", page=page, told=())
        asked = request.query_params.get("tree", "").strip()[:80]
        try:
            orchard = self._held("records", date.min, lambda _: noted_orchard(folder))
            at = address_of(asked, orchard.words) if asked else None
            forms = examples(orchard.words)
        except Faults as wrong:
            told = all_told(wrong.notices, reader)
            return self._face.page(request, "empty.html", here="records", page=page, told=told)
        except NotUnderstood as missed:
            at, forms, faults = None, examples(orchard.words), (*faults, f"{missed.says} {missed.remedy}")
        lines: list[NoteLine] = []
        unsure: tuple[str, ...] = ()
        try:
            with open_store(folder, make=False) as store:
                unsure = doubts(store.find([request.query_params.get("doubt", "")[:36]]), orchard, store)
                lines = [
                    NoteLine(
                        one.entry.identity, said(one.entry, reader), one.standing is Standing.HOLDS, str(one.standing)
                    )
                    for one in store.history(
                        block=at.block if at else None, row=at.row if at else None, place=at.place if at else None,
                        last=LAST,
                    )
                ]  # fmt: skip
        except (FileNotFoundError, NotSaved):
            lines, unsure = [], ()
        return self._face.page(
            request, "records.html", status, here="records", page=page, lines=lines[::-1], forms=forms, typed=typed,
            faults=faults, doubts=unsure, tree=str(at) if at else asked,
        )  # fmt: skip


def _day(request: Request) -> date:
    """The day asked for, else today. An address that names none is not found."""
    asked = request.query_params.get("on", "")
    try:
        return day_named(asked) if asked else date.today()
    except ValueError as wrong:
        raise HTTPException(404, str(wrong)) from None
