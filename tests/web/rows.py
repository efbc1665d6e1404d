"""A server for phones beside the desk's, and phones that are a real browser of a phone's size with touch."""

import gc
import os
import re
import socket
import subprocess
import sys
import threading
import time
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Self
from urllib.parse import urlsplit

import uvicorn
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import BrowserContext, Page
from starlette.applications import Starlette

from topwire.records.entries import Entry
from topwire.records.store import open_store
from topwire.web.desk import Desk
from topwire.web.phone.app import make_phone_app
from topwire.web.phone.authority import Paper
from topwire.web.phone.pairing import EVENING, Phones

NAME = "farm.lan"  # led to this machine by the browser's own rule: a plain http address, as a phone meets it
OWN_NAME = "farm.local"  # by https
RULES = f"--host-resolver-rules=MAP {NAME} 127.0.0.1, MAP {OWN_NAME} 127.0.0.1"
SIZE = {"width": 360, "height": 720}


class Serving:
    """An application truly served on a port of this machine, from a thread; `make` is told the port."""

    def __init__(self, make: Callable[[int], Starlette], port: int = 0, paper: Paper | None = None) -> None:
        self._socket = socket.socket()
        self._socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        self._socket.bind(("127.0.0.1", port))
        self.port: int = self._socket.getsockname()[1]
        self.app, self._plain = make(self.port), paper is None
        config = uvicorn.Config(
            self.app, log_level="critical", ws="none", timeout_graceful_shutdown=0, lifespan="off",
            ssl_certfile=paper.chain if paper else None, ssl_keyfile=paper.key if paper else None,
        )  # fmt: skip
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run, args=([self._socket],), daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        while not self._server.started:
            time.sleep(0.005)
        return self

    def __exit__(self, *_: object) -> None:
        self._server.should_exit = True
        self._server.force_exit = True
        self._thread.join(10)
        self._socket.close()
        if not self._plain:  # lines of https are cut here, not taken leave of
            with warnings.catch_warnings(action="ignore", category=ResourceWarning):
                gc.collect()


class PhoneServed(Serving):
    """What phones reach, on a port that stays when it is started anew; over https where it has a paper."""

    def __init__(
        self, folder: Path, phones: Phones | None = None, port: int = 0, paper: Paper | None = None
    ) -> None:
        self.folder, self.paper = folder, paper
        self.phones = phones or Phones(folder, evening=None if paper else EVENING)
        name = OWN_NAME if paper else NAME
        super().__init__(
            lambda at: make_phone_app(
                Desk(folder), self.phones, frozenset((f"{name}:{at}",)), own=paper is not None
            ),
            port,
            paper,
        )
        self.host = f"{name}:{self.port}"
        self.address = f"{'https' if paper else 'http'}://{self.host}/"

    def anew(self) -> "PhoneServed":
        """As topwire started again: what was in memory is gone, the port is the same."""
        return PhoneServed(self.folder, None, self.port, self.paper)


@contextmanager
def a_phone(chromium: Chromium, dark: bool = False) -> Iterator[BrowserContext]:
    context = chromium.new_context(
        viewport=SIZE, has_touch=True, is_mobile=True, color_scheme="dark" if dark else "light",
        device_scale_factor=2,
    )  # fmt: skip
    context.set_default_timeout(8000)
    yield context
    context.close()


def let_in(context: BrowserContext, served: PhoneServed, who: str) -> Page:
    """A phone reads the code, shows its digits, and the desk types them in."""
    page = context.new_page()
    page.goto(f"{served.address}#{served.phones.new_code()}")
    digits = page.locator(".digits").inner_text()
    assert re.fullmatch(r"\d{4}", digits)
    assert served.phones.admit(digits, who)
    page.get_by_role("button", name="Find a tree").wait_for()
    assert urlsplit(page.url).fragment == ""
    return page


def to_tree(page: Page, row: int = 0) -> str:
    """From home to the note screen at a row's first tree; its address."""
    page.get_by_role("button", name="Note", exact=True).tap()
    page.locator(".rows, .at").first.wait_for()
    if page.locator(".rows").count():
        page.locator(".rows button").nth(row).tap()
    return page.locator(".at strong").inner_text()


def kept(folder: Path) -> tuple[Entry, ...]:
    try:
        with open_store(folder, make=False) as store:
            return store.entries()
    except FileNotFoundError:
        return ()


# A server that takes its time over each note; with a paper it serves by https.
_SLOW_SERVER = """
import sys, threading, time
folder, port, tests, *told = sys.argv[1:]
sys.path.insert(0, tests)
from pathlib import Path
from web.rows import PhoneServed, OWN_NAME
from topwire.web.phone.authority import papers
import topwire.web.phone.notes as notes
real = notes._entry
def slow(*arguments):
    time.sleep(0.02)
    return real(*arguments)
notes._entry = slow
paper = papers(Path(told[0]), told[1], OWN_NAME) if told else None
with PhoneServed(Path(folder), port=int(port), paper=paper):
    print("up", flush=True)
    time.sleep(60)
"""


def killed_while_sending(page: Page, folder: Path, port: int, *paper: str) -> None:
    """Sends what waits on the phone to a server of its own, which is killed once some of it is kept.

    `paper`: folder and address of the authority that vouches for it; none = plain http.
    """
    tests = str(Path(__file__).parents[1])
    started = [sys.executable, "-c", _SLOW_SERVER, str(folder), str(port), tests, *paper]
    with subprocess.Popen(started, stdout=subprocess.PIPE, env=dict(os.environ)) as process:
        assert process.stdout is not None
        assert process.stdout.readline().strip() == b"up"
        page.evaluate("void keeper.send()")
        until = time.monotonic() + 10
        while not kept(folder) and time.monotonic() < until:
            time.sleep(0.02)
        process.kill()
