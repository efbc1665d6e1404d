"""A plan with some settings changed, for a what-if: “taste.most_cultivars=20”, “kitchen.needs[1].amount=30 kg/week”."""

import re
from collections.abc import Sequence
from typing import Any

from ruamel.yaml.comments import CommentedMap
from ruamel.yaml.error import YAMLError

from topwire.plan.yaml_bounds import hold_bounds
from topwire.plan.yaml_reader import plan_reader
from topwire.values.fault import Faults, FileNotice, fault

OPTION = "--set"
_PART = re.compile(r"([A-Za-z_]\w*)((?:\[\d+\])*)")


def with_settings(tree: CommentedMap, changes: Sequence[str]) -> None:
    """Put changed settings into the tree of a plan, one after the other; what they say is judged with the plan.

    Parameters
    ----------
    changes : each a setting, “=”, and what it would be; entries of lists are counted from 1, as in every message

    Raises
    ------
    Faults
        Where a change is not understood; all together.
    """
    faults = [wrong for change in changes if (wrong := _put(tree, change)) is not None]
    if faults:
        raise Faults(faults)


def _put(tree: CommentedMap, change: str) -> FileNotice | None:
    setting, equals, says = change.partition("=")
    path = path_of(setting.strip())
    if not equals or path is None:
        remedy = f"Write a setting and what it would be: {OPTION} taste.most_cultivars=20."
        return fault(f"{OPTION} “{change[:60]}”", "this is no setting with a value.", remedy)
    try:
        hold_bounds(says, f"{OPTION} {setting}")
        value = plan_reader().load(says)
    except (YAMLError, ValueError, OverflowError):
        return fault(f"{OPTION} {setting}", "the value cannot be read.", "Write it as in the plan file.")
    node: Any = tree
    for at, part in enumerate(path[:-1]):
        following = path[at + 1]
        if isinstance(node, dict) and part not in node and isinstance(following, str):
            node[part] = CommentedMap()
        if not _there(node, part):
            return _nowhere(setting, node, part)
        node = node[part]
    last = path[-1]
    if isinstance(last, int) and not _there(node, last):
        return _nowhere(setting, node, last)
    if not isinstance(node, dict | list):
        return fault(f"{OPTION} {setting}", "there is nothing below a single value.")
    of: Any = node
    of[last] = value
    return None


def path_of(setting: str) -> list[str | int] | None:
    """The keys and list places (from 0) of a setting; None where it is none."""
    path: list[str | int] = []
    for part in setting.split("."):
        read = _PART.fullmatch(part)
        if read is None:
            return None
        path += [read[1], *(int(number) - 1 for number in re.findall(r"\d+", read[2]))]
    return path


def _there(node: Any, part: str | int) -> bool:
    if isinstance(part, int):
        return isinstance(node, list) and 0 <= part < len(node)
    return isinstance(node, dict) and part in node


def _nowhere(setting: str, node: Any, part: str | int) -> FileNotice:
    count = len(node) if isinstance(node, list) else 0
    says = f"there is no entry {part + 1}." if isinstance(part, int) else f"there is no “{part}”."
    remedy = f"The plan's list has {count}, counted from 1." if isinstance(part, int) else ""
    return fault(f"{OPTION} {setting}", says, remedy)
