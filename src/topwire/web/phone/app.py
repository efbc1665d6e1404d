"""The phone's own application: one page that carries the rows for a day, and takes notes. No plan form is in it."""

import json
import re
from datetime import date, datetime
from hashlib import sha256
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route

from topwire import __version__
from topwire.records.opening import NotSaved
from topwire.web.desk import Desk
from topwire.web.face import static_address
from topwire.web.kept import static_files
from topwire.web.phone.day import Days
from topwire.web.phone.guard import COOKIE, OWN_COOKIE, PhoneGuard, cookie
from topwire.web.phone.notes import MOST_AT_ONCE, take
from topwire.web.phone.pairing import CODE_LASTS, LONGEST, SEASON, Phones

PAGE_KEPT = 30 * 24 * 3600  # [s] a phone may open the page from its own store with the server out of reach


def make_phone_app(desk: Desk, phones: Phones, hosts: frozenset[str], *, own: bool = False) -> Starlette:
    """What phones reach.

    Parameters
    ----------
    hosts : names with their port a phone may reach it by, “192.168.1.20:8760”
    own : served over https to the grower's own phone: it may keep the whole application and start it out of reach
    """
    name, lasts = (OWN_COOKIE, SEASON) if own else (COOKIE, LONGEST)
    days = Days(desk)
    jinja = Environment(
        loader=PackageLoader("topwire.web"), autoescape=True, trim_blocks=True, lstrip_blocks=True,
        undefined=StrictUndefined,
    )  # fmt: skip
    template = jinja.get_template("phone.html")
    said = {"static": static_address, "version": __version__, "own": own}
    mark = sha256(template.render(**said, mark="").encode()).hexdigest()[:12]
    shell = template.render(**said, mark=mark)
    worker = _worker(shell, mark)

    def page(request: Request) -> Response:
        """The same for everybody, and with nothing of the orchard in it: so it may lie in the phone's store."""
        return HTMLResponse(shell, headers={"cache-control": f"private, max-age={PAGE_KEPT}"})

    def keeping(request: Request) -> Response:
        """The worker that keeps the application on the phone; asked for anew at every visit."""
        return Response(worker, media_type="text/javascript", headers={"cache-control": "no-cache"})

    def manifest(request: Request) -> Response:
        """How the application stands among a phone's others; the same for everybody, nothing of the orchard."""
        icons = [
            {
                "src": static_address(f"mark-{size}.png"),
                "sizes": f"{size}x{size}",
                "type": "image/png",
                "purpose": use,
            }
            for size in (192, 512)
            for use in ("any", "maskable")
        ]
        told = {
            "name": "In the rows", "short_name": "Rows", "start_url": "/", "scope": "/", "id": "/", "lang": "en",
            "display": "standalone", "background_color": "#fffdf7", "theme_color": "#1d4a29", "icons": icons,
        }  # fmt: skip
        return JSONResponse(
            told, media_type="application/manifest+json", headers={"cache-control": "no-cache"}
        )

    async def join(request: Request) -> Response:
        said = await _said(request, dict)
        waiting = phones.join(str(said.get("code", "")))
        if waiting is None:
            says = "This code is used or too old. Ask for a new one at the desk."
            return JSONResponse({"says": says}, 403)
        answer = JSONResponse({"digits": waiting.digits})
        answer.headers.append("set-cookie", cookie(name, waiting.key, round(lasts.total_seconds())))
        return answer

    def joined(request: Request) -> Response:
        """Whether the desk has said yes."""
        waiting = phones.waits(request.cookies.get(name, ""))
        state = "in" if request.scope["phone"] is not None else "waiting" if waiting is not None else "out"
        return JSONResponse({"state": state, "seconds": round(CODE_LASTS.total_seconds())})

    def day(request: Request) -> Response:
        phone, now = request.scope["phone"], datetime.now().astimezone()
        more = {
            "shell": mark,
            "now": round(now.timestamp() * 1000),
            "who": phone.who,
            "until": phone.ends_says,
            "ends": round(phone.ends.timestamp() * 1000),
        }
        return JSONResponse({**days.now(), **more})

    async def notes(request: Request) -> Response:
        sent = await _said(request, list)
        if len(sent) > MOST_AT_ONCE:
            raise HTTPException(413, f"At most {MOST_AT_ONCE} notes are taken at once.")
        try:
            names = await run_in_threadpool(_cultivars, desk)
            taken = await run_in_threadpool(
                take, desk.folder, request.scope["phone"], sent, today=date.today(), cultivars=names
            )
        except NotSaved as hindered:
            return JSONResponse({"says": str(hindered)}, 503)
        return JSONResponse({"kept": taken.kept, "refused": taken.refused})

    async def leave(request: Request) -> Response:
        phones.forget(request.scope["phone"].name)
        return JSONResponse({})

    def amiss(request: Request, error: Exception) -> Response:
        if isinstance(error, HTTPException):
            return PlainTextResponse(str(error.detail), error.status_code)
        return PlainTextResponse("This is a fault of ours. Nothing was lost: the phone sends again.", 500)

    return Starlette(
        routes=[
            Route("/", page),
            Route("/joined", joined),
            Route("/day.json", day),
            Route("/join", join, methods=["POST"]),
            Route("/notes", notes, methods=["POST"]),
            Route("/leave", leave, methods=["POST"]),
            *((Route("/worker.js", keeping), Route("/app.webmanifest", manifest)) if own else ()),
            Mount("/static", static_files(), name="static"),
        ],
        exception_handlers={HTTPException: amiss, Exception: amiss},
        middleware=[
            Middleware(PhoneGuard, phones=phones, hosts=hosts, name=name),
            Middleware(GZipMiddleware, minimum_size=500),
        ],
    )


def _worker(shell: str, mark: str) -> str:
    """The worker's script with what it keeps: whenever a file of ours changes, so does it, and the phone renews all."""
    needs = ["/", *re.findall(r'(?:src|href)="(/static/[^"]+)"', shell)]
    head = f"const MARK = {json.dumps(mark)}, KEPT = {json.dumps(needs)};\n"
    return head + files("topwire.web").joinpath("static", "phone_worker.js").read_text(encoding="utf-8")


async def _said(request: Request, sort: type[Any]) -> Any:
    try:
        found = await request.json()
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, sort):
        raise HTTPException(400, "That cannot be read.")
    return found


def _cultivars(desk: Desk) -> frozenset[str]:
    planned = desk.planned()
    orchard = planned.orchard if planned is not None else None
    if orchard is None:
        return frozenset()
    grown = orchard.layout.cultivars if orchard.layout is not None else ()
    return frozenset(grown) | frozenset(orchard.place.cultivars if orchard.place is not None else ())
