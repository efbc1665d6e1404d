"""Who is at the page: sessions in memory, a token for every form, the passphrase of another address."""

import hmac
import secrets
import threading
import time
from collections import OrderedDict, deque
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

COOKIE = "topwire"
LASTS = 12 * 3600.0  # [s] without a request, after which a session is forgotten
MOST_SESSIONS = 500
LEAST_SIGNS = 10  # of a passphrase


@dataclass
class Session:
    """One browser. `known`: it may read and write; a browser that has not said the passphrase may do neither."""

    key: str
    known: bool
    seen: float


class Sessions:
    """All browsers at the page. Nothing of them is kept on the disk: whoever starts the server anew starts anew."""

    def __init__(self, *, passphrase_hash: str = "") -> None:
        self._secret = secrets.token_bytes(32)
        self._by_key: OrderedDict[str, Session] = OrderedDict()
        self._guard = threading.Lock()
        self.passphrase_hash = passphrase_hash

    @property
    def open(self) -> bool:
        """Whether no passphrase is asked: on this machine alone."""
        return not self.passphrase_hash

    def find(self, key: str) -> Session | None:
        with self._guard:
            session = self._by_key.get(key)
            if session is None or time.monotonic() - session.seen > LASTS:
                self._by_key.pop(key, None)
                return None
            session.seen = time.monotonic()
            self._by_key.move_to_end(key)
            return session

    def begin(self, *, known: bool) -> Session:
        """A new session; the one unused longest goes where there are too many."""
        session = Session(secrets.token_urlsafe(32), known, time.monotonic())
        with self._guard:
            self._by_key[session.key] = session
            while len(self._by_key) > MOST_SESSIONS:
                self._by_key.popitem(last=False)
        return session

    def end(self, session: Session) -> None:
        with self._guard:
            self._by_key.pop(session.key, None)

    def token(self, session: Session) -> str:
        """What each form of this browser carries; another face cannot read it."""
        return hmac.new(self._secret, session.key.encode(), sha256).hexdigest()

    def right_token(self, session: Session, said: str) -> bool:
        return hmac.compare_digest(self.token(session).encode(), said.encode())

    def admits(self, passphrase: str) -> bool:
        """Whether this is the passphrase. Takes some tens of milliseconds on purpose."""
        from argon2 import PasswordHasher
        from argon2.exceptions import Argon2Error, InvalidHashError

        try:
            return PasswordHasher().verify(self.passphrase_hash, passphrase)
        except (Argon2Error, InvalidHashError):
            return False


class Pace:
    """At most `most` in `seconds` for each who asks; the rest is told to wait."""

    def __init__(self, most: int, seconds: float) -> None:
        self._most, self._seconds = most, seconds
        self._when: OrderedDict[str, deque[float]] = OrderedDict()
        self._guard = threading.Lock()

    def too_fast(self, who: str) -> bool:
        now = time.monotonic()
        with self._guard:
            times = self._when.setdefault(who, deque())
            self._when.move_to_end(who)
            while times and now - times[0] > self._seconds:
                times.popleft()
            if len(times) >= self._most:
                return True
            times.append(now)
            while len(self._when) > 1000:
                self._when.popitem(last=False)
            return False


def hashed(passphrase: str) -> str:
    """The passphrase as it is kept (argon2id). Raises ValueError for one that is short."""
    from argon2 import PasswordHasher

    if len(passphrase.strip()) < LEAST_SIGNS:
        raise ValueError(f"a passphrase has at least {LEAST_SIGNS} signs; some words are easily kept in mind")
    return PasswordHasher().hash(passphrase)


def read_hash(path: Path) -> str:
    """The kept hash; empty where there is none."""
    try:
        return path.read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        return ""
