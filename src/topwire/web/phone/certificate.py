"""What a phone installs before it opens the pages over https: one file, by plain http, nothing secret in it."""

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Mount, Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from topwire.web.face import static_address
from topwire.web.guard import HEADERS
from topwire.web.kept import static_files
from topwire.web.phone.authority import Paper

FILE = "/topwire-certificate.crt"


def make_certificate_app(paper: Paper, address: str, name: str) -> Starlette:
    """One page of steps and the authority's certificate, for whoever asks on the network.

    Parameters
    ----------
    address, name : what it is reached by
    """
    jinja = Environment(
        loader=PackageLoader("topwire.web"), autoescape=True, trim_blocks=True, lstrip_blocks=True,
        undefined=StrictUndefined,
    )  # fmt: skip
    shown = jinja.get_template("certificate.html").render(static=static_address, paper=paper, file=FILE)

    def page(request: Request) -> Response:
        return HTMLResponse(shown)

    def certificate(request: Request) -> Response:
        return Response(paper.authority, media_type="application/x-x509-ca-cert")

    return Starlette(
        routes=[Route("/", page), Route(FILE, certificate), Mount("/static", static_files())],
        middleware=[
            Middleware(TrustedHostMiddleware, allowed_hosts=[address, name], www_redirect=False),
            Middleware(_Headers),
        ],
    )


class _Headers:
    """The same policy as on every other page."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def finish(message: Message) -> None:
            if message["type"] == "http.response.start":
                more = ((name.encode(), value.encode()) for name, value in HEADERS.items())
                message = {
                    **message,
                    "headers": [*message["headers"], *more, (b"cache-control", b"no-store")],
                }
            await send(message)

        await self._app(scope, receive, finish)
