"""What every page is drawn with: the desk, the sessions, the templates, the reader's units and theme."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import Any
from urllib.parse import quote, urlsplit

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from topwire import __version__
from topwire.engine.orchard import Orchard
from topwire.show.kitchen_weeks import page_sheets
from topwire.show.sheet import Sheet
from topwire.show.tables import every_sheet
from topwire.tell.reader import Reader
from topwire.tell.words import Told
from topwire.values.units import UnitSystem
from topwire.web.contents import PAGES
from topwire.web.desk import Desk, Planned
from topwire.web.errands import Errands
from topwire.web.forms import TOKEN
from topwire.web.moves import moves
from topwire.web.session import Sessions

UNITS, THEME = "topwire-units", "topwire-theme"
THEMES = ("light", "dark")


@dataclass(frozen=True)
class Look:
    """How one browser reads: units, and a theme where it has chosen one."""

    reader: Reader
    theme: str


class Face:
    """The orchard's pages."""

    def __init__(self, desk: Desk, sessions: Sessions, errands: Errands) -> None:
        self.desk, self.sessions, self.errands = desk, sessions, errands
        self._sheets: tuple[str, tuple[Sheet, ...]] = ("", ())
        self._jinja = Environment(
            loader=PackageLoader("topwire.web"), autoescape=True, trim_blocks=True, lstrip_blocks=True,
            undefined=StrictUndefined,
        )  # fmt: skip
        self._jinja.globals.update(
            pages=PAGES,
            moves=moves,
            static=static_address,
            version=__version__,
            setting_address=setting_address,
        )
        self._jinja.filters.update(
            of=of_severity, setting_in=setting_in, as_words=setting_in_words, entry_words=entry_in_words
        )  # fmt: skip
        self._jinja.tests.update(in_part=in_part)

    def look(self, request: Request, planned: Planned | None = None) -> Look:
        """The units are the browser's own choice, else the plan's."""
        planned = planned or self.desk.planned()
        said = request.cookies.get(UNITS)
        usual = planned.orchard.origin.units if planned else self.desk.units
        units = UnitSystem(said) if said in tuple(UnitSystem) else usual
        theme = request.cookies.get(THEME, "")
        return Look(Reader(units), theme if theme in THEMES else "")

    def sheets(self, orchard: Orchard, key: str) -> tuple[Sheet, ...]:
        """Every sheet of the plan, and those only a page shows whole; made once for a plan and units."""
        if self._sheets[0] != key:
            self._sheets = (key, (*every_sheet(orchard), *page_sheets(orchard)))
        return self._sheets[1]

    def page(self, request: Request, template: str, status: int = 200, **more: Any) -> HTMLResponse:
        """A page by its template."""
        planned = self.desk.planned()
        look = self.look(request, planned)
        session = request.scope.get("session")
        context: Mapping[str, Any] = {
            "at": request.url.path,
            "here": "",
            "look": look,
            "units": str(look.reader.system),
            "planned": planned,
            "begun": self.desk.begun,
            "orchard_name": planned.orchard.origin.name if planned else self.desk.name,
            "run": self.errands.now(),
            "token_field": TOKEN,
            "token": self.sessions.token(session) if session else "",
            "guarded": not self.sessions.open,
            **more,
        }
        return HTMLResponse(self._jinja.get_template(template).render(context), status)


def back(request: Request, usual: str = "/") -> Response:
    """To the page a form came from, by its path alone: never to another face."""
    came = urlsplit(request.headers.get("referer", ""))
    own = came.netloc == request.headers.get("host") and came.path.startswith("/")
    path = f"{came.path}?{came.query}" if came.query else came.path
    return RedirectResponse(path if own and not path.startswith("//") else usual, 303)


@cache
def static_address(name: str) -> str:
    """Of a file of ours, with its hash, so that a browser may keep it for good."""
    content = files("topwire.web").joinpath("static", name).read_bytes()
    return f"/static/{name}?{sha256(content).hexdigest()[:10]}"


def of_severity(told: Iterable[Told], severity: str) -> list[Told]:
    return [one for one in told if str(one.severity) == severity]


def setting_address(path: str) -> str:
    """Where a setting, or a table of the grower's own, is changed."""
    return f"/plan?at={quote(path, safe='')}"


_ENTRY = re.compile(r"(\w+?)s?\[(\d+)\]")  # “needs[1]” of a path: the first need


def setting_in_words(path: str) -> str:
    """A setting's path as a person says it: “kitchen.needs[1].amount” is “kitchen: need 1 amount”."""
    section, *inner = _ENTRY.sub(r"\1 \2", path.removesuffix(".csv")).replace("/", ".").split(".")
    return ": ".join(filter(None, (section, " ".join(inner)))).replace("_", " ")


def entry_in_words(path: str) -> str:
    """An entry of a list, or what can be added to it: “need 2” of “kitchen.needs[2]”, “need” of “kitchen.needs”."""
    last = path.rpartition(".")[2]
    return (_ENTRY.sub(r"\1 \2", last) if "[" in last else last.removesuffix("s")).replace("_", " ")


_SETTING = re.compile(r"plan\.yaml, line \d+, ([\w.\[\]]+)")


def setting_in(line: str) -> str:
    """The setting a fault's line names; empty where it names none."""
    found = _SETTING.search(line)
    return found[1] if found else ""


def in_part(path: str, part: str) -> bool:
    """Whether a setting stands in a part of the plan."""
    return path.startswith(f"{part}.")
