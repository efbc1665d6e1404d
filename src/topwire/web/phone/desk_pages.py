"""At the desk: the code a phone reads, the digits it shows, who is let in, and sending one away."""

from dataclasses import dataclass
from io import BytesIO

import segno
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from topwire.web.face import Face
from topwire.web.forms import Sent, taken
from topwire.web.phone.day import Days
from topwire.web.phone.pairing import CODE_LASTS, Phones


@dataclass(frozen=True)
class PhoneDoor:
    """Where phones reach this machine, and who is let in."""

    address: str  # “http://192.168.1.20:8760/”
    phones: Phones


class PhonePages:
    """`door` is None where topwire serves no phones: the page then says how it would."""

    def __init__(self, face: Face, door: PhoneDoor | None) -> None:
        self._face, self._door, self._days = face, door, Days(face.desk)

    def routes(self) -> list[Route]:
        sessions = self._face.sessions
        return [
            Route("/phones", self.show),
            Route("/phones/state", self.state),
            Route("/phones/code.svg", self.picture),
            Route("/phones/rows.html", self.rows),
            taken("/phones/code", self.code, sessions),
            taken("/phones/admit", self.admit, sessions),
            taken("/phones/forget", self.forget, sessions),
        ]

    def show(self, request: Request) -> Response:
        return self._page(request, "phones.html")

    def state(self, request: Request) -> Response:
        answer = self._page(request, "phones_state.html")
        door = self._door
        if door is not None:  # the page draws itself anew where this has changed
            said = (
                str(door.phones.waiting()),
                str(bool(door.phones.code())),
                *(phone.name for phone in door.phones.all()),
            )
            answer.headers["x-state"] = "-".join(said)
        return answer

    def picture(self, request: Request) -> Response:
        """The code, where there is one: black on white in every theme, as cameras want it."""
        code = self._open().phones.code()
        if not code:
            raise HTTPException(404, "There is no code now.")
        drawn = BytesIO()
        # Behind “#”: a browser sends that part to no server, so the code stands in no log.
        segno.make(f"{self._open().address}#{code}", error="m", micro=False).save(
            drawn, kind="svg", scale=8, border=4, dark="#000", light="#fff", xmldecl=False
        )
        return Response(drawn.getvalue(), media_type="image/svg+xml")

    def rows(self, request: Request) -> Response:
        """Rows, week and count sheets as one file without script: for any phone, by any way, and for paper."""
        day = self._days.now()
        if not day["rows"]:
            raise HTTPException(404, day["says"])
        answer = self._face.page(request, "rows_file.html", day=day)
        answer.headers["content-disposition"] = 'attachment; filename="rows.html"'
        return answer

    def code(self, request: Request, sent: Sent) -> Response:
        self._open().phones.new_code()
        return RedirectResponse("/phones", 303)

    def admit(self, request: Request, sent: Sent) -> Response:
        said = "".join(sent.text("digits").split())
        if not self._open().phones.admit(said, sent.text("who")):
            return self._page(request, "phones.html", wrong=True)
        return RedirectResponse("/phones", 303)

    def forget(self, request: Request, sent: Sent) -> Response:
        self._open().phones.forget(sent.text("phone"))
        return RedirectResponse("/phones", 303)

    def _open(self) -> PhoneDoor:
        if self._door is None:
            raise HTTPException(409, "Phones are not served. Start topwire serve with --phone.")
        return self._door

    def _page(self, request: Request, template: str, *, wrong: bool = False) -> Response:
        door = self._door
        return self._face.page(
            request,
            template,
            403 if wrong else 200,
            here="phones",
            wrong=wrong,
            address=door.address if door else "",
            code=door.phones.code() if door else "",
            waiting=door.phones.waiting() if door else 0,
            phones=door.phones.all() if door else (),
            minutes=round(CODE_LASTS.total_seconds() / 60),
        )
