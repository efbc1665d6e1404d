"""Settings of the whole suite."""

import os
import socket
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import settings

# The same examples every time, so that a landing does not hang on luck. HYPOTHESIS_HUNT=1 looks for new ones.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("hunt", max_examples=500, deadline=None)
settings.load_profile("hunt" if os.environ.get("HYPOTHESIS_HUNT") else "steady")


@pytest.fixture(autouse=True)
def _no_connection_outwards(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fails a test that opens a connection to anything but this machine, or asks a name of any other."""
    connect, connect_ex, look_up = socket.socket.connect, socket.socket.connect_ex, socket.getaddrinfo

    def refuse(host: object) -> None:
        if str(host) not in ("127.0.0.1", "::1", "localhost", "", "None", "0.0.0.0"):
            pytest.fail(
                f"a connection to {host} was tried; only topwire weather may, and no test", pytrace=True
            )

    def judged(own: Callable[..., Any]) -> Callable[..., Any]:
        def call(self: socket.socket, address: Any) -> Any:
            if self.family in (socket.AF_INET, socket.AF_INET6):
                refuse(address[0])
            return own(self, address)

        return call

    def resolved(host: Any, *rest: Any, **named: Any) -> Any:
        refuse(host.decode() if isinstance(host, bytes) else host)
        return look_up(host, *rest, **named)

    monkeypatch.setattr(socket.socket, "connect", judged(connect))
    monkeypatch.setattr(socket.socket, "connect_ex", judged(connect_ex))
    monkeypatch.setattr(socket, "getaddrinfo", resolved)
