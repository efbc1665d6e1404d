"""Ways to spoil a file: bytes, lines, cells and values, drawn from a seeded generator."""

import json
from collections.abc import Callable
from copy import deepcopy
from random import Random
from typing import Any

NASTY = (
    "", " ", "-1", "0", "-0", "1e400", "-1e308", "1e308", "nan", "inf", "-inf", ".inf", ".nan", "null", "~",
    "true", "9" * 60, "9" * 5000, "0x1F", "1_000", "١٢٣", "٣.٥", "²", "½", "1,5", "1;5", "=1+1", "@SUM(A1)", "-",
    "--", "'", '"', '""', "a\tb", "a\x00b", "a\x07b", "a\x1bb", "\ufeff", "\u202eabc", "\ud800", "é" * 3,
    "x" * 3000, "[[[[", "]]", "{{", "}", "&a", "*a", "!!python/object:x", "!!binary x", "|", ">", "%", "- ", ": ",
    "# ", "<<: *a", "2024-02-30", "0000-00-00", "9999-12-31", "1750-01-01", "2299-12-31", "24:61", "weather", ".",
    "..", "/", "/dev/zero", "/dev/null", "yard.geojson/x", "40 lb", "40 lb/week", "12 ft", "1e400 lb/week",
    "-4 lb/week", "choose", "float", "int", "unit[s", "nonsense", "10:20:30",
)  # fmt: skip
VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 2.5, 1e308, -1e308, 10**30, float("nan"), float("inf"), "", "x", "40 lb", [], {},
    [[]], [[[]]], [None], {"a": 1}, {"float": 1}, "nonsense", ["x"], [1, 2], [[0, 0]], [["a", "b"]], "a\x07b",
    "\ud800", "a\nb",
)  # fmt: skip


def spoil_text(text: str, draw: Random) -> str:
    """One to four changes to the letters, lines or words of a text."""
    for _ in range(draw.randint(1, 4)):
        text = draw.choice(_TEXT)(text, draw)
    return text


def spoil_cells(text: str, draw: Random, delimiter: str = ",") -> str:
    """One to six cells of a table made into something else."""
    lines = text.split("\n")
    for _ in range(draw.randint(1, 6)):
        at = draw.randrange(len(lines)) if draw.random() < 0.8 else 0
        cells = lines[at].split(delimiter)
        where = draw.randrange(len(cells))
        what = draw.random()
        if what < 0.75:
            cells[where] = draw.choice(NASTY)
        elif what < 0.85:
            del cells[where]
        elif what < 0.95:
            cells.insert(where, draw.choice(NASTY))
        else:
            draw.shuffle(cells)
        lines[at] = delimiter.join(cells)
    return "\n".join(lines)


def spoil_tree(tree: Any, draw: Random) -> Any:
    """One to three values of a tree replaced, taken out, doubled or renamed. The tree given is changed."""
    for _ in range(draw.randint(1, 3)):
        spots = list(_spots(tree))
        if not spots:
            return tree
        holder, key = draw.choice(spots)
        what = draw.random()
        if what < 0.7:
            holder[key] = deepcopy(draw.choice(VALUES)) if draw.random() < 0.6 else draw.choice(NASTY)
        elif what < 0.8:
            del holder[key]
        elif what < 0.9 and isinstance(holder, dict):
            holder[draw.choice(NASTY)] = holder.pop(key)
        elif isinstance(holder, list):
            holder.extend(deepcopy(holder[key]) for _ in range(draw.choice((1, 3, 50))))
        else:
            inner = holder[key]
            for _ in range(draw.choice((1, 5, 30, 3000))):
                inner = [inner]
            holder[key] = inner
    return tree


def spoil_json(text: str, draw: Random) -> str:
    if draw.random() < 0.25:
        return spoil_text(text, draw)
    try:
        return json.dumps(spoil_tree(json.loads(text), draw))
    except RecursionError:
        return "[" * 100_000


def _spots(tree: Any) -> list[tuple[Any, Any]]:
    found, waiting = [], [tree]
    while waiting:
        node = waiting.pop()
        keys = list(node) if isinstance(node, dict) else range(len(node)) if isinstance(node, list) else []
        for key in keys:
            found.append((node, key))
            waiting.append(node[key])
        if len(found) > 20_000:
            break
    return found


def _insert(text: str, draw: Random) -> str:
    at = draw.randint(0, len(text))
    return text[:at] + draw.choice(NASTY) + text[at:]


def _cut(text: str, draw: Random) -> str:
    at = draw.randint(0, len(text))
    return text[:at] + text[at + draw.choice((1, 1, 2, 10, 200)) :]


def _end(text: str, draw: Random) -> str:
    return text[: draw.randint(0, len(text))]


def _swap_sign(text: str, draw: Random) -> str:
    if not text:
        return text
    at = draw.randrange(len(text))
    return text[:at] + draw.choice("0123456789-+.,;:|\"'[]{}#&*!%@\t\n\r\x00\x07 aZé\u2028") + text[at + 1 :]


def _lines(text: str, draw: Random) -> str:
    lines = text.split("\n")
    at, other = draw.randrange(len(lines)), draw.randrange(len(lines))
    what = draw.randrange(4)
    if what == 0:
        del lines[at]
    elif what == 1:
        lines.insert(other, lines[at])
    elif what == 2:
        lines[at], lines[other] = lines[other], lines[at]
    else:
        lines[at:at] = [lines[at]] * draw.choice((2, 20, 500))
    return "\n".join(lines)


def _word(text: str, draw: Random) -> str:
    words = text.split(" ")
    words[draw.randrange(len(words))] = draw.choice(NASTY)
    return " ".join(words)


_TEXT: tuple[Callable[[str, Random], str], ...] = (_insert, _cut, _swap_sign, _lines, _word, _word, _end)
