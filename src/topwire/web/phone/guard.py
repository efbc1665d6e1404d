"""What every request of a phone passes: host, origin, kind, size, pace, and whether its phone is let in."""

from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from topwire.web.guard import HEADERS, SAFE, WRITES, bounded, no, own_origin
from topwire.web.phone.pairing import Phones
from topwire.web.session import Pace

COOKIE = "topwire-phone"
OWN_COOKIE = "__Host-topwire-phone"  # a name that begins so is taken over https alone
OPEN = (
    "/",
    "/join",
    "/joined",
    "/worker.js",
    "/app.webmanifest",
)  # besides files of ours: they hold nothing of the orchard
LARGEST = 200_000  # bytes of notes sent at once
JOINS = (6, 60.0)  # codes tried a minute from one address


class PhoneGuard:
    """No phone that is not let in sees anything of the orchard; headers on every answer."""

    def __init__(self, app: ASGIApp, phones: Phones, hosts: frozenset[str], name: str) -> None:
        self._app, self._phones, self._hosts, self._name = app, phones, hosts, name
        self._writes, self._joins = Pace(*WRITES), Pace(*JOINS)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return  # no other kind of connection is served
        request = Request(scope)
        refused = self._refusal(request)
        phone = self._phones.find(request.cookies.get(self._name, ""))
        path = request.url.path
        if refused is None and phone is None and path not in OPEN and not path.startswith("/static/"):
            refused = JSONResponse({"says": "This phone is not let in. Read a code at the desk."}, 401)
        scope["phone"] = phone
        await (refused or self._app)(scope, bounded(receive, LARGEST), _outward(send))

    def _refusal(self, request: Request) -> Response | None:
        headers = request.headers
        if headers.get("host", "") not in self._hosts:
            return no(421, "This page is reached by the address in the code at the desk, no other.")
        if request.method in SAFE:
            return None
        if request.method != "POST":
            return no(405, "There is nothing here for that method.")
        if not own_origin(headers, self._hosts):
            return no(403, "Notes are taken from our own page only.")
        if headers.get("content-type", "").partition(";")[0].strip() != "application/json":
            return no(415, "Notes are sent as JSON.")  # what another site's form cannot send
        length = headers.get("content-length", "")
        if not length.isdigit() or int(length) > LARGEST:
            return no(413, "That is more than is taken at once.")
        pace = self._joins if request.url.path == "/join" else self._writes
        if pace.too_fast(request.client.host if request.client else ""):
            return no(429, "Too many in a short time. Wait a minute.")
        return None


def _outward(send: Send) -> Send:
    async def finish(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return finish


def cookie(name: str, key: str, seconds: int) -> str:
    """The header that lets a phone in: not for scripts, not sent from other sites, gone with the evening or season."""
    secure = "; Secure" if name == OWN_COOKIE else ""
    return f"{name}={key}; Path=/; HttpOnly; SameSite=Strict; Max-Age={seconds}{secure}"
