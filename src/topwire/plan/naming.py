"""A weather file named in the plan's text, every remark and line left as it stands."""

import re

_SECTION = re.compile(r"^weather:\s*(?:#.*)?$")
_FILES = re.compile(r"^(\s+files:\s*)\[([^\[\]#]*)\](.*)$")


def with_weather_file(text: str, name: str, absent: frozenset[str] = frozenset()) -> str | None:
    """The plan's text with one more weather file; None where its list is not written on one line.

    Parameters
    ----------
    absent : files named there that do not exist, which the new one takes the place of
    """
    lines = text.splitlines(keepends=True)
    inside = False
    for at, line in enumerate(lines):
        bare = line.rstrip("\r\n")
        if bare and not bare[0].isspace() and not bare.startswith("#"):
            inside = bool(_SECTION.match(bare))
        match = _FILES.match(bare) if inside else None
        if match is None:
            continue
        named = [one.strip() for one in match[2].split(",") if one.strip()]
        if name in named:
            return text
        kept = [one for one in named if one.strip("\"'") not in absent]
        ending = line[len(bare) :]
        lines[at] = f"{match[1]}[{', '.join([*kept, name])}]{match[3]}{ending}"
        return "".join(lines)
    return None
