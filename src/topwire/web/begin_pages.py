"""The first plan of an empty folder, in four short steps; what was answered is kept on the disk until it is a plan."""

import json
import re
import shutil
from collections.abc import Sequence
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from topwire.catalogue.model import Catalogue
from topwire.engine.inputs import PLAN_FILE
from topwire.engine.plan_text import faults_of
from topwire.engine.store import FOLDER
from topwire.files.safely import write_safely
from topwire.plan.first import EATEN, GROUND, GUESTS, MADE, TASTE, WHERE, first_plan, meant, units_of, wanted
from topwire.plan.outline import outline_of
from topwire.plan.read import parse_yaml, read_plan_text
from topwire.plan.starter import begin_plan
from topwire.values.fault import Faults, FileNotice
from topwire.weather.fetched import SIDECAR
from topwire.web.begin_words import (
    EXPOSURES,
    SHARES,
    STYLES,
    TEXTURES,
    Amiss,
    amiss,
    no_record,
    no_season,
    nobody_eats,
    of_record,
    takes,
)
from topwire.web.face import Face
from topwire.web.forms import Sent, taken

_DRAFT, _BESIDE = "draft.json", "begin"
STEPS = {WHERE: "Where", GROUND: "How much ground", GUESTS: "Who eats what", TASTE: "What you like"}
# Parts of the plan a step answers for: its faults are told there.
OWN = {
    WHERE: ("name", "units", "place", "weather"),
    GROUND: ("ground", "trees.total"),
    GUESTS: ("kitchen",),
    TASTE: ("taste", "trees", "years"),
}
# Of what lies in the folder of the weather these are offered; what a file is that is sent, its content tells.
WEATHER_ENDINGS = (".csv", ".txt", ".dly", ".dat", ".json", ".zip", ".epw")
OUTLINE_ENDINGS = (".geojson", ".json")
LARGEST_OUTLINE = 5_000_000  # bytes


