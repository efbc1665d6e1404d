"""An orchard's folder with an invented plan in it, and a browser's way of asking without a browser."""

import re
import socket
import threading
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
import uvicorn
from engine import small
from faces import invented

from topwire.engine.orchard import LastPlan, Orchard, StepRun
from topwire.engine.state import state_of
from topwire.engine.store import FOLDER, as_json, keep
from topwire.files.safely import write_safely
from topwire.web.app import make_app
from topwire.web.phone.desk_pages import PhoneDoor


def furnished(folder: Path, orchard: Orchard | None = None) -> Path:
    """The small orchard's files, and beside them a plan kept as if it had been worked out from them."""
    small.make(folder, years=2)
    orchard = orchard or invented.orchard()
    keep_plan(folder, orchard)
    return folder


def keep_plan(folder: Path, orchard: Orchard) -> None:
    runs = []
    for name, result in orchard.departments.items():
        if result is not None:
            key = f"{name:k<20}"
            (folder / FOLDER).mkdir(exist_ok=True)
            keep(folder, name, key, result)
            runs.append(StepRun(name, key, 1.0))
    last = LastPlan(state_of(folder), orchard.origin, tuple(runs), orchard.notices)
    write_safely(folder / FOLDER / "last.json", as_json(last).encode())


class Served:
    """The pages of a folder, truly served on a port of this machine, from a thread."""

    def __init__(self, folder: Path, *, passphrase_hash: str = "", phones: Sequence[PhoneDoor] = ()) -> None:
        self.folder = folder
        self._socket = socket.socket()
        self._socket.bind(("127.0.0.1", 0))
        self.host = f"127.0.0.1:{self._socket.getsockname()[1]}"
        self.app = make_app(folder, [self.host], passphrase_hash=passphrase_hash, phones=phones)
        config = uvicorn.Config(self.app, log_level="critical", ws="none", timeout_graceful_shutdown=1)
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run, args=([self._socket],), daemon=True)

    def __enter__(self) -> "Served":
        self._thread.start()
        while not self._server.started:
            time.sleep(0.005)
        return self

    def __exit__(self, *_: object) -> None:
        self._server.should_exit = True
        self._thread.join(10)
        self._socket.close()


class Browser(httpx.Client):
    """Asks as a browser at our own pages does: with cookies, origin, and each form's token."""

    def __init__(self, served: Served) -> None:
        self.served = served
        self.own = {"origin": f"http://{served.host}"}
        # a connection kept open may be closed by the server in the very moment it is used again
        super().__init__(
            base_url=f"http://{served.host}", follow_redirects=True, timeout=30, trust_env=False,
            limits=httpx.Limits(max_keepalive_connections=0),
        )  # fmt: skip

    def token(self, path: str = "/keys") -> str:
        found = re.search(r'name="token" value="(\w+)"', self.get(path).text)
        return found[1] if found else ""

    def fill(self, path: str, fields: Mapping[str, object] | None = None, **more: Any) -> httpx.Response:
        """A form sent from our own page."""
        return self.post(path, data={"token": self.token(), **(fields or {})}, headers=self.own, **more)


@contextmanager
def browsing(folder: Path, *, passphrase_hash: str = "") -> Iterator[Browser]:
    with Served(folder, passphrase_hash=passphrase_hash) as served, Browser(served) as browser:
        yield browser
