"""The only place that opens a connection outwards: one question at a time, politely, and never more than was asked.

Rules (source WEATHERMANNERS): a User-Agent of our own; a second between two questions to a host; three tries with
growing pauses, the service's own Retry-After obeyed; an error of ours (4xx) never asked again; nothing followed to
another host; a body bounded in bytes and time.
"""

import os
import random
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from email.utils import parsedate_to_datetime
from typing import Any, Self
from urllib.parse import urlencode, urlsplit

from topwire import __version__
from topwire.weather.online.services import WeatherService

STANDIN = "TOPWIRE_STANDIN"  # address of a stand-in of the services, for tests; loopback only
TRIES = 3
BETWEEN = 1.0  # [s] between two questions
FIRST_PAUSE, GROWS = 2.0, 4.0  # [s], and by how much each further pause is longer
LONGEST_PAUSE = 90.0  # [s] a service may ask for before the person is told to come back later
SILENT = 30.0  # [s] without a byte
LARGEST = 200_000_000  # bytes
HOPS = 3
_PASSING = (429, 500, 502, 503, 504)
LOG_IN = "A Wi-Fi's log-in page may stand in between: open any page in a browser first."


class MissingExtra(Exception):
    """The library that opens connections is not installed."""


class NoAnswer(Exception):
    """A service gave no answer that can be used; what is kept stays.

    Attributes
    ----------
    says : why, in a sentence
    absent : the service has no such thing (404)
    """

    def __init__(self, says: str, *, absent: bool = False) -> None:
        self.says, self.absent = says, absent
        super().__init__(says)


class _Passing(Exception):
    """May go well next time."""

    def __init__(self, says: str, wait: float | None = None) -> None:
        self.says, self.wait = says, wait


@dataclass(frozen=True)
class Answer:
    """What came.

    Attributes
    ----------
    unchanged : what is kept is still what the service has; there is no body
    body : bytes, as they came (transport packing undone)
    address : what was asked
    etag, last_modified, expires : as the service sent them
    outdated : the service says that this way of asking will end
    """

    unchanged: bool
    body: bytes
    address: str
    etag: str = ""
    last_modified: str = ""
    expires: str = ""
    outdated: bool = False


def standin_address() -> str | None:
    """The stand-in of tests, where one is set. Raises ValueError where it is not on this machine."""
    address = os.environ.get(STANDIN)
    if not address:
        return None
    parts = urlsplit(address)
    if parts.scheme != "http" or parts.hostname not in ("127.0.0.1", "localhost", "::1"):
        raise ValueError(f"{STANDIN} must be an http address of this machine, not “{address[:60]}”.")
    return address.rstrip("/")


