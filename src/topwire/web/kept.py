"""Files of ours: scripts, styles, the mark."""

from importlib.resources import files

from starlette.responses import Response
from starlette.staticfiles import StaticFiles

YEAR = 365 * 24 * 3600


class Kept(StaticFiles):
    """Files of ours, which a browser may keep: their address changes when they do."""

    def file_response(self, *arguments: object, **more: object) -> Response:
        answer = super().file_response(*arguments, **more)  # type: ignore[arg-type]
        answer.headers["cache-control"] = f"public, max-age={YEAR}, immutable"
        return answer


def static_files() -> Kept:
    return Kept(directory=str(files("topwire.web").joinpath("static")))
