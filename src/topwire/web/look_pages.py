"""Pages one looks at: the start, each department, a sheet alone and as CSV, pictures, the sources."""

from collections.abc import Callable, Iterator

from markupsafe import Markup
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from topwire.engine.orchard import Orchard
from topwire.export.comma import csv_bytes
from topwire.export.files import writers
from topwire.show.ground_views import View
from topwire.show.kitchen_calendar import draw_calendar, draw_year
from topwire.show.sheet import Sheet, printed
from topwire.show.summary import job
from topwire.show.tables import NAMES, department_sheets
from topwire.sources import bibliography
from topwire.tell.by_size import told_of
from topwire.tell.words import Told
from topwire.values.notice import Severity
from topwire.web.contents import BY_NAME, Page
from topwire.web.drawn import Drawing, Gallery, charts_of, elevations_of, map_of
from topwire.web.face import Face
from topwire.web.sheet_view import SheetView, view

PAPERS = {
    "book.pdf": "The book, to print",
    "labels.pdf": "A label for each tree",
    "orchard.xlsx": "All tables as a spreadsheet",
}


class LookPages:
    """Everything that only shows."""

    def __init__(self, face: Face) -> None:
        self._face = face
        self._gallery = Gallery()
        self._paper: tuple[str, bytes] = ("", b"")  # the last one made
        self._views: dict[tuple[str, str, str], tuple[SheetView, ...]] = {}

    def routes(self) -> list[Route]:
        return [
            Route("/", self.start),
            Route("/sources", self.sources),
            Route("/paper/{name}", self.paper),
            Route("/sheet/{name}.csv", self.csv),
            Route("/sheet/{name}", self.sheet),
            Route("/picture/{name}.svg", self.picture),
            *(Route(f"/{name}", self.department) for name, page in BY_NAME.items() if page.departments),
        ]

    def start(self, request: Request) -> Response:
        planned = self._face.desk.planned()
        if not self._face.desk.begun:
            return RedirectResponse("/begin", 303)
        orchard = None if planned is None else self._orchard(request)
        facts = job(orchard) if orchard else []
        strip = self._inline(request, orchard, draw_year) if orchard else ()
        grave = [
            one for one in self._told(request, orchard) if one.severity in (Severity.FAULT, Severity.WARNING)
        ]
        apples = sorted(
            orchard.choice.chosen if orchard and orchard.choice else (), key=lambda one: one.harvest_weeks
        )
        return self._face.page(
            request, "start.html", facts=facts, decisions=grave, inline=strip, apples=apples, papers=PAPERS
        )

    def department(self, request: Request) -> Response:
        page = BY_NAME[request.url.path[1:]]
        orchard = self._orchard(request) if self._face.desk.begun else None
        there = orchard is not None and any(
            orchard.departments.get(name) is not None for name in page.departments
        )
        if orchard is None or not there:
            told = (
                []
                if orchard is None
                else [one for one in self._told(request, orchard) if one.severity == Severity.FAULT]
            )
            return self._face.page(request, "empty.html", here=page.name, page=page, told=told)
        drawings = {one.name: one for one in self._drawings(orchard, page)}
        sheets = self._sheet_views(request, orchard, page)
        charted = {name for sheet in sheets for name in sheet.charts}
        told = list(told_of(
            orchard,
            (one for name in page.departments for one in getattr(orchard.departments[name], "notices", ())),
            self._face.look(request).reader, outdated=self._face.desk.outdated,
        ))  # fmt: skip
        return self._face.page(
            request,
            f"{page.name}.html" if page.name in ("choice", "ground") else "department.html",
            here=page.name, page=page, sheets=sheets, drawings=drawings, told=told,
            alone=[one for one in drawings.values() if one.name not in charted],
            key=self._key(request), views=tuple(View), mapped=orchard.layout is not None,
            by=_view_said(request),
            inline=self._inline(request, orchard, draw_calendar) if page.name == "choice" else (),
        )  # fmt: skip

    def sheet(self, request: Request) -> Response:
        """One sheet, all of its rows."""
        orchard, sheet = self._sheet(request)
        page = _page_of(orchard, sheet)
        return self._face.page(
            request, "sheet.html", sheet=view(sheet, self._face.look(request).reader, None), here=page.name, page=page
        )  # fmt: skip

    def csv(self, request: Request) -> Response:
        _, sheet = self._sheet(request)
        table = printed(sheet, self._face.look(request).reader)
        named = {"content-disposition": f'attachment; filename="{sheet.name}.csv"'}
        return Response(
            csv_bytes(table.columns, table.rows), media_type="text/csv; charset=utf-8", headers=named
        )

    def paper(self, request: Request) -> Response:
        """The book, labels and the spreadsheet, as `topwire plan` writes them, in the browser's units."""
        name, orchard = request.path_params["name"], self._orchard(request)
        if orchard is None or name not in PAPERS:
            raise HTTPException(404, "There is no such paper yet.")
        key = f"{self._key(request)} {name}"
        if self._paper[0] != key:
            made = writers(orchard)[name]()
            if made is None:
                raise HTTPException(404, "What it is made of has not been worked out.")
            self._paper = (key, made)
        named = {"content-disposition": f'attachment; filename="{name}"'}
        kind = "application/pdf" if name.endswith(".pdf") else "application/octet-stream"
        return Response(self._paper[1], media_type=kind, headers=named)

    def picture(self, request: Request) -> Response:
        orchard, name = self._orchard(request), request.path_params["name"]
        found = None
        if orchard is not None:
            found = next((one for one in self._all_drawings(orchard) if one.name == name), None)
        if orchard is None or found is None:
            raise HTTPException(404, "There is no such picture.")
        dark = request.query_params.get("theme") == "dark"
        drawn = self._gallery.get((self._key(request), name), dark, found.make)
        return Response(
            drawn, media_type="image/svg+xml", headers={"cache-control": "private, max-age=86400"}
        )

    def sources(self, request: Request) -> Response:
        return self._face.page(
            request, "sources.html", sources=sorted(bibliography().values(), key=lambda one: one.key)
        )

    def _inline(self, request: Request, orchard: Orchard, draw: Callable[..., str]) -> tuple[Markup, ...]:
        """A drawing of ours that stands in the page itself, so that its cells can be pressed: for a desk, and for a
        phone; its texts are escaped.
        """
        reader = self._face.look(request).reader
        return tuple(
            Markup(self._gallery.get(
                (self._key(request), draw.__name__, str(narrow)), False,
                lambda narrow=narrow: draw(orchard, reader, narrow=narrow),  # type: ignore[misc]
            ).decode())
            for narrow in (False, True)
        )  # fmt: skip

    def _orchard(self, request: Request) -> Orchard | None:
        return self._face.desk.orchard(self._face.look(request).reader.system)

    def _key(self, request: Request) -> str:
        planned = self._face.desk.planned()
        return f"{planned.key if planned else ''}-{self._face.look(request).reader.system}"

    def _told(self, request: Request, orchard: Orchard | None) -> tuple[Told, ...]:
        if orchard is None:
            return ()
        reader = self._face.look(request).reader
        return told_of(orchard, orchard.all_notices(), reader, outdated=self._face.desk.outdated)

    def _sheet(self, request: Request) -> tuple[Orchard, Sheet]:
        orchard, name = self._orchard(request), request.path_params["name"]
        if orchard is not None:
            for sheet in self._face.sheets(orchard, self._key(request)):
                if sheet.name == name:
                    return orchard, sheet
        raise HTTPException(404, "There is no such sheet.")

    def _sheet_views(self, request: Request, orchard: Orchard, page: Page) -> tuple[SheetView, ...]:
        """Made once for a plan and units."""
        planned, reader = self._face.desk.planned(), self._face.look(request).reader
        key = (planned.key if planned else "", str(reader.system), page.name)
        if key not in self._views:
            if len(self._views) > 60:
                self._views.clear()
            sheets = [sheet for name in page.departments for sheet in department_sheets(orchard, name)]
            self._views[key] = tuple(view(sheet, reader) for sheet in sheets if sheet.rows)
        return self._views[key]

    def _drawings(self, orchard: Orchard, page: Page) -> list[Drawing]:
        found = charts_of(orchard, page.departments)
        if page.name == "trellis":
            found = [*elevations_of(orchard), *found]
        return found

    def _all_drawings(self, orchard: Orchard) -> Iterator[Drawing]:
        for page in BY_NAME.values():
            yield from self._drawings(orchard, page)
        for one in View:
            drawing = map_of(orchard, one)
            if drawing is not None:
                yield drawing


def _view_said(request: Request) -> str:
    said = request.query_params.get("by", "")
    return said if said in [one.name.lower() for one in View] else View.CULTIVAR.name.lower()


def _page_of(orchard: Orchard, sheet: Sheet) -> Page:
    """The page of the department a sheet is of; its name alone does not always say which that is."""
    first = sheet.name.partition(".")[0]
    of = next(
        (name for name in NAMES if sheet.name in {one.name for one in department_sheets(orchard, name)}),
        first,
    )
    return next(page for page in BY_NAME.values() if of in page.departments)