class Asker:
    """Asks services; to be used in a `with`, so that the connection is closed.

    Parameters
    ----------
    contact : e-mail address or page of whoever asks, told to services that want it; may be empty
    progress : told what is waited for
    pause : waits so many seconds; tests do not
    """

    def __init__(
        self,
        *,
        contact: str = "",
        progress: Callable[[str], None] = lambda _: None,
        pause: Callable[[float], None] = time.sleep,
    ) -> None:
        try:
            import httpx
        except ImportError:
            raise MissingExtra from None
        self._standin = standin_address()
        self._progress, self._pause = progress, pause
        self._last: dict[str, float] = {}
        self._client = httpx.Client(
            headers={"User-Agent": user_agent(contact), "Accept-Encoding": "gzip"},
            timeout=httpx.Timeout(SILENT, connect=15.0),
            follow_redirects=False,
            trust_env=self._standin is None,
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._client.close()

    def tell(self, says: str) -> None:
        """What is waited for, to whoever waits."""
        self._progress(says)

    def ask(
        self,
        service: WeatherService,
        path: str,
        query: Mapping[str, str] | None = None,
        *,
        etag: str = "",
        last_modified: str = "",
        within: float = 120.0,
    ) -> Answer:
        """What a service says.

        Parameters
        ----------
        etag, last_modified : of what is kept: the service need not send the same again
        within : the whole body has to be there in this time [s]

        Raises
        ------
        NoAnswer
            Three tries failed, the service refuses, or what it sends is no answer of its own.
        """
        address = f"https://{service.host}{path}" + (f"?{urlencode(query)}" if query else "")
        headers = {name: value for name, value in _conditions(etag, last_modified).items() if value}
        for attempt in range(TRIES):
            self._take_turn(service.host)
            try:
                return self._once(service, address, headers, within)
            except _Passing as failed:
                wait = failed.wait
                if wait is None:
                    wait = FIRST_PAUSE * GROWS**attempt * (1 + random.random() / 4)
                if wait > LONGEST_PAUSE:
                    says = (
                        f"{failed.says}; it asks to wait {wait / 60:.0f} minutes. Run the command again then."
                    )
                    raise NoAnswer(says) from None
                if attempt == TRIES - 1:
                    raise NoAnswer(f"{failed.says}, three times. Try again later.") from None
                self._progress(f"{failed.says}; asking again in {wait:.0f} s")
                self._pause(wait)
        raise AssertionError("unreachable")

    def _take_turn(self, host: str) -> None:
        since = time.monotonic() - self._last.get(host, -BETWEEN)
        if since < BETWEEN:
            self._pause(BETWEEN - since)
        self._last[host] = time.monotonic()

    def _once(
        self, service: WeatherService, address: str, headers: Mapping[str, str], within: float
    ) -> Answer:
        import httpx

        asked = address
        try:
            for _ in range(HOPS):
                with self._client.stream("GET", self._url(asked), headers=headers) as response:
                    if response.status_code not in (301, 302, 303, 307, 308):
                        return self._answer(service, address, response, within)
                    asked = self._next(service, asked, response.headers.get("location", ""))
        except httpx.TimeoutException:
            raise _Passing(f"{service.host} is silent") from None
        except httpx.ConnectError as error:
            raise _unreachable(service.host, error) from None
        except httpx.DecodingError:
            raise _Passing(f"{service.host} sent something that cannot be unpacked") from None
        except httpx.TransportError:
            raise _Passing(f"{service.host} broke off in the middle of its answer") from None
        raise NoAnswer(f"{service.host} sends on and on to other addresses.")

    def _url(self, address: str) -> str:
        if self._standin is None:
            return address
        return f"{self._standin}/{address.removeprefix('https://')}"

    def _next(self, service: WeatherService, asked: str, location: str) -> str:
        """Where it is sent on to. Raises NoAnswer where that is another host."""
        from urllib.parse import urljoin

        found = urlsplit(urljoin(asked, location))
        if found.scheme != "https" or found.netloc != service.host:
            says = f"{service.host} sends on to {found.netloc or 'nowhere'}, which is not followed."
            raise NoAnswer(f"{says} {LOG_IN}")
        return found.geturl()

    def _answer(self, service: WeatherService, address: str, response: Any, within: float) -> Answer:
        code, host = response.status_code, service.host
        if code == 304:
            return _of(response, address, b"", unchanged=True)
        if code in _PASSING:
            why = "asks for fewer questions" if code == 429 else f"is out of order ({code})"
            raise _Passing(f"{host} {why}", retry_after(response.headers.get("retry-after", "")))
        if code == 404:
            raise NoAnswer(f"{host} has nothing at {urlsplit(address).path}.", absent=True)
        if code == 403:
            says = f"{host} refuses the question (403)."
            raise NoAnswer(f"{says} Tell it whom to write to: --contact you@example.org")
        if code not in (200, 203):
            raise NoAnswer(f"{host} does not take the question ({code}): {_reason(response)}")
        return _of(response, address, _body(response, host, within), unchanged=False)


def user_agent(contact: str) -> str:
    """Who asks, as every service is told."""
    return f"topwire/{__version__}" + (f" ({contact})" if contact else "")


def _conditions(etag: str, last_modified: str) -> dict[str, str]:
    return {"If-None-Match": etag, "If-Modified-Since": last_modified}


def _of(response: Any, address: str, body: bytes, *, unchanged: bool) -> Answer:
    headers = response.headers
    return Answer(
        unchanged,
        body,
        address,
        headers.get("etag", ""),
        headers.get("last-modified", ""),
        headers.get("expires", ""),
        outdated=response.status_code == 203,
    )


def _body(response: Any, host: str, within: float) -> bytes:
    """All of it, within bounds of size and time."""
    until, parts, size = time.monotonic() + within, [], 0
    for part in response.iter_bytes():
        parts.append(part)
        size += len(part)
        if size > LARGEST:
            raise NoAnswer(f"{host} sends more than {LARGEST / 1e6:.0f} MB; that is no answer.")
        if time.monotonic() > until:
            raise NoAnswer(f"{host} drips: its answer was not there after {within:.0f} s. Try again later.")
    return b"".join(parts)


def _reason(response: Any) -> str:
    """What the service itself says of a question it does not take, cut short."""
    response.read()
    try:
        told = response.json()
        said = told.get("detail") or told.get("reason") or told.get("message") or told.get("messages")
    except (ValueError, AttributeError):
        said = None
    return "".join(sign for sign in str(said)[:160] if sign.isprintable()) if said else "no reason given."


def retry_after(told: str) -> float | None:
    """Seconds a service asks to wait, told as a number or as a moment."""
    if not told:
        return None
    if told.strip().isdigit():
        return float(told)
    try:
        return max(parsedate_to_datetime(told).timestamp() - time.time(), 0.0)
    except (ValueError, TypeError):
        return None


def _unreachable(host: str, error: Exception) -> Exception:
    text = str(error).lower()
    if "certificate" in text or "ssl" in text:
        return NoAnswer(f"{host} cannot prove that it is {host}; it was left alone. {LOG_IN}")
    if "name" in text or "resol" in text or "getaddrinfo" in text:
        return NoAnswer(f"{host} cannot be found: is this machine on the internet?")
    return _Passing(f"{host} cannot be reached")
