"""Which phones are let in: a code read once, four digits said at the desk, and the evening at which it all ends."""

import hmac
import json
import secrets
import threading
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import datetime, time, timedelta
from hashlib import sha256
from pathlib import Path

from topwire.engine.store import FOLDER
from topwire.files.safely import write_safely

EVENING = time(21)
LONGEST = timedelta(hours=12)
CODE_LASTS = timedelta(minutes=5)
MOST_TRIES = 5  # wrong digits, after which a phone has to read a new code
MOST_WAITING = 8
LONGEST_NAME = 40
CREW, OWN = "phones.json", "own_phones.json"  # kept apart: who is let in for a day, and for a season
SEASON = timedelta(days=180)


def _now() -> datetime:
    return datetime.now().astimezone()


def evening_after(now: datetime, evening: time = EVENING) -> datetime:
    """When a phone let in now is out again: this evening, and after twelve hours at the latest."""
    tonight = now.replace(hour=evening.hour, minute=evening.minute, second=0, microsecond=0)
    if tonight <= now:
        tonight += timedelta(days=1)
    return min(tonight, now + LONGEST)


@dataclass
class Waiting:
    """A phone that has read the code and shows its digits; `key` is known to it alone."""

    key: str
    digits: str
    since: datetime
    wrong: int = 0

    @property
    def name(self) -> str:
        return named(self.key)


@dataclass(frozen=True)
class Phone:
    """A phone that is let in. `key_hash`: what its cookie's hash is; `until`: ISO time with offset."""

    key_hash: str
    who: str
    until: str

    @property
    def name(self) -> str:
        return self.key_hash[:12]

    @property
    def ends(self) -> datetime:
        return datetime.fromisoformat(self.until)

    @property
    def ends_says(self) -> str:
        """“21:00”, or the day where that is later than tomorrow."""
        ends = self.ends.astimezone()
        return f"{ends:%H:%M}" if ends - _now() < timedelta(days=1) else f"{ends:%d %B %Y}"


def _hash(key: str) -> str:
    return sha256(key.encode()).hexdigest()


def named(key: str) -> str:
    """What the desk's forms call a phone: no secret, and the same before and after it is let in."""
    return _hash(key)[:12]


class Phones:
    """All phones of a day, or the grower's own of a season.

    Kept beside the plan as hashes, so that a server started anew the same day still knows them; what waits is not kept.
    """

    def __init__(
        self, folder: Path, *, evening: time | None = EVENING, now: Callable[[], datetime] = _now
    ) -> None:
        """`evening` is None for the grower's own phones, which stay in for a season."""
        self._path = folder / FOLDER / (OWN if evening is None else CREW)
        self._evening, self._now = evening, now
        self._guard = threading.Lock()
        self._code: tuple[str, datetime] | None = None
        self._waiting: dict[str, Waiting] = {}
        self._phones = {phone.key_hash: phone for phone in _read(self._path)}

    def new_code(self) -> str:
        """A code for one phone, good for five minutes; one shown before is worth nothing from now on."""
        with self._guard:
            self._code = (secrets.token_urlsafe(16), self._now() + CODE_LASTS)
            return self._code[0]

    def code(self) -> str:
        """The code that may be read now; empty where there is none, or it has been used."""
        with self._guard:
            return self._code[0] if self._code is not None and self._code[1] > self._now() else ""

    def join(self, said: str) -> Waiting | None:
        """A phone that has read the code, which is spent by that. None where it is not the code."""
        with self._guard:
            now = self._now()
            self._drop_old(now)
            if self._code is None or self._code[1] <= now or len(self._waiting) >= MOST_WAITING:
                return None
            if not hmac.compare_digest(self._code[0].encode(), said.encode("utf-8", "replace")):
                return None
            self._code = None
            taken = {one.digits for one in self._waiting.values()}
            digits = next(found for found in iter(_four_digits, "") if found not in taken)
            waiting = Waiting(secrets.token_urlsafe(32), digits, now)
            self._waiting[waiting.name] = waiting
            return waiting

    def waits(self, key: str) -> Waiting | None:
        """The phone of this cookie while it waits."""
        with self._guard:
            self._drop_old(self._now())
            found = self._waiting.get(named(key))
            return found if found is not None and hmac.compare_digest(found.key, key) else None

    def waiting(self) -> int:
        """How many phones wait to be let in."""
        with self._guard:
            self._drop_old(self._now())
            return len(self._waiting)

    def admit(self, digits: str, who: str) -> bool:
        """Let in the phone that shows these digits, under a name no other phone of the day has.

        False where none shows them; after five wrong ones nobody waits any more.
        """
        with self._guard:
            now = self._now()
            self._drop_old(now)
            shown = digits.encode("utf-8", "replace")
            waiting = self._waiting.values()
            found = next((one for one in waiting if hmac.compare_digest(one.digits.encode(), shown)), None)
            if found is None:
                for one in list(self._waiting.values()):
                    one.wrong += 1
                    if one.wrong >= MOST_TRIES:
                        del self._waiting[one.name]
                return False
            del self._waiting[found.name]
            until = now + SEASON if self._evening is None else evening_after(now, self._evening)
            phone = Phone(_hash(found.key), self._free_name(who), until.isoformat(timespec="seconds"))
            self._phones[phone.key_hash] = phone
            self._keep(now)
            return True

    def find(self, key: str) -> Phone | None:
        """The phone of this cookie, where it is let in and its evening has not come."""
        with self._guard:
            found = self._phones.get(_hash(key))
            return found if found is not None and found.ends > self._now() else None

    def all(self) -> tuple[Phone, ...]:
        with self._guard:
            now = self._now()
            return tuple(phone for phone in self._phones.values() if phone.ends > now)

    def forget(self, name: str) -> None:
        """Let a phone in no more."""
        with self._guard:
            self._phones = {key: phone for key, phone in self._phones.items() if phone.name != name}
            self._keep(self._now())

    def _free_name(self, who: str) -> str:
        said = "".join(sign for sign in who if sign.isprintable()).strip()[:LONGEST_NAME] or "phone"
        taken = {phone.who for phone in self._phones.values()}
        number, found = 1, said
        while found in taken:
            number += 1
            found = f"{said} {number}"
        return found

    def _drop_old(self, now: datetime) -> None:
        self._waiting = {
            name: one for name, one in self._waiting.items() if now - one.since < CODE_LASTS
        }  # fmt: skip

    def _keep(self, now: datetime) -> None:
        self._phones = {key: phone for key, phone in self._phones.items() if phone.ends > now}
        self._path.parent.mkdir(exist_ok=True)
        write_safely(self._path, json.dumps([asdict(phone) for phone in self._phones.values()]).encode())
        self._path.chmod(0o600)


def _four_digits() -> str:
    return f"{secrets.randbelow(10_000):04d}"


def _read(path: Path) -> list[Phone]:
    """Phones kept by an earlier server of the day; a file nobody can read holds none."""
    try:
        found = [Phone(**one) for one in json.loads(path.read_text(encoding="utf-8"))]
        return [phone for phone in found if phone.ends.tzinfo is not None]
    except (OSError, ValueError, TypeError):
        return []
