"""The phones' server while the desk's runs: an application, a server and a thread of its own."""

import socket
import threading
from datetime import time
from pathlib import Path

import uvicorn
from starlette.applications import Starlette

from topwire.web.desk import Desk
from topwire.web.phone.app import make_phone_app
from topwire.web.phone.desk_pages import PhoneDoor
from topwire.web.phone.pairing import EVENING, Phones


def configured(app: Starlette) -> uvicorn.Config:
    """How both servers run. No header of a request is believed about where it came from."""
    return uvicorn.Config(
        app, log_level="warning", server_header=False, proxy_headers=False, timeout_graceful_shutdown=2
    )


class PhonesServed:
    """What phones reach at a bound socket, from entering to leaving; `door` is for the desk's page."""

    def __init__(self, folder: Path, bound: socket.socket, evening: time | None = None) -> None:
        address, port = bound.getsockname()[:2]
        phones = Phones(folder.resolve(), evening=evening or EVENING)
        self.door = PhoneDoor(f"http://{address}:{port}/", phones)
        app = make_phone_app(Desk(folder), phones, frozenset((f"{address}:{port}",)))
        self._server = uvicorn.Server(configured(app))
        self._thread = threading.Thread(target=self._server.run, args=([bound],), daemon=True)

    def __enter__(self) -> "PhonesServed":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._server.should_exit = True
        self._thread.join(5)
