"""The phones' servers while the desk's runs: each an application, a server and a thread of its own."""

import socket
import threading
from collections.abc import Iterable
from datetime import time
from pathlib import Path

import uvicorn
from starlette.applications import Starlette

from topwire.web.desk import Desk
from topwire.web.phone.app import make_phone_app
from topwire.web.phone.authority import Paper
from topwire.web.phone.certificate import make_certificate_app
from topwire.web.phone.desk_pages import PhoneDoor
from topwire.web.phone.pairing import EVENING, Phones


def configured(app: Starlette, paper: Paper | None = None) -> uvicorn.Config:
    """How every server runs. No header of a request is believed about where it came from."""
    return uvicorn.Config(
        app, log_level="warning", server_header=False, proxy_headers=False, timeout_graceful_shutdown=2,
        ssl_certfile=paper.chain if paper else None, ssl_keyfile=paper.key if paper else None,
    )  # fmt: skip


class PhoneServers:
    """Servers beside the desk's, at bound sockets, from entering to leaving."""

    def __init__(self, configs: Iterable[tuple[uvicorn.Config, socket.socket]], door: PhoneDoor) -> None:
        self.door = door
        self._servers = [(uvicorn.Server(config), bound) for config, bound in configs]
        self._threads = [
            threading.Thread(target=server.run, args=([bound],), daemon=True)
            for server, bound in self._servers
        ]

    def __enter__(self) -> "PhoneServers":
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        for server, _bound in self._servers:
            server.should_exit = True
        for thread in self._threads:
            thread.join(5)


def crew_of_a_day(folder: Path, bound: socket.socket, evening: time | None = None) -> PhoneServers:
    """Phones over plain http until evening."""
    address, port = bound.getsockname()[:2]
    phones = Phones(folder.resolve(), evening=evening or EVENING)
    app = make_phone_app(Desk(folder), phones, frozenset((f"{address}:{port}",)))
    return PhoneServers([(configured(app), bound)], PhoneDoor(f"http://{address}:{port}/", phones))


def own_phone(
    folder: Path, bound: socket.socket, paper_bound: socket.socket, paper: Paper, name: str
) -> PhoneServers:
    """The grower's own phones over https; `paper_bound`: where they take the certificate from, over http."""
    address, port = bound.getsockname()[:2]
    phones = Phones(folder.resolve(), evening=None)
    app = make_phone_app(Desk(folder), phones, frozenset((f"{address}:{port}", f"{name}:{port}")), own=True)
    door = PhoneDoor(
        f"https://{address}:{port}/", phones, paper, f"http://{address}:{paper_bound.getsockname()[1]}/"
    )
    gives = make_certificate_app(paper, address, name)
    return PhoneServers([(configured(app, paper), bound), (configured(gives), paper_bound)], door)
