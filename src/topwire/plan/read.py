"""Reading the plan file: every fault at once, each with its line, field and remedy."""

from difflib import get_close_matches
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError
from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from topwire.notices import Faults, Notice, fault
from topwire.plan.model import Plan

LARGEST = 1_000_000  # bytes; a plan is a few pages of text


def read_plan(path: Path) -> Plan:
    """The plan in `path`.

    Raises
    ------
    Faults
        When the file is missing, is no YAML or says something that cannot be; all faults together.
    """
    return parse_plan(read_plan_text(path), path.name)


def read_plan_text(path: Path) -> str:
    """The file's text. Raises Faults when it is missing, too large or no text."""
    try:
        if path.stat().st_size > LARGEST:
            raise Faults([fault(path.name, f"is larger than a plan can be ({LARGEST:,} bytes).")])
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        remedy = f"`topwire new {path.parent}` writes a starter plan."
        raise Faults([fault(str(path), "there is no such file.", remedy)]) from None
    except UnicodeDecodeError:
        raise Faults(
            [fault(path.name, "is not a text file in UTF-8.", "Save it as plain text (UTF-8).")]
        ) from None
    except OSError as error:
        raise Faults([fault(str(path), f"cannot be read: {error.strerror}.")]) from None


def parse_plan(text: str, name: str = "plan.yaml") -> Plan:
    """The plan written in `text`; `name` is the file's name in messages. Raises as :func:`read_plan`."""
    tree = parse_yaml(text, name)
    try:
        return Plan.model_validate(_plain(tree))
    except ValidationError as error:
        items = sorted(_worth_saying(error), key=lambda item: line_of(tree, item["loc"]) or 0)
        raise Faults(_fault_of(item, tree, name) for item in items) from None


def parse_yaml(text: str, name: str) -> CommentedMap:
    """The file's tree with line numbers, comments kept.

    Raises
    ------
    Faults
        When it is no YAML mapping.
    """
    reader = YAML()
    reader.allow_duplicate_keys = False
    try:
        tree = reader.load(text)
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
    except (YAMLError, ValueError) as error:
        says = f"this is not YAML: {str(error).splitlines()[0]}."
        raise Faults([fault(name, says, "A plan is a text file; `topwire new` writes one.")]) from None
    if not isinstance(tree, CommentedMap):
        raise Faults([fault(name, "there is no plan in this file.", "`topwire new` writes a starter.")])
    return tree


def line_of(tree: Any, path: tuple[str | int, ...]) -> int | None:
    """Line (from 1) of the deepest part of `path` that stands in the file."""
    line, node = None, tree
    for part in path:
        if isinstance(node, CommentedMap) and part in node:
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


def _plain(node: Any) -> Any:
    """The tree without the reader's own types, which pydantic does not need to know."""
    if isinstance(node, dict):
        return {str(key): _plain(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_plain(value) for value in node]
    if isinstance(node, bool) or node is None:
        return node
    for plain in (int, float, str):
        if isinstance(node, plain):
            return plain(node)
    return node


def _worth_saying(error: ValidationError) -> list[Any]:
    """One entry a place: where a value may be a quantity or “choose”, only the quantity's fault is told."""
    by_place: dict[tuple[str | int, ...], Any] = {}
    for item in error.errors(include_url=False):
        path = tuple(part for part in item["loc"] if not _is_branch(part))
        if path not in by_place or by_place[path]["type"] == "literal_error":
            by_place[path] = item | {"loc": path}
    return list(by_place.values())


def _is_branch(part: str | int) -> bool:
    """True for the labels pydantic adds to tell the branches of a union apart."""
    return isinstance(part, str) and (part in ("float", "int", "str") or "[" in part)


def _fault_of(item: Any, tree: CommentedMap, name: str) -> Notice:
    path: tuple[str | int, ...] = item["loc"]
    where = located(name, tree, path)
    kind, context = item["type"], item.get("ctx", {})
    if kind == "extra_forbidden":
        known = _keys_of(path[:-1])
        near = get_close_matches(str(path[-1]), known, n=1, cutoff=0.5)
        remedy = f"Did you mean “{near[0]}”?" if near else f"Known here: {', '.join(known)}."
        return fault(where, f"there is no setting “{path[-1]}”.", remedy)
    if kind == "missing":
        return fault(where, "this is missing.", _description(path))
    if kind == "value_error":
        return fault(where, _sentence(str(context.get("error", item["msg"]))), "")
    if kind in ("enum", "literal_error"):
        said = item["input"]
        expected = context.get("expected", "")
        near = get_close_matches(
            str(said), [part.strip("' ") for part in expected.replace(" or ", ", ").split(",")], n=1
        )
        remedy = f"Did you mean “{near[0]}”?" if near else f"Write one of: {expected.replace(chr(39), '')}."
        return fault(where, f"“{said}” is not known here.", remedy)
    bounds = {"greater_than_equal": ("ge", "at least"), "greater_than": ("gt", "more than"),
              "less_than_equal": ("le", "at most"), "less_than": ("lt", "less than")}  # fmt: skip
    if kind in bounds:
        key, words = bounds[kind]
        says = f"“{item['input']}” is out of bounds: it has to be {words} {context[key]:g}{_held_unit(item)}."
        return fault(where, says, _description(path))
    expected_kinds = {
        "model_type": "a section with its own lines below it", "list_type": "a list (lines that begin with “- ”)",
        "dict_type": "lines of “name: value”", "float_parsing": "a number", "float_type": "a number",
        "int_parsing": "a whole number", "int_type": "a whole number", "int_from_float": "a whole number",
        "string_type": "text", "bool_parsing": "yes or no (true or false)", "bool_type": "true or false",
        "too_short": "at least one entry", "tuple_type": "two values, [east, north]",
        "string_too_short": "a name", "model_attributes_type": "a section with its own lines below it",
    }  # fmt: skip
    if kind in expected_kinds:
        return fault(where, f"this has to be {expected_kinds[kind]}.", _description(path))
    return fault(where, _sentence(item["msg"]), _description(path))


def _held_unit(item: Any) -> str:
    """Bounds of quantities are held in SI; the remedy names the unit so that “at most 3000” is no riddle."""
    return " in SI units (metres, kilograms, deg C …)" if isinstance(item["input"], str) else ""


def _sentence(text: str) -> str:
    text = text.removeprefix("Value error, ").strip()
    return text if text.endswith((".", "?")) else text + "."


def _dotted(path: tuple[str | int, ...]) -> str:
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else (f".{part}" if text else part)
    return text or "the plan"


def _section_of(path: tuple[str | int, ...]) -> type[BaseModel] | None:
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


def _keys_of(path: tuple[str | int, ...]) -> list[str]:
    section = _section_of(path)
    return [] if section is None else [field.alias or key for key, field in section.model_fields.items()]


def _description(path: tuple[str | int, ...]) -> str:
    field = _field(_section_of(path[:-1]), path[-1]) if path else None
    return f"Wanted: {field.description}." if field is not None and field.description else ""
