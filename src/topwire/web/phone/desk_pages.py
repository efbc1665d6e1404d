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
from topwire.web.phone.authority import Paper
from topwire.web.phone.day import Days
from topwire.web.phone.pairing import CODE_LASTS, Phones


@dataclass(frozen=True)
class PhoneDoor:
    """Where phones reach this machine, and who is let in.

    Attributes
    ----------
    address : “http://192.168.1.20:8760/”
    paper : what the grower's own phone installs first; None for a crew of a day, over plain http
    paper_at : where a phone takes it from
    """

    address: str
    phones: Phones
    paper: Paper | None = None
    paper_at: str = ""

    @property
    def way(self) -> str:
        return "own" if self.paper is not None else "crew"


class PhonePages:
    """`doors` is empty where topwire serves no phones: the page then says how it would."""

    def __init__(self, face: Face, doors: tuple[PhoneDoor, ...]) -> None:
        self._face, self._days = face, Days(face.desk)
        self._doors = {door.way: door for door in doors}

    def routes(self) -> list[Route]:
        sessions = self._face.sessions
        return [
            Route("/phones", self.show),
            Route("/phones/state", self.state),
            Route("/phones/{way}/code.svg", self.picture),
            Route("/phones/own/certificate.svg", self.paper_picture),
            Route("/phones/own/topwire-certificate.crt", self.paper),
            Route("/phones/rows.html", self.rows),
            taken("/phones/code", self.code, sessions),
            taken("/phones/admit", self.admit, sessions),
            taken("/phones/forget", self.forget, sessions),
        ]

    def show(self, request: Request) -> Response:
        return self._page(request, "phones.html")

    def state(self, request: Request) -> Response:
        """The part that changes; the page draws itself anew where this has."""
        answer = self._page(request, "phones_state.html")
        said = [
            f"{door.phones.waiting()}-{bool(door.phones.code())}-{'-'.join(phone.name for phone in door.phones.all())}"
            for door in self._doors.values()
        ]
        answer.headers["x-state"] = "/".join(said)
        return answer

    def picture(self, request: Request) -> Response:
        """The code, where there is one."""
        door = self._door(request.path_params["way"])
        code = door.phones.code()
        if not code:
            raise HTTPException(404, "There is no code now.")
        # Behind “#”: a browser sends that part to no server, so the code stands in no log.
        return _drawn(f"{door.address}#{code}")

    def paper_picture(self, request: Request) -> Response:
        return _drawn(self._door("own").paper_at)

    def paper(self, request: Request) -> Response:
        """The certificate as a file, to be sent by cable or by a message to oneself."""
        paper = self._door("own").paper
        assert paper is not None
        name = {"content-disposition": 'attachment; filename="topwire-certificate.crt"'}
        return Response(paper.authority, media_type="application/x-x509-ca-cert", headers=name)

    def rows(self, request: Request) -> Response:
        """Rows, week and count sheets as one file without script: for any phone, by any way, and for paper."""
        day = self._days.now()
        if not day["rows"]:
            raise HTTPException(404, day["says"])
        answer = self._face.page(request, "rows_file.html", day=day)
        answer.headers["content-disposition"] = 'attachment; filename="rows.html"'
        return answer

    def code(self, request: Request, sent: Sent) -> Response:
        self._door(sent.text("way")).phones.new_code()
        return RedirectResponse("/phones", 303)

    def admit(self, request: Request, sent: Sent) -> Response:
        said = "".join(sent.text("digits").split())
        if not self._door(sent.text("way")).phones.admit(said, sent.text("who")):
            return self._page(request, "phones.html", wrong=True)
        return RedirectResponse("/phones", 303)

    def forget(self, request: Request, sent: Sent) -> Response:
        self._door(sent.text("way")).phones.forget(sent.text("phone"))
        return RedirectResponse("/phones", 303)

    def _door(self, way: str) -> PhoneDoor:
        door = self._doors.get(way)
        if door is None:
            option = "--own-phone" if way == "own" else "--phone"
            raise HTTPException(409, f"These phones are not served. Start topwire serve with {option}.")
        return door

    def _page(self, request: Request, template: str, *, wrong: bool = False) -> Response:
        return self._face.page(
            request,
            template,
            403 if wrong else 200,
            here="phones",
            wrong=wrong,
            doors=tuple(self._doors.values()),
            minutes=round(CODE_LASTS.total_seconds() / 60),
        )


def _drawn(says: str) -> Response:
    """A square code, black on white in every theme, as cameras want it."""
    drawn = BytesIO()
    segno.make(says, error="m", micro=False).save(
        drawn, kind="svg", scale=8, border=4, dark="#000", light="#fff", xmldecl=False
    )
    return Response(drawn.getvalue(), media_type="image/svg+xml")
