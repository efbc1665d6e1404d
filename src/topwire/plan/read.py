"""Reading the plan file: every fault at once, each with its line, field and remedy."""

import re
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from topwire.files.own_file import own_text
from topwire.files.plain_text import unprintable
from topwire.plan.model import Plan
from topwire.plan.yaml_bounds import hold_bounds
from topwire.plan.yaml_reader import plan_reader
from topwire.values.fault import Faults, FileNotice, fault
from topwire.values.figures import with_point
from topwire.values.units import Kind, bound_in, unit_in

LARGEST = 60_000  # bytes; a plan is a few pages of text
_SAID = 60  # signs of a value repeated in a message


def read_plan_text(path: Path) -> str:
    """The file's text. Raises Faults when it is missing, too large or no text."""
    try:
        there = path.exists()
    except (OSError, ValueError):
        there = False
    if not there:
        remedy = f"`topwire new {path.parent}` writes a starter plan."
        raise Faults([fault(str(path), "there is no such file.", remedy)])
    return own_text(path, path.name, path.name, LARGEST, "Save it as plain text (UTF-8).")


def parse_plan(text: str, name: str = "plan.yaml", tree: CommentedMap | None = None) -> Plan:
    """The plan written in `text`; `name` is the file's name in messages, `tree` the text where it is parsed already.

    Raises
    ------
    Faults
        When it is no YAML or says something that cannot be; all faults together.
    """
    tree = parse_yaml(text, name) if tree is None else tree
    faults = _unprintable(tree, tree, name, ())
    try:
        plan = Plan.model_validate(_plain(tree, ()))
    except ValidationError as error:
        items = sorted(_worth_saying(error, tree), key=lambda item: line_of(tree, item["loc"]) or 0)
        faults += [_fault_of(item, tree, name) for item in items]
    if faults:
        raise Faults(faults)
    return plan


def _unprintable(node: Any, tree: Any, name: str, path: tuple[str | int, ...]) -> list[FileNotice]:
    """Texts no page can print, keys and values, each with its line and field."""
    found = []
    if isinstance(node, dict):
        for key, value in node.items():
            wrong = unprintable(str(key))
            if wrong:
                found.append(fault(located(name, tree, path), f"the name of a setting holds {wrong}."))
            else:
                found += _unprintable(value, tree, name, (*path, key))
    elif isinstance(node, list):
        for index, value in enumerate(node):
            found += _unprintable(value, tree, name, (*path, index))
    elif isinstance(node, str):
        wrong = unprintable(node)
        if wrong:
            found.append(fault(located(name, tree, path), f"the text holds {wrong}.", "Type it anew."))
    return found


