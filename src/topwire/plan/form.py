"""The plan as a form: every setting with its help, bounds and what stands in the file, from the plan's own schema."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cache
from io import StringIO
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from topwire.plan.manual import model_in, usual, written
from topwire.plan.model import Plan
from topwire.plan.rewritten import as_written, round_trip


@dataclass(frozen=True)
class Setting:
    """One setting.

    Attributes
    ----------
    path : as messages name it, “kitchen.needs[1].amount”
    says : what it is; written : how it is written; usual : what holds without it; all from the schema
    choices : where it is one of a few
    entries : a list of texts or numbers, shown with commas between
    plain : a text, which needs no thought of YAML
    value : as it stands in the file; empty where it does not
    """

    path: str
    name: str
    says: str
    written: str
    usual: str
    needed: bool
    choices: tuple[str, ...]
    entries: bool
    plain: bool
    value: str


@dataclass(frozen=True)
class Part:
    """A section, or an entry of a list of sections.

    Attributes
    ----------
    stands : whether it is in the file
    list_of : path of the list it is an entry of; empty where it is none
    """

    path: str
    name: str
    says: str
    stands: bool
    settings: tuple[Setting, ...] = ()
    parts: tuple["Part", ...] = ()
    list_of: str = ""
    lists: tuple[str, ...] = field(default=())  # lists in it, which an entry can be added to


def sections() -> tuple[str, ...]:
    """Names of the plan's sections, in its order; the first is the whole's own settings."""
    return ("plan", *(name for name, one in Plan.model_fields.items() if model_in(one.annotation)))


def part_of(tree: Mapping[str, Any], section: str) -> Part:
    """A section of the plan whose file reads as `tree`.

    Raises
    ------
    KeyError
        When there is no such section.
    """
    if section == "plan":
        whole = _part(Plan, tree, "", "plan", "")
        return Part("", "plan", "", True, whole.settings)
    model = model_in(Plan.model_fields[section].annotation)
    if model is None:
        raise KeyError(section)
    return _part(model, tree.get(section), section, section, Plan.model_fields[section].description or "")


def _part(model: type[BaseModel], node: Any, path: str, name: str, says: str, list_of: str = "") -> Part:
    held = node if isinstance(node, Mapping) else {}
    settings: list[Setting] = []
    parts: list[Part] = []
    lists: list[str] = []
    for key, one in model.model_fields.items():
        name_ = one.alias or key
        here = f"{path}.{name_}" if path else name_
        inner = model_in(one.annotation)
        value = held.get(name_)
        if inner is None or (not isinstance(value, Mapping | list) and _may_be_text(one)):
            settings.append(_setting(model, key, here, value))
        elif _is_list(one):
            lists.append(here)
            entries = value if isinstance(value, list) else []
            parts += [
                _part(inner, entry, f"{here}[{number}]", f"{name_} {number}", one.description or "", here)
                for number, entry in enumerate(entries, start=1)
            ]
        else:
            parts.append(_part(inner, value, here, name_, one.description or ""))
    return Part(path, name, says, bool(held), tuple(settings), tuple(parts), list_of, tuple(lists))


def _is_list(one: FieldInfo) -> bool:
    return any(get_origin(found) is list for found in _every(one.annotation))


def _may_be_text(one: FieldInfo) -> bool:
    """A section, or one of a few words instead."""
    return any(get_origin(found) is Literal for found in _every(one.annotation))


def _every(annotation: Any) -> Iterator[Any]:
    yield annotation
    for argument in get_args(annotation):
        yield from _every(argument)


def _setting(model: type[BaseModel], key: str, path: str, value: Any) -> Setting:
    return replace(_blank(model, key), path=path, value=_text(value))


@cache
def _blank(model: type[BaseModel], key: str) -> Setting:
    """What the schema says of a setting; the same in every plan."""
    one = model.model_fields[key]
    kinds = list(_every(one.annotation))
    return Setting(
        "", one.alias or key, one.description or "", written(one), usual(one), one.is_required(),
        _choices(one.annotation), [get_origin(found) in (list, tuple) for found in kinds].count(True) == 1,
        _is_text(one.annotation), "",
    )  # fmt: skip


def _choices(annotation: Any) -> tuple[str, ...]:
    """The words it can be, where it can be nothing else."""
    if isinstance(annotation, type) and issubclass(annotation, Enum):
        return tuple(str(member.value) for member in annotation)
    if annotation is bool:
        return ("true", "false")
    if get_origin(annotation) is Literal:
        return tuple(str(choice) for choice in get_args(annotation))
    arguments = [found for found in get_args(annotation) if found is not type(None)]
    if get_origin(annotation) in (list, dict, tuple) or not arguments or hasattr(annotation, "__metadata__"):
        return ()
    parts = [_choices(found) for found in arguments if model_in(found) is None]
    return tuple(word for part in parts for word in part) if all(parts) else ()


def _is_text(annotation: Any) -> bool:
    found = [one for one in get_args(annotation) if one is not type(None)] or [annotation]
    return found == [str]


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list) and all(isinstance(item, str | int | float) for item in value):
        return ", ".join(str(item) for item in value)
    if isinstance(value, Mapping | list):
        stream, yaml = StringIO(), round_trip()
        yaml.default_flow_style = True
        yaml.dump(_bare(value), stream)
        return stream.getvalue().strip()
    return str(value)


def _bare(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {str(key): _bare(inner) for key, inner in value.items()}
    return [_bare(inner) for inner in value] if isinstance(value, list) else value


def in_file(setting: Setting, said: str) -> str | None:
    """What a person wrote into a form's field, as it stands in the file; None where it is taken out."""
    said = said.strip()
    if not said:
        return "[]" if setting.entries and setting.value else None
    if setting.entries and not said.startswith("["):
        return f"[{', '.join(_entry(part) for part in said.split(',') if part.strip())}]"
    return as_written(said) if setting.plain else said


def _entry(part: str) -> str:
    part = part.strip()
    return part if part[:1] in "\"'" or part.replace(".", "").isdigit() else as_written(part)


def every_setting(part: Part) -> Iterator[Setting]:
    """All settings of a section, those of its parts too."""
    yield from part.settings
    for inner in part.parts:
        yield from every_setting(inner)
