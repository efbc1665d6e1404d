"""A plan's text with some settings changed: comments, order and everything else stay as the grower wrote them."""

import re
from collections.abc import Mapping
from dataclasses import replace
from io import StringIO
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import YAMLError

from topwire.plan.changed import path_of
from topwire.plan.yaml_bounds import hold_bounds
from topwire.plan.yaml_reader import plan_reader
from topwire.values.fault import Faults, FileNotice, fault

Step = str | int
_BELOW_A_GAP = re.compile(
    r"\n\n((?:[ ]+[^\n]*\n)+)(?=\w)"
)  # what was added after the empty line of a section's end
_WIDE = 100_000  # signs of a line that is never folded


def round_trip() -> YAML:
    """A reader and writer of plan files that keeps quotes, comments and the indents of the starter."""
    yaml = plan_reader()
    yaml.preserve_quotes = True
    yaml.width = _WIDE
    yaml.indent(mapping=2, sequence=4, offset=2)
    return yaml


def rewritten(text: str, changes: Mapping[str, str | None], name: str = "plan.yaml") -> str:
    """`text` with each setting as `changes` has it: what it would be as it is written in the file, None = taken out.

    Sections that do not stand there are made; an entry one beyond the end of a list is added to it. An entry taken out
    of a list moves the later ones up, after all else is done.

    Raises
    ------
    Faults
        Where a setting or a value cannot be read; all together.
    """
    yaml = round_trip()
    tree = yaml.load(text)
    if not isinstance(tree, CommentedMap):
        raise Faults([fault(name, "there is no plan in this file.")])
    faults = [
        wrong
        for setting, value in changes.items()
        if value is not None and (wrong := _put(tree, setting, value, name)) is not None
    ]
    gone = [path for setting, value in changes.items() if value is None and (path := path_of(setting))]
    for path in sorted(gone, key=lambda one: [str(part).zfill(6) for part in one], reverse=True):
        _take_out(tree, path)
    if faults:
        raise Faults(faults)
    stream = StringIO()
    yaml.dump(tree, stream)
    return _BELOW_A_GAP.sub(
        lambda found: found[0] if found[0] in text else f"\n{found[1]}\n", stream.getvalue()
    )


def _put(tree: CommentedMap, setting: str, says: str, name: str) -> FileNotice | None:
    path = path_of(setting)
    if path is None:
        return fault(f"{name}, {setting[:60]}", "this is no setting.")
    where = f"{name}, {setting}"
    try:
        hold_bounds(says, where)
        value = round_trip().load(says)
    except Faults as broken:
        return replace(broken.notices[0], where=where)
    except (YAMLError, ValueError, OverflowError):
        return fault(where, f"“{says[:60]}” cannot be read.", "Write it as in the plan file.")
    node: Any = tree
    for at, part in enumerate(path[:-1]):
        if not _there(node, part):
            made: Any = CommentedMap() if isinstance(path[at + 1], str) else CommentedSeq()
            if not _set(node, part, made):
                return fault(where, "there is nothing above it in the plan.")
        node = node[part]
    if _there(node, path[-1]) and node[path[-1]] == value and type(node[path[-1]]) is type(value):
        return None
    if not _set(node, path[-1], value):
        return fault(where, "there is nothing above it in the plan.")
    return None


def _there(node: Any, part: Step) -> bool:
    if isinstance(node, CommentedSeq):
        return isinstance(part, int) and 0 <= part < len(node)
    return isinstance(node, CommentedMap) and part in node and node[part] is not None


def _set(node: Any, part: Step, value: Any) -> bool:
    """Put `value` at `part`; a new key goes where it does not come between a remark and what it is about."""
    if isinstance(node, CommentedSeq) and isinstance(part, int):
        if part < len(node):
            node[part] = value
        elif part == len(node):
            node.append(value)
        else:
            return False
        return True
    if not isinstance(node, CommentedMap) or not isinstance(part, str):
        return False
    last = next(reversed(node), None)
    if part in node or last is None or not isinstance(node[last], CommentedMap | CommentedSeq):
        node[part] = value
    else:
        node.insert(len(node) - 1, part, value)
    return True


def _take_out(tree: CommentedMap, path: list[Step]) -> None:
    node: Any = tree
    for part in path[:-1]:
        if not _there(node, part):
            return
        node = node[part]
    if (isinstance(node, CommentedMap) and path[-1] in node) or _there(node, path[-1]):
        del node[path[-1]]


_PLAIN = re.compile(r"[A-Za-z’'][\w .’'&/()%+-]*")
# A number, or a quantity with its units, which a plan has without quotes: 210 · 0.5 · 300 ft · 9 ft 6 in · 40 lb/week
_NUMBER = r"-?(?:0|[1-9]\d*)(?:\.\d+)?"
_QUANTITY = re.compile(rf"{_NUMBER}|{_NUMBER} ?[A-Za-z%]+(?: {_NUMBER} ?[A-Za-z%]+)*(?:/[A-Za-z]+)?")
_TAKEN = ("yes", "no", "true", "false", "null", "on", "off", "y", "n", "~")


def as_written(text: str) -> str:
    """A text as it stands in the file: plain where that is safe, else in quotes."""
    if _PLAIN.fullmatch(text) and text.lower() not in _TAKEN and text == text.strip():
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ")
    return f'"{escaped}"'


def as_value(said: str) -> str:
    """What was typed as one value of the plan, whatever it was: never a setting beside it."""
    return said if _QUANTITY.fullmatch(said) else as_written(said)