def parse_yaml(text: str, name: str) -> CommentedMap:
    """The file's tree with line numbers, comments kept.

    Raises
    ------
    Faults
        When it is no YAML mapping.
    """
    try:
        hold_bounds(text, name)
        tree = plan_reader().load(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = f", line {mark.line + 1}" if mark is not None else ""
        said = (error.problem or "it cannot be read").split("\n")[0]
        if "duplicate key" in said:
            says, remedy = (
                f"the {said.split(' with value')[0].replace('found ', '')} stands twice.",
                "Keep one of them.",
            )
        else:
            says = f"this is not YAML: {said}."
            remedy = "Look for a missing colon or quote, a tab, or a line indented differently from its neighbours."
        raise Faults([fault(f"{name}{line}", says, remedy)]) from None
    except (YAMLError, ValueError, OverflowError) as error:  # “\UFFFFFFFF”: no character has that number
        says = f"this is not YAML: {' '.join(str(error).split())[:120]}."
        raise Faults([fault(name, says, "A plan is a text file; `topwire new` writes one.")]) from None
    if not isinstance(tree, CommentedMap):
        raise Faults([fault(name, "there is no plan in this file.", "`topwire new` writes a starter.")])
    return tree


def line_of(tree: Any, path: tuple[str | int, ...]) -> int | None:
    """Line (from 1) of the deepest part of `path` that stands in the file."""
    line, node = None, tree
    for part in path:
        if isinstance(node, CommentedMap) and part in node:
            if part not in (node.lc.data or {}):  # put in for a what-if: it stands on no line
                break
            line = node.lc.key(part)[0] + 1
        elif isinstance(node, CommentedSeq) and isinstance(part, int) and part < len(node):
            line = node.lc.item(part)[0] + 1
        else:
            break
        node = node[part]
    return line


def located(name: str, tree: Any, path: tuple[str | int, ...]) -> str:
    """ "plan.yaml, line 12, place.latitude"."""
    line = line_of(tree, path)
    return f"{name}{f', line {line}' if line else ''}, {_dotted(path)}"


class _Truth:
    """“true” or “false” where the plan wants neither: pydantic would take it for the number 1 or 0."""

    def __init__(self, said: bool) -> None:
        self._said = said

    def __str__(self) -> str:
        return str(self._said).lower()

    __repr__ = __str__


def _plain(node: Any, path: tuple[str | int, ...]) -> Any:
    """The tree without the reader's own types, which pydantic does not need to know."""
    if isinstance(node, dict):
        return {_text(str(key)): _plain(value, (*path, str(key))) for key, value in node.items()}
    if isinstance(node, list):
        return [_plain(value, (*path, index)) for index, value in enumerate(node)]
    if isinstance(node, bool):
        return node if _may_be_true(path) else _Truth(node)
    for plain in (int, float):
        if isinstance(node, plain):
            return plain(node)
    return _text(str(node)) if isinstance(node, str) else node


def _text(said: str) -> str:
    """Without halves of characters, which _unprintable tells and pydantic cannot hold."""
    return said.encode("utf-8", "replace").decode()


def _may_be_true(path: tuple[str | int, ...]) -> bool:
    field = _field(section_of(path[:-1]), path[-1])
    return field is not None and bool in _inner(field.annotation)


def _worth_saying(error: ValidationError, tree: Any) -> list[Any]:
    """One entry a place: where a value may be a quantity or “choose”, only the quantity's fault is told; where it may
    be a section or a word, only what is wrong in the section.
    """
    by_place: dict[tuple[str | int, ...], Any] = {}
    for item in error.errors(include_url=False):
        path = _without_branches(item["loc"], tree)
        if item["type"] == "missing" and isinstance(path[-1], int):  # a value of several that stand together
            path = path[:-1]
            item["type"], item["ctx"] = "too_short", {"field_type": "Tuple", "max_length": _values_at(path)}
        if path not in by_place or by_place[path]["type"] == "literal_error":
            by_place[path] = item | {"loc": path}
    below = {path[:length] for path in by_place for length in range(len(path))}
    return [item for path, item in by_place.items() if item["type"] != "literal_error" or path not in below]


def _without_branches(loc: tuple[str | int, ...], tree: Any) -> tuple[str | int, ...]:
    """A place without the labels pydantic adds to tell the branches of a union apart; what the file says stays."""
    path: list[str | int] = []
    node = tree
    for part in loc:
        held = isinstance(node, dict) and (part in node or part in [str(key) for key in node])
        if not held and isinstance(part, str) and (part in ("float", "int", "str") or "[" in part):
            continue
        path.append(part)
        if isinstance(node, dict):
            node = node.get(part)
        elif isinstance(node, list) and isinstance(part, int) and part < len(node):
            node = node[part]
    return tuple(path)


def _fault_of(item: Any, tree: CommentedMap, name: str) -> FileNotice:
    path: tuple[str | int, ...] = item["loc"]
    where = located(name, tree, path)
    kind, context = item["type"], item.get("ctx", {})
    if kind == "extra_forbidden":
        parted = _parted_by_comma(tree, path)
        if parted:
            return fault(where, f"a comma parts settings here, and “{_short(path[-1])}” is none.", parted)
        known = _keys_of(path[:-1])
        near = get_close_matches(_short(path[-1]), known, n=1, cutoff=0.5)
        remedy = f"Did you mean “{near[0]}”?" if near else f"Known here: {', '.join(known)}."
        return fault(where, f"there is no setting “{_short(path[-1])}”.", remedy)
    if kind == "missing":
        return fault(where, "this is missing.", _description(path))
    if kind == "value_error":
        return fault(where, _sentence(str(context.get("error", item["msg"]))), "")
    if kind in ("enum", "literal_error"):
        said = item["input"]
        expected = context.get("expected", "")
        near = get_close_matches(
            _short(said), [part.strip("' ") for part in expected.replace(" or ", ", ").split(",")], n=1
        )
        remedy = f"Did you mean “{near[0]}”?" if near else f"Write one of: {expected.replace(chr(39), '')}."
        return fault(where, f"“{_short(said)}” is not known here.", remedy)
    bounds = {"greater_than_equal": ("ge", "at least"), "greater_than": ("gt", "more than"),
              "less_than_equal": ("le", "at most"), "less_than": ("lt", "less than")}  # fmt: skip
    if kind in bounds:
        key, words = bounds[kind]
        said = _at(tree, path, item["input"])
        bound = _bound(context[key], said, _kind(path), most=key in ("le", "lt"))
        says = f"“{_short(said)}” is out of bounds: it has to be {words} {bound}."
        return fault(where, says, _description(path))
    if kind in ("too_short", "too_long"):
        return fault(where, _count_fault(item, len(_at(tree, path, ()))), _description(path))
    if kind == "string_too_long":
        says = f"this text has {len(item['input'])} signs; here it may have {context['max_length']}."
        return fault(where, says, _description(path))
    expected_kinds = {
        "model_type": "a section with its own lines below it", "list_type": "a list (lines that begin with “- ”)",
        "dict_type": "lines of “name: value”", "float_parsing": "a number", "float_type": "a number",
        "int_parsing": "a whole number", "int_type": "a whole number", "int_from_float": "a whole number",
        "string_type": "text", "bool_parsing": "yes or no (true or false)", "bool_type": "true or false",
        "tuple_type": "a list of values in brackets",
        "string_too_short": "a name", "finite_number": "a finite number",
        "string_pattern_mismatch": "three capital letters, as in USD",
        "model_attributes_type": "a section with its own lines below it",
    }  # fmt: skip
    if kind in expected_kinds:
        number = {"float_parsing": r"[-+]?\d+(\.\d+)?", "int_parsing": r"[-+]?\d+"}.get(kind)
        pointed = with_point(str(item["input"]))
        remedy = f"Write {pointed}." if number and re.fullmatch(number, pointed) else _description(path)
        return fault(where, f"this has to be {expected_kinds[kind]}.", remedy)
    return fault(where, _sentence(item["msg"]), _description(path))


def _parted_by_comma(tree: Any, path: tuple[str | int, ...]) -> str:
    """What to write where a comma within a figure has ended it, “{length: 29,5 m}”; else nothing."""
    *above, key = path
    part = _at(tree, tuple(above), None)
    names = [str(name) for name in part] if isinstance(part, dict) else []
    before = names.index(str(key)) - 1 if str(key) in names else -1
    if before < 0 or not str(key)[:1].isdigit() or part[list(part)[before + 1]] is not None:
        return ""
    figure = str(part[list(part)[before]])
    return (
        f"Write {names[before]}: {with_point(f'{figure},{key}')}." if re.fullmatch(r"-?\d+", figure) else ""
    )


def _short(said: Any) -> str:
    text = str(said)
    return text if len(text) <= _SAID else text[:_SAID] + "…"


def _at(tree: Any, path: tuple[str | int, ...], otherwise: Any) -> Any:
    """What stands at `path` as it is written; a quantity is converted by the time its bound is looked at."""
    for part in path:
        try:
            tree = tree[part]
        except (KeyError, IndexError, TypeError):
            return otherwise
    return tree


def _bound(bound: float, said: Any, kind: Kind | None, *, most: bool) -> str:
    """A bound in the unit of what was said; those of quantities are held in SI."""
    if kind is None or not isinstance(said, str):
        return f"{bound:.10g}"
    return bound_in(bound, unit_in(said, kind), kind, most=most)


def _values_at(path: tuple[str | int, ...]) -> int:
    """How many values stand together at `path`: two in [east, north]."""
    field = _named_field(path)
    kinds = [] if field is None else _inner(field.annotation)
    return next((len(inner.__args__) for inner in kinds if getattr(inner, "__origin__", None) is tuple), 0)


def _kind(path: tuple[str | int, ...]) -> Kind | None:
    """What the field at `path` measures; None where it is no quantity."""
    field = _named_field(path)
    if field is None:
        return None
    marks = [mark for inner in _inner(field.annotation) for mark in getattr(inner, "__metadata__", ())]
    return next((mark for mark in [*field.metadata, *marks] if isinstance(mark, Kind)), None)


def _count_fault(item: Any, there: int) -> str:
    """How many entries a list has and how many it takes; how many values stand together, as [east, north]."""
    context = item["ctx"]
    if context["field_type"] == "Tuple":
        return f"this has {there} value{'' if there == 1 else 's'}; it takes {context['max_length']}."
    has = f"{there or 'no'} {'entry' if there == 1 else 'entries'}"
    least = item["type"] == "too_short"
    bound = f"least {context['min_length']}" if least else f"most {context['max_length']}"
    return f"this has {has}; it takes at {bound}."


def _sentence(text: str) -> str:
    text = text.removeprefix("Value error, ").strip()
    return text if text.endswith((".", "?")) else text + "."


def _dotted(path: tuple[str | int, ...]) -> str:
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else (f".{_short(part)}" if text else _short(part))
    return text or "the plan"


def section_of(path: tuple[str | int, ...]) -> type[BaseModel] | None:
    """The section's model at `path`, following lists and optional fields."""
    model: Any = Plan
    for part in path:
        if isinstance(part, int):
            continue
        field = _field(model, part)
        if field is None:
            return None
        model = next((inner for inner in _inner(field.annotation) if _is_section(inner)), None)
        if model is None:
            return None
    return model  # type: ignore[no-any-return]


def _is_section(candidate: Any) -> bool:
    return isinstance(candidate, type) and issubclass(candidate, BaseModel)


def _inner(annotation: Any) -> list[Any]:
    arguments = getattr(annotation, "__args__", ())
    return [annotation, *(deep for argument in arguments for deep in _inner(argument))]


def _field(model: Any, name: str | int) -> Any:
    if model is None:
        return None
    for key, field in model.model_fields.items():
        if name in (key, field.alias):
            return field
    return None


def _named_field(path: tuple[str | int, ...]) -> Any:
    """The setting at `path`, or the one whose entries stand there."""
    while path:
        section = section_of(path[:-1]) if isinstance(path[-1], str) else None
        if section is not None:
            return _field(section, path[-1])
        path = path[:-1]
    return None


def _keys_of(path: tuple[str | int, ...]) -> list[str]:
    section = section_of(path)
    return [] if section is None else [field.alias or key for key, field in section.model_fields.items()]


def _description(path: tuple[str | int, ...]) -> str:
    field = _named_field(path)
    return f"Wanted: {field.description}." if field is not None and field.description else ""
