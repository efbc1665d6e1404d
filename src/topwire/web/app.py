"""The pages put together: routes, guards, and what is told where something is amiss."""

from collections.abc import AsyncIterator, Iterable
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Mount, Route

from topwire.values.units import UnitSystem
from topwire.web.begin_pages import BeginPages
from topwire.web.desk import Desk
from topwire.web.errands import Errands
from topwire.web.face import THEME, THEMES, UNITS, Face, back
from topwire.web.forms import Sent, taken
from topwire.web.guard import Doors, Guard, cookie
from topwire.web.kept import YEAR, static_files
from topwire.web.look_pages import LookPages
from topwire.web.map_pages import MapPages
from topwire.web.phone.desk_pages import PhoneDoor, PhonePages
from topwire.web.plan_pages import PlanPages
from topwire.web.run_pages import RunPages
from topwire.web.season_pages import SeasonPages
from topwire.web.session import Sessions
from topwire.web.trial_pages import TrialPages

UPLOADS = ("/begin/weather", "/begin/outline")


def make_app(
    folder: Path, hosts: Iterable[str], *, passphrase_hash: str = "", phones: Iterable[PhoneDoor] = ()
) -> Starlette:
    """The pages of the orchard in `folder`.

    Parameters
    ----------
    hosts : names with their port a browser may reach it by, “127.0.0.1:8000”
    passphrase_hash : what opens it from another machine; empty on this machine alone
    phones : where phones are let in, by applications of their own
    """
    desk, sessions, runs = Desk(folder), Sessions(passphrase_hash=passphrase_hash), Errands(folder.resolve())
    face = Face(desk, sessions, runs)

    def look(request: Request, sent: Sent) -> Response:
        answer = back(request)
        for name, value, allowed in (
            (UNITS, sent.text("units"), tuple(UnitSystem)),
            (THEME, sent.text("theme"), THEMES),
        ):
            if value in allowed:
                answer.set_cookie(name, value, max_age=YEAR, httponly=True, samesite="strict")
        return answer

    def door(request: Request) -> Response:
        return face.page(request, "enter.html", wrong=False)

    def enter(request: Request, sent: Sent) -> Response:
        if not sessions.admits(sent.text("passphrase")):
            return face.page(request, "enter.html", 403, wrong=True)
        sessions.end(request.scope["session"])  # a new session: one known before entering is worth nothing
        answer = RedirectResponse("/", 303)
        key = sessions.begin(known=True).key
        answer.headers.append("set-cookie", cookie(key, secure=request.url.scheme == "https"))
        return answer

    def leave(request: Request, sent: Sent) -> Response:
        sessions.end(request.scope["session"])
        return RedirectResponse("/enter" if not sessions.open else "/", 303)

    def keys(request: Request) -> Response:
        return face.page(request, "keys.html")

    def amiss(request: Request, error: Exception) -> Response:
        status = error.status_code if isinstance(error, HTTPException) else 500
        says = (
            str(error.detail)
            if isinstance(error, HTTPException)
            else "This is a fault of ours; nothing was changed."
        )
        if status == 404 and says == "Not Found":
            says = "There is no such page."
        title = {404: "Not found", 409: "Changed meanwhile"}.get(status, "Something is amiss")
        return face.page(
            request, "message.html", status, title=title, says=says, to="/", to_says="To the plan"
        )

    @asynccontextmanager
    async def life(app: Starlette) -> AsyncIterator[None]:
        yield
        runs.close()

    routes = [
        *SeasonPages(face).routes(),
        *LookPages(face).routes(),
        *RunPages(face).routes(),
        *MapPages(face).routes(),
        *PlanPages(face).routes(),
        *TrialPages(face).routes(),
        *BeginPages(face).routes(),
        *PhonePages(face, tuple(phones)).routes(),
        Route("/keys", keys),
        Route("/enter", door),
        taken("/enter", enter, sessions),
        taken("/leave", leave, sessions),
        taken("/look", look, sessions),
        Mount("/static", static_files(), name="static"),
    ]
    doors = Doors(frozenset(hosts), upload_paths=UPLOADS)
    return Starlette(
        routes=routes,
        lifespan=life,
        exception_handlers={HTTPException: amiss, Exception: amiss},
        middleware=[
            Middleware(Guard, sessions=sessions, doors=doors),
            Middleware(GZipMiddleware, minimum_size=500),
        ],
    )