class BeginPages:
    def __init__(self, face: Face) -> None:
        self._face = face

    def routes(self) -> list[Route]:
        sessions = self._face.sessions
        return [
            Route("/begin", lambda request: RedirectResponse(f"/begin/{WHERE}", 303)),
            taken("/begin/weather", self.weather, sessions, files=1),
            taken("/begin/outline", self.outline, sessions, files=1),
            taken("/begin/fetch", self.fetch, sessions),
            taken("/begin/away", self.away, sessions),
            Route("/begin/{step}", self.step),
            taken("/begin/{step}", self.answer, sessions),
        ]

    def step(self, request: Request) -> Response:
        if self._face.desk.begun:
            return RedirectResponse("/plan", 303)
        self._take_fetched()
        return self._show(request, self._known(request), [])

    def answer(self, request: Request, sent: Sent) -> Response:
        step = self._known(request)
        if self._face.desk.begun:
            return RedirectResponse("/plan", 303)
        answers = self._answers(sent)
        faults = self._faults(answers, step, OWN[step])
        if step == WHERE and not faults:
            faults = self._looked_at(answers)
        if faults:
            return self._show(request, step, faults, 422)
        names = list(STEPS)
        if step != names[-1]:
            return RedirectResponse(f"/begin/{names[names.index(step) + 1]}", 303)
        return self._plan(request, answers)

    def weather(self, request: Request, sent: Sent) -> Response:
        """A file of weather, read before it is kept."""
        answers, folder = self._answers(sent), self._face.desk.folder
        name, content = sent.files.get("file", ("", b""))
        path = _unused(folder / "weather" / _safe_name(name, "weather.csv"), content)
        beside = folder / FOLDER / f"sent{path.suffix}"
        self._room()
        write_safely(beside, content)
        try:
            says, faults = _held([beside], [path.name])
        finally:
            beside.unlink(missing_ok=True)
        if faults:
            return self._show(request, WHERE, faults, 422)
        path.parent.mkdir(exist_ok=True)
        write_safely(path, content)
        self._keep(_with_record(answers, f"weather/{path.name}", says))
        return RedirectResponse(f"/begin/{WHERE}", 303)

    def away(self, request: Request, sent: Sent) -> Response:
        """A record is no longer offered here; its file stays where it lies."""
        answers, name = self._answers(sent), sent.text("away")
        gone = [*filter(None, answers.get("weather_away", "").split(", ")), *name.split(", ")]
        if answers.get("weather") == name:
            answers |= {"weather": "", "weather_says": "", "weather_said_of": ""}
        self._keep(
            {at: value for at, value in answers.items() if at != "away"} | {"weather_away": ", ".join(gone)}
        )
        return RedirectResponse(f"/begin/{WHERE}", 303)

    def _looked_at(self, answers: dict[str, str]) -> list[Amiss]:
        """What is wrong with the record that is chosen; what it holds is kept, to be told beside it."""
        said = answers.get("weather", "")
        names = [name.strip() for name in said.split(",")]
        if answers.get("weather_said_of") == said or not set(names) <= set(self._there()):
            return []
        says, faults = _held([self._face.desk.folder / name for name in names], names)
        if not faults:
            self._keep(_with_record(answers, said, says))
        return faults

    def outline(self, request: Request, sent: Sent) -> Response:
        """The outline of the ground, held together before it is kept."""
        answers, folder = self._answers(sent), self._face.desk.folder
        name, content = sent.files.get("file", ("", b""))
        path = _unused(folder / _safe_name(name, "ground.geojson"), content)
        if path.suffix.lower() not in OUTLINE_ENDINGS or len(content) > LARGEST_OUTLINE:
            return self._show(
                request, GROUND, [_outline("An outline is a GeoJSON file of at most 5 MB.")], 422
            )
        try:
            place = (float(answers["longitude"]), float(answers["latitude"]))
        except (KeyError, ValueError):
            place = None
        try:
            _, wrong, _ = outline_of(content.decode("utf-8-sig"), path.name, path.name, place)
        except UnicodeDecodeError:
            return self._show(request, GROUND, [_outline("An outline is a text file in UTF-8.")], 422)
        if wrong:
            return self._show(request, GROUND, [_outline(str(one)) for one in wrong], 422)
        write_safely(path, content)
        self._keep(answers | {"outline": path.name})
        return RedirectResponse(f"/begin/{GROUND}", 303)

    def fetch(self, request: Request, sent: Sent) -> Response:
        """Weather fetched on request: the only thing here that opens a connection outwards."""
        answers = self._answers(sent)
        faults = self._faults(answers, WHERE, ("place",))
        if faults:
            return self._show(request, WHERE, faults, 422)
        beside = self._room() / _BESIDE  # the command wants a plan that says where; this folder has none yet
        shutil.rmtree(beside, ignore_errors=True)
        begin_plan(beside, first_plan({**answers, "weather": ""}))
        arguments = ["weather", "fetch", str(beside), "--yes"]
        self._face.errands.start("the weather", "weather", arguments, f"/begin/{WHERE}")
        return RedirectResponse("/run", 303)

    def _take_fetched(self) -> None:
        """Weather that was fetched beside comes into the folder, with its source and licence."""
        beside, run = self._face.desk.folder / FOLDER / _BESIDE, self._face.errands.now()
        if not beside.is_dir() or run is None or run.at_work or run.kind != "weather":
            return
        tree = parse_yaml(read_plan_text(beside / PLAN_FILE), PLAN_FILE)
        names = [str(name) for name in tree["weather"]["files"] if (beside / str(name)).is_file()]
        if names:
            shutil.copytree(beside / "weather", self._face.desk.folder / "weather", dirs_exist_ok=True)
            says, _ = _held([self._face.desk.folder / name for name in names], names)
            self._keep(
                _with_record(self._draft(), ", ".join(names), f"fetched: {says}" if says else "fetched")
            )
        shutil.rmtree(beside, ignore_errors=True)

    def _plan(self, request: Request, answers: dict[str, str]) -> Response:
        """All steps answered: the plan is written, and worked out."""
        folder = self._face.desk.folder
        for step, own in OWN.items():
            faults = self._faults(answers, step, own)
            if faults:
                return self._show(request, step, faults, 422)
        faults = self._faults(answers, TASTE, ("",))
        if faults:
            return self._show(request, TASTE, faults, 422)
        try:
            begin_plan(folder, first_plan(answers))
        except Faults as found:
            raise HTTPException(409, str(found)) from None
        (folder / FOLDER / _DRAFT).unlink(missing_ok=True)
        self._face.errands.start("the plan", "plan", ["plan", str(folder)])
        return RedirectResponse("/run", 303)

    def _faults(self, answers: dict[str, str], step: str, own: tuple[str, ...]) -> list[Amiss]:
        """What is wrong with the answers of one step, in words for who answers, not for a file's reader."""
        try:
            found = faults_of(self._face.desk.folder, first_plan(answers))
        except Faults as wrong:
            found = tuple(one for one in wrong.notices if isinstance(one, FileNotice))
        told = amiss(found, own)
        if step == WHERE and "weather" in own and not answers.get("weather"):
            told = [one for one in told if one.field != "record"] + [no_record()]
        if step == GUESTS and not wanted(answers):
            told.append(nobody_eats())
        return told

    def _show(self, request: Request, step: str, faults: Sequence[Amiss], status: int = 200) -> Response:
        answers = self._draft()
        gone = answers.get("weather_away", "").split(", ")
        there = [name for name in self._there() if name not in gone]
        units, names = units_of(answers), list(STEPS)
        catalogue = self._catalogue() if step in (GUESTS, TASTE) else None
        return self._face.page(
            request, f"begin_{step}.html", status, step=step, steps=STEPS, answers=answers, faults=faults,
            orchard_name=answers.get("name") or self._face.desk.name, there=there,
            us=units.value == "us", exposures=[*EXPOSURES.items()], textures=[*TEXTURES.items()],
            shares=[*SHARES.items()], styles=[*STYLES.items()], eaten=EATEN, made=MADE,
            takes=takes(catalogue, units) if catalogue else {}, names=sorted(catalogue.cultivar) if catalogue else [],
            following=STEPS[names[min(names.index(step) + 1, len(names) - 1)]],
        )  # fmt: skip

    def _there(self) -> list[str]:
        """Records that lie in the folder."""
        return sorted(
            path.relative_to(self._face.desk.folder).as_posix()
            for path in (self._face.desk.folder / "weather").glob("*")
            if path.suffix.lower() in WEATHER_ENDINGS and path.name != SIDECAR
        )

    def _catalogue(self) -> Catalogue:
        from topwire.catalogue.tables import read_tables

        return Catalogue(read_tables(self._face.desk.folder / "catalogue"))

    def _known(self, request: Request) -> str:
        step = str(request.path_params["step"])
        if step not in STEPS:
            raise HTTPException(404, "There is no such step.")
        return step

    def _room(self) -> Path:
        room = self._face.desk.folder / FOLDER
        room.mkdir(exist_ok=True)
        return room

    def _draft(self) -> dict[str, str]:
        try:
            found = json.loads((self._face.desk.folder / FOLDER / _DRAFT).read_text(encoding="utf-8"))
            return {str(name): str(value) for name, value in found.items()}
        except (OSError, ValueError, AttributeError):
            return {}

    def _answers(self, sent: Sent) -> dict[str, str]:
        """What was answered so far and now, kept."""
        answers = meant(self._draft() | sent.fields())
        self._keep(answers)
        return answers

    def _keep(self, answers: dict[str, str]) -> None:
        write_safely(self._room() / _DRAFT, json.dumps(answers).encode())


