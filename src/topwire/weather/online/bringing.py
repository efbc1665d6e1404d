"""A file brought from a service: asked only when it may have changed, checked before it replaces anything."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from enum import StrEnum
from pathlib import Path
from typing import Generic, TypeVar

from topwire.values.fault import Faults, fault
from topwire.weather.fetched import Fetched, keep_fetched, read_fetched, write_entries
from topwire.weather.online.asking import LOG_IN, Answer, Asker, NoAnswer
from topwire.weather.online.services import WeatherService

A_DAY = timedelta(hours=20)  # records: new days come once a day
A_MONTH = timedelta(days=30)  # lists and what hardly changes
T = TypeVar("T")


class BroughtHow(StrEnum):
    """How a file was brought."""

    NEW = "new"
    REPLACED = "replaced"
    UNCHANGED = "unchanged"  # the service was asked and has nothing newer
    FRESH = "fresh"  # still good: not asked


@dataclass(frozen=True)
class Brought(Generic[T]):
    """A file that is kept, what it says, and what the copy before it said.

    Attributes
    ----------
    entry : its line in the sidecar
    how : how it was brought
    content, before : what the check made of it and of the copy it replaced (None where there was none, or none usable)
    outdated : the service says that this way of asking will end
    """

    entry: Fetched
    how: BroughtHow
    content: T
    before: T | None
    outdated: bool = False


@dataclass(frozen=True)
class Wanted(Generic[T]):
    """A file that is wanted.

    Attributes
    ----------
    file : name it is kept under
    path, query : what the service is asked
    says : what it is, for a progress line
    check : bytes to content; raises Faults or NoAnswer where they are not what was asked
    holds_against : content and the kept copy's: raises NoAnswer where the new one may not replace it
    floor : not asked again before, where the service does not say how long it is good
    within : seconds it may take
    utc_offset : of a forecast
    page : a web page is what is wanted
    """

    file: str
    service: WeatherService
    path: str
    query: Mapping[str, str]
    says: str
    check: Callable[[bytes], T]
    holds_against: Callable[[T, T], None] = lambda new, old: None
    floor: timedelta = A_DAY
    within: float = 120.0
    utc_offset: int | None = None
    page: bool = False


def now() -> datetime:
    """The present moment in universal time, to the second."""
    return datetime.now(UTC).replace(microsecond=0)


def bring(folder: Path, wanted: Wanted[T], asker: Asker, moment: datetime) -> Brought[T]:
    """The file in `folder`, as new as the service has it.

    Raises
    ------
    NoAnswer
        The service gave nothing that may be kept; what was there is there.
    Faults
        The kept copy was changed by hand: it is not overwritten.
    OSError
        The folder cannot be written.
    """
    entry = next((one for one in read_fetched(folder) if one.file == wanted.file), None)
    found = _kept(folder, wanted, entry)
    kept, before = found
    same = entry is not None and kept and entry.stands(folder) and _address(wanted) == entry.address
    if entry is not None and same and before is not None and moment < _good_until(entry, wanted.floor):
        return Brought(entry, BroughtHow.FRESH, before, before)
    asker.tell(f"asking {wanted.service.host} for {wanted.says}")
    conditions = (
        {"etag": entry.etag, "last_modified": entry.last_modified} if entry and same and before else {}
    )
    answer = asker.ask(wanted.service, wanted.path, wanted.query, within=wanted.within, **conditions)
    if answer.unchanged:
        if entry is None or before is None:
            raise NoAnswer(f"{wanted.service.host} says that nothing has changed, but nothing is kept here.")
        entry = replace(entry, at=_written(moment), expires=expires_of(answer) or entry.expires)
        others = [one for one in read_fetched(folder) if one.file != wanted.file]
        write_entries(folder, (*others, entry))
        return Brought(entry, BroughtHow.UNCHANGED, before, before)
    content = checked(answer.body, wanted)
    if before is not None:
        wanted.holds_against(content, before)
    made = Fetched(
        wanted.file,
        wanted.service.key,
        wanted.service.source,
        wanted.service.licence,
        wanted.service.credit,
        answer.address,
        _written(moment),
        "",
        answer.etag,
        answer.last_modified,
        expires_of(answer),
        wanted.utc_offset,
    )
    made = keep_fetched(folder, made, answer.body)
    return Brought(made, BroughtHow.REPLACED if kept else BroughtHow.NEW, content, before, answer.outdated)


def checked(body: bytes, wanted: Wanted[T]) -> T:
    """What stands in an answer. Raises NoAnswer where it is a page, or nothing its reader can use."""
    host = wanted.service.host
    if not wanted.page and body.lstrip()[:1] == b"<":
        raise NoAnswer(f"a web page came instead of {wanted.says}. {LOG_IN}")
    if not body.strip():
        raise NoAnswer(f"{host} sent nothing where {wanted.says} was asked for.")
    try:
        return wanted.check(body)
    except Faults as found:
        raise NoAnswer(f"what {host} sent is not kept: {found.notices[0]}") from None


def _kept(folder: Path, wanted: Wanted[T], entry: Fetched | None) -> tuple[bool, T | None]:
    """Whether a copy is kept, and what it says. Raises Faults where the grower has changed it."""
    path = folder / wanted.file
    if not path.exists():
        return False, None
    if entry is None or entry.changed_by_hand(folder):
        says = "was not written by topwire weather, or has been changed since."
        remedy = "It is left as it is: rename it, and name it so in the plan; then fetch again."
        raise Faults([fault(f"{folder.name}/{wanted.file}", says, remedy)])
    try:
        return True, wanted.check(path.read_bytes())
    except (Faults, NoAnswer):
        return True, None


def _good_until(entry: Fetched, floor: timedelta) -> datetime:
    until = datetime.fromisoformat(entry.at) + floor
    return datetime.fromisoformat(entry.expires) if entry.expires else until


def expires_of(answer: Answer) -> str:
    """The moment an answer's header tells, ISO 8601; empty where it tells none that can be read."""
    try:
        return _written(parsedate_to_datetime(answer.expires)) if answer.expires else ""
    except (ValueError, TypeError):
        return ""


def _written(moment: datetime) -> str:
    return f"{moment.astimezone(UTC).replace(tzinfo=None, microsecond=0).isoformat()}Z"


def _address(wanted: Wanted[T]) -> str:
    from urllib.parse import urlencode

    query = f"?{urlencode(wanted.query)}" if wanted.query else ""
    return f"https://{wanted.service.host}{wanted.path}{query}"
