"""A run as one looks on: each step, what it found, and stopping it."""

from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from topwire.engine.recall import recall_coming
from topwire.engine.steps import STEPS
from topwire.show.summary import found_by
from topwire.web.contents import PAGES
from topwire.web.errands import Errand
from topwire.web.face import Face
from topwire.web.forms import Sent, taken


@dataclass(frozen=True)
class StepShown:
    """One step: waiting, working, done, failed or not reached; what it found where it has; of which settings it is."""

    title: str
    says: str
    state: str
    found: str
    page: str
    page_title: str
    settings: tuple[str, ...] = ()


class RunPages:
    def __init__(self, face: Face) -> None:
        self._face = face

    def routes(self) -> list[Route]:
        sessions = self._face.sessions
        return [
            Route("/run", self.show),
            Route("/run/state", self.state),
            Route("/run/band", self.band),
            taken("/run/plan", self.plan, sessions),
            taken("/run/stop", self.stop, sessions),
        ]

    def show(self, request: Request) -> Response:
        return self._page(request, "run.html")

    def state(self, request: Request) -> Response:
        return self._page(request, "run_state.html")

    def band(self, request: Request) -> Response:
        return self._face.page(request, "bands.html")

    def plan(self, request: Request, sent: Sent) -> Response:
        self._face.errands.start("the plan", "plan", ["plan", str(self._face.desk.folder)])
        return RedirectResponse("/run", 303)

    def stop(self, request: Request, sent: Sent) -> Response:
        self._face.errands.stop()
        return RedirectResponse("/run", 303)

    def _page(self, request: Request, template: str) -> Response:
        run = self._face.errands.now()
        steps = self._steps(request, run) if run is not None and run.kind == "plan" else []
        faults = [line for line in run.says if not _is_step(line)] if run is not None else []
        answer = self._face.page(request, template, run=run, steps=steps, faults=faults)
        answer.headers["x-at-work"] = "yes" if run is not None and run.at_work else "no"
        return answer

    def _steps(self, request: Request, run: Errand) -> list[StepShown]:
        coming = recall_coming(self._face.desk.folder) if run.at_work or run.code else None
        planned = self._face.desk.planned()
        orchard = coming or (planned.orchard if planned and not run.at_work else None)
        done = {one.name for one in orchard.steps} if orchard is not None else set()
        found = {} if orchard is None else found_by(orchard, self._face.look(request).reader)
        failed = {line.partition(":")[0] for line in run.says} if run.code and not run.stopped else set()
        shown = []
        for step in STEPS:
            state = "waiting" if run.at_work or run.stopped else "not reached"
            if step.name in done:
                state = "done"
            elif step.name in failed:
                state = "failed"
            elif run.at_work and step.name == run.step:
                state = "working"
            page = next((page for page in PAGES if step.name in page.departments), None)
            says = found.get(step.name, "") if state == "done" else ""
            name, title = (page.name, page.title) if page else ("", "")
            leads = page.settings if page and state == "failed" else ()
            shown.append(StepShown(step.name.capitalize(), step.says, state, says, name, title, leads))
        return shown


def _is_step(line: str) -> bool:
    """A line of progress, as against one that tells a fault."""
    number, _, rest = line.partition("/")
    return (number.isdigit() and rest[:1].isdigit()) or line.endswith("nothing was written.")
