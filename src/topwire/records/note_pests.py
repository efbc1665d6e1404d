"""What a note says of pests, diseases and damage: how many, on what, and that there were none."""

import re
from typing import Any

from topwire.records.words_left import NotUnderstood, WordsLeft, as_said

PESTS = (
    "scab|blight|mildew|rusts?|rots?|rotting|blotch|canker|codling moths?|moths?|aphids?|mites|curculio|maggots?|"
    "borers?|scale|leafrollers?|leafhoppers?|voles?|deer|rabbits?|mice|birds|wasps|hail|frost|sunburn|bitter pit|"
    "cracking|dying|sick|wilting|traps?"
)
_UNHURT = r"(?:no|without)(?: any)? damage(?! (?:by|from|of))"  # “hail, no damage” is hail all the same
_NOT = r"(?:no|not any|without|zero|never)(?: any| a| new| signs? of)*"
# What says that there was none: before the pest's name, beside “seen”, or by itself.
_NONE = (
    rf"{_NOT}(?=[\s|]+(?:(?!(?:at|by|for|in|on|to)\b)\w+\s+){{0,2}}(?:{PESTS})(?!\w))"
    rf"|(?:seen|saw|found)\s+{_NOT}|^[\s|]*{_NOT}(?=.*\b(?:seen|found))"
    r"|none|nil|empty|not (?:seen|found|caught)|(?:did|could)(?: not|n['’]t) (?:see|find|catch)(?: any| a)?"
)
_NO_NUMBER = ("frost", "hail", "sunburn")  # they are there or not


def pest(left: WordsLeft) -> dict[str, Any]:
    """What was seen, on what, and its count or share; where there was none the count is 0."""
    unhurt = left.take(_UNHURT)
    left.take("damage(?:d)?(?: by| from| of)?")
    none = left.take(_NONE)
    left.take("seen|saw|found")
    share = left.share()
    on = left.take(
        r"(?:on|of|in)?\s*(?:the\s+)?"
        r"(?P<on>leaves|leaf|fruits?|fruitlets|shoots?|flowers?|blossoms?|buds|apples|traps?|bark|roots?)"
    )
    if on is None and share is not None:
        on = left.take(r"(?:on[\s|]+)?of\s+(?:the\s+)?(?P<on>[a-z]+)")
    count = left.whole(after=r"(?!\s*(?:mm|cm|ft|inch(?:es)?)\b)") if share is None else None
    what = left.take_rest()
    if not what:
        raise NotUnderstood("what was seen?", "Name it: seen scab on 5 % of leaves.")
    if astray := re.search(r"\b(?:no|not|without|never)\b", what, re.IGNORECASE):
        raise NotUnderstood(
            f"“{astray[0]}” is not understood.", "Write no hail where there was none; the rest in brackets."
        )
    if count and on is None and set(_NO_NUMBER) & set(what.lower().split()):
        remedy = "Write a cold night as low 28 F, damage as hail on 28 % of fruit."
        raise NotUnderstood(f"“{what} {count}”: {count} of what?", remedy)
    if none is not None and (count or share):
        raise NotUnderstood(f"“{as_said(none)}”, and a figure?", "Write a note for each thing seen.")
    facts: dict[str, Any] = {
        "what": what,
        "on": on["on"].lower() if on else "",
        "share": share,
        "count": count,
    }
    if none is not None and share is None:
        facts["count"] = 0
    return {**facts, "remark": unhurt[0].lower() if unhurt else ""}
