"""Forms: read only with this browser's token, within bounds."""

from collections.abc import Callable

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from topwire.web.session import Sessions

TOKEN = "token"
MOST_FIELDS = 600
PART = 200_000  # bytes of one field
OLD_PAGE = "This page was opened before topwire was started anew. Nothing was changed."
Form = dict[str, str]
Take = Callable[[Request, "Sent"], Response]


class Sent:
    """What a form sent: its fields, each once, fields that may be there often, and files."""

    def __init__(self, data: FormData, files: dict[str, tuple[str, bytes]]) -> None:
        self._data, self.files = data, files

    def text(self, name: str, usual: str = "") -> str:
        value = self._data.get(name, usual)
        return value.strip() if isinstance(value, str) else usual

    def body(self, name: str) -> str:
        """A field of many lines, as it was written; line ends of a browser become those of a file."""
        value = self._data.get(name, "")
        return value.replace("\r\n", "\n") if isinstance(value, str) else ""

    def all(self, name: str) -> list[str]:
        return [value for value in self._data.getlist(name) if isinstance(value, str) and value.strip()]

    def fields(self) -> Form:
        return {name: value for name, value in self._data.items() if isinstance(value, str) and name != TOKEN}


def taken(path: str, take: Take, sessions: Sessions, *, files: int = 0) -> Route:
    """A route for a form. A form without this browser's token is refused before `take` sees it."""

    async def endpoint(request: Request) -> Response:
        async with request.form(max_files=files, max_fields=MOST_FIELDS, max_part_size=PART) as data:
            said = data.get(TOKEN, "")
            if not isinstance(said, str) or not sessions.right_token(request.scope["session"], said):
                raise HTTPException(409, OLD_PAGE)
            held = {
                name: (value.filename or "", await value.read())
                for name, value in data.items()
                if isinstance(value, UploadFile) and value.filename
            }
            return await run_in_threadpool(take, request, Sent(data, held))

    endpoint.__qualname__ = f"taken:{path}"
    return Route(path, endpoint, methods=["POST"], name=f"take {path}")
