"""What every request passes before a page sees it, and every answer on its way out."""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from topwire.web.session import COOKIE, Pace, Session, Sessions

SAFE = ("GET", "HEAD")
# Scripts and styles come from files of ours alone; nothing written into a page can run.
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "x-frame-options": "DENY",
}
LARGEST_BODY = 1_000_000  # bytes of a form
LARGEST_UPLOAD = 30_000_000  # bytes of a weather file or an outline
WRITES = (240, 60.0)  # forms a minute from one address
TRIES = (5, 60.0)  # passphrases a minute from one address


@dataclass(frozen=True)
class Doors:
    """How the page is reached.

    Attributes
    ----------
    hosts : what a browser may call it, with the port where it is not the scheme's own
    upload_paths : where a file may be sent; anything else is a small form
    open_paths : what a browser sees that has not said the passphrase
    """

    hosts: frozenset[str]
    upload_paths: tuple[str, ...] = ()
    open_paths: tuple[str, ...] = ("/enter", "/static/")


class Guard:
    """Host, origin, size, pace and session of every request; policy headers on every answer."""

    def __init__(self, app: ASGIApp, sessions: Sessions, doors: Doors) -> None:
        self._app, self._sessions, self._doors = app, sessions, doors
        self._writes, self._tries = Pace(*WRITES), Pace(*TRIES)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return  # no other kind of connection is served
        request = Request(scope)
        session = self._sessions.find(request.cookies.get(COOKIE, ""))
        new = session is None
        refused = self._refusal(request)
        if session is None:
            session = self._sessions.begin(known=self._sessions.open) if refused is None else None
        if refused is None and session is not None and not session.known:
            refused = self._at_the_door(request)
        finish = self._outward(send, session if new else None, scope)
        if refused is not None:
            await refused(scope, receive, finish)
            return
        scope["session"] = session
        await self._app(scope, bounded(receive, self._most(scope["path"])), finish)

    def _most(self, path: str) -> int:
        return LARGEST_UPLOAD if path in self._doors.upload_paths else LARGEST_BODY

    def _refusal(self, request: Request) -> Response | None:
        headers = request.headers
        if headers.get("host", "") not in self._doors.hosts:
            return no(421, "This page is reached by the address topwire serve has written, no other.")
        if request.method in SAFE:
            return None
        if request.method != "POST":
            return no(405, "There is nothing here for that method.")
        if not own_origin(headers, self._doors.hosts):
            return no(403, "A form is taken from our own pages only.")
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > self._most(request.url.path):
            return no(413, "That is larger than what is taken here.")
        who = request.client.host if request.client else ""
        pace = self._tries if request.url.path == "/enter" else self._writes
        if pace.too_fast(who):
            return no(429, "Too many in a short time. Wait a minute.")
        return None

    def _at_the_door(self, request: Request) -> Response | None:
        path = request.url.path
        if any(path == one or (one.endswith("/") and path.startswith(one)) for one in self._doors.open_paths):
            return None
        if request.method in SAFE:
            return Response(status_code=303, headers={"location": "/enter"})
        return no(403, "Say the passphrase first.")

    def _outward(self, send: Send, begun: Session | None, scope: Scope) -> Send:
        async def finish(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-store")
                if begun is not None:
                    headers.append("set-cookie", cookie(begun.key, secure=scope["scheme"] == "https"))
            await send(message)

        return finish


def cookie(key: str, *, secure: bool) -> str:
    """The header that gives a browser its session: not for scripts, not sent from other sites."""
    return f"{COOKIE}={key}; Path=/; HttpOnly; SameSite=Strict{'; Secure' if secure else ''}"


def own_origin(headers: Headers, hosts: frozenset[str]) -> bool:
    """Whether a form was sent by a page of ours: by Origin, or by Referer where a browser leaves Origin out."""
    said = headers.get("origin") or headers.get("referer", "")
    if headers.get("sec-fetch-site", "same-origin") != "same-origin":
        return False
    return urlsplit(said).netloc in hosts and urlsplit(said).netloc == headers.get("host")


def no(status: int, says: str) -> Response:
    return PlainTextResponse(says, status)


def bounded(receive: Receive, most: int) -> Callable[[], Awaitable[Message]]:
    """The body as it comes, cut off where it is longer than it said."""
    come = 0

    async def take() -> Message:
        nonlocal come
        message: dict[str, Any] = dict(await receive())
        come += len(message.get("body", b""))
        return {"type": "http.disconnect"} if come > most else message

    return take