def _held(paths: Sequence[Path], labels: Sequence[str]) -> tuple[str, list[Amiss]]:
    """What a record holds, and why it cannot be planned by."""
    from topwire.phenology.seasons import whole_seasons
    from topwire.weather.read import read_weather

    try:
        record = read_weather(paths, labels=labels)
    except Faults as found:
        return "", [Amiss("record", "Weather", str(one)) for one in found.notices][:12]
    seasons = whole_seasons(record)
    return (of_record(record, seasons), []) if seasons else ("", [no_season(record)])


def _with_record(answers: dict[str, str], name: str, says: str) -> dict[str, str]:
    away = [one for one in answers.get("weather_away", "").split(", ") if one not in name.split(", ")]
    found = {"weather": name, "weather_says": says, "weather_said_of": name, "weather_away": ", ".join(away)}
    return answers | found


def _outline(says: str) -> Amiss:
    return Amiss("outline", "The outline", says)


def _safe_name(name: str, usual: str) -> str:
    """The last part of a file's name, of letters, digits, dots and dashes; never a path, never hidden, never one of
    ours."""
    last = re.split(r"[/\\]", name)[-1]
    plain = Path(re.sub(r"[^A-Za-z0-9._-]+", "-", last).lstrip(".-"))
    if not plain.name or plain.name.startswith(PLAN_FILE) or plain.name == SIDECAR:
        return usual
    return plain.stem[:70] + plain.suffix[:10]


def _unused(path: Path, content: bytes) -> Path:
    """That place, or one beside it where another file stands there: what was brought before is not lost."""
    free, number = path, 2
    while free.exists() and not (free.is_file() and free.read_bytes() == content):
        free, number = path.with_stem(f"{path.stem}-{number}"), number + 1
    return free
