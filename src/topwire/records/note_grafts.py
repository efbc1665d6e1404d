"""What a note says of grafting and budding: lots of them, with how many took, and trees worked where they stand."""

import re
from typing import Any

from topwire.records.entries import TreeEvent
from topwire.records.words_left import LOT, NotUnderstood, WordsLeft, as_said
from topwire.values.figures import NUMBER, number_of

BUDS, FIELD_GRAFTS = "buds", "field grafts"  # remarks of takes that were made otherwise than at the bench
_WAYS = r"(?:(?P<way>bench|field|chip|bark|cleft|whip|saddle|side|T)[- ]+)?"


def grafted_tree(left: WordsLeft) -> dict[str, Any] | None:
    """“South 3, tree 41 budded with Wealthy”; with hours it is work."""
    left.take(rf"{_WAYS}(?:grafted|budded)(?: over)?")
    return None if left.hours() is not None else {"event": TreeEvent.REGRAFTED}


_GRAFTED = rf"{_WAYS}(?P<made>(?:re-?)?grafted(?: over)?|budded)"
_STARTED = rf"(?P<started>{NUMBER})(?!\s*(?:h|hrs?|hours?|min|minutes)\b)"
_MADE = (
    rf"{_GRAFTED}\s+{_STARTED}",
    rf"{_STARTED}[\s|]*{_GRAFTED}",
    rf"(?:of\s+)?{_STARTED}\s+{_WAYS}(?P<made>grafts|buds)",
    rf"of\s+{_STARTED}(?P<way>)(?P<made>)",
)


def take(left: WordsLeft) -> dict[str, Any] | None:
    """A lot and its take; grafts whose take is not yet known are told what is wanted. None where it is another form."""
    lot = left.take(LOT)
    found = next((found for pattern in _MADE if (found := left.take(pattern)) is not None), None)
    if found is None:
        return None
    good = _living(left)
    if good is None:
        if not found["made"].lower().endswith(("grafted", "budded", "over")):
            return None
        remedy = "Note them when the takes are counted; hours are a note of their own, grafting 3 h."
        raise NotUnderstood(f"“{as_said(found)}”: how many took?", remedy)
    left.take("grafts?|buds?|took|alive|grew")
    started = number_of(found["started"])
    if not started.is_integer():
        raise NotUnderstood(f"“{started:g}” is no whole number.", "Write for instance 3.")
    facts: dict[str, Any] = {"started": int(started), "good": good, "lot": lot["lot"] if lot else ""}
    return {**facts, "remark": _way(found)}


def _living(left: WordsLeft) -> int | None:
    """“22 took”, “took 22”, “none took”."""
    living = "(?:took|take|alive|good|grew)"
    if left.take(rf"none(?:[\s|]|of|are)*{living}"):
        return 0
    if not left.has(living):
        return None
    before = left.whole(after=rf"(?:[\s|]|of|are)*{living}")
    return left.whole() if before is None else before


def _way(found: re.Match[str]) -> str:
    """How the grafts of a take were made, where not at the bench; what the bench's take is those do not teach."""
    made, way = found["made"].lower(), (found["way"] or "").lower()
    if made.startswith("bud") or way in ("chip", "t"):
        return BUDS
    in_field = made.startswith("re") or made.endswith("over") or way in ("field", "bark", "cleft", "side")
    return FIELD_GRAFTS if in_field else ""
