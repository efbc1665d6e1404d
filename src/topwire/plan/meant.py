"""What a person writes in the first steps, as a plan says it: a place copied from a map, a bare number of feet."""

import re
from collections.abc import Mapping

from topwire.values.figures import with_point

# 39.18 · 39.18° N · N 39.18 · 39° 10' 48" N
_ANGLE = re.compile(
    r"(?P<before>[NSEW])?\s*(?P<sign>[-+])?(?P<degrees>\d+(?:\.\d+)?)\s*°?"
    r"(?:\s*(?P<minutes>\d+(?:\.\d+)?)\s*['′])?(?:\s*(?P<seconds>\d+(?:\.\d+)?)\s*[\"″])?"
    r"(?(before)|(?:\s*(?P<after>[NSEW]))?)",
    re.IGNORECASE,
)
_COMMA = re.compile(r"^\s*-?\d+,\d+\s*$")  # 39,18: a comma for the point
_BARE = re.compile(r"^\d+(\.\d+)?$")
# Answers that hold one figure: a comma in them stands for the point, or between thousands.
_FIGURES = re.compile(
    "elevation|length|width|slope|slope_bearing|row_bearing|guests|share_.*|made_.*|cider|trees|most|fewest|heritage|flow"
)


def as_meant(answers: Mapping[str, str], length: str, volume: str) -> dict[str, str]:
    """The answers with each place and quantity as a plan says it; what is not understood stays as it was written.

    Parameters
    ----------
    length, volume : units of a bare number, as people write them: “ft”, “gal”
    """
    found = {name: value.strip().replace("−", "-") for name, value in answers.items()}
    found |= {name: with_point(value) for name, value in found.items() if _FIGURES.fullmatch(name)}
    found |= _place(found.get("latitude", ""), found.get("longitude", ""))
    for name, unit in (
        ("elevation", length), ("length", length), ("width", length), ("slope", "%"), ("cider", volume),
    ):  # fmt: skip
        if _BARE.match(found.get(name, "")):
            found[name] = f"{found[name]} {unit}"
    return found


def _place(latitude: str, longitude: str) -> dict[str, str]:
    """Latitude and longitude in degrees; both may stand in the first field, as a map copies them."""
    pair = _angles(latitude)
    if len(pair) == 2:
        return {"latitude": pair[0], "longitude": pair[1]}
    found = {}
    for name, value in (("latitude", latitude), ("longitude", longitude)):
        one = _angles(value)
        if len(one) == 1:
            found[name] = one[0]
    return found


def _angles(text: str) -> list[str]:
    """The angles in a text, in degrees; none where anything else stands in it."""
    text = text.replace(",", ".") if _COMMA.match(text) else text
    if re.search(r"[^\s,;]", _ANGLE.sub("", text)):
        return []
    return [_degrees(one) for one in _ANGLE.finditer(text)]


def _degrees(one: re.Match[str]) -> str:
    side = (one["before"] or one["after"] or "").upper()
    sign = "-" if side in ("S", "W") or one["sign"] == "-" else ""
    if not one["minutes"]:
        return f"{sign}{one['degrees']}"
    whole = float(one["degrees"]) + float(one["minutes"]) / 60 + float(one["seconds"] or 0) / 3600
    return f"{sign}{whole:.4f}"
