"""The manual of the plan file, made from the model itself: `python -m topwire.plan.manual` writes docs/plan.md."""

from datetime import date
from enum import Enum
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from topwire.plan import fields as plan_fields
from topwire.plan.model import Plan
from topwire.values.units import Kind, example

_INTRODUCTION = """# The plan file

`plan.yaml` says what you want, in plain text you can edit in any editor. `topwire new my-orchard` writes a commented
starter; `topwire check my-orchard` tells every fault with its line and what would be right. A line that begins with
`#` is a remark.

Quantities carry their unit: lengths in ft, in, m or cm ("9 ft 6 in"), weights in lb or kg, temperatures in F or C,
speeds in mph or m/s, flows in gpm or m3/h, pressures in psi or kPa. Decimals stand after a point, a comma between
thousands alone (1,200 lb). Days are written "15 Aug". A setting topwire does not know is a fault, never ignored.
"""


def manual() -> str:
    """The whole manual as Markdown."""
    return _INTRODUCTION + "".join(_section("", Plan, "The whole")) + "\n"


def _section(path: str, model: type[BaseModel], title: str) -> list[str]:
    lines = [
        f"\n## {path or title}\n\n| setting | what it is | written as | without it |\n|---|---|---|---|\n"
    ]
    below: list[str] = []
    for name, field in model.model_fields.items():
        key = field.alias or name
        inner = model_in(field.annotation)
        if inner is not None:
            below += _section(f"{path}.{key}" if path else key, inner, key)
        description = field.description or (f"see {path + '.' if path else ''}{key} below" if inner else "")
        lines.append(f"| `{key}` | {description} | {written(field)} | {usual(field)} |\n")
    return lines + below


def model_in(annotation: Any) -> type[BaseModel] | None:
    """The section a field holds, in a list or not; None where it holds a value."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for argument in get_args(annotation):
        found = model_in(argument)
        if found is not None:
            return found
    return None


def written(field: FieldInfo) -> str:
    """How a field is written, in words."""
    return _words(field.annotation, field.metadata)


def _words(annotation: Any, metadata: list[Any]) -> str:
    for kind in Kind:
        alias = getattr(plan_fields, kind.title().replace(" ", ""), None)
        if alias is not None and get_args(alias)[1] in metadata:
            return f"{kind}, “{example(kind)}”"
    if get_origin(annotation) is Literal:
        return " or ".join(str(choice) for choice in get_args(annotation))
    if isinstance(annotation, type) and issubclass(annotation, Enum):
        return ", ".join(str(member.value) for member in annotation)
    if model_in(annotation) is not None:
        return "a list of sections" if get_origin(annotation) is list else "a section"
    if annotation is plan_fields.MonthDay:
        return "day, “15 Aug”"
    if annotation is plan_fields.Amount:
        return "“40 lb/week” or “900 lb/season”"
    plain = {
        date: "date, 2027-03-15",
        bool: "true or false",
        int: "whole number",
        float: "number",
        str: "text",
        type(None): "",
    }
    if annotation in plain:
        return plain[annotation]
    origin, arguments = get_origin(annotation), get_args(annotation)
    if hasattr(annotation, "__metadata__"):
        return _words(arguments[0], list(annotation.__metadata__))
    if origin in (list, tuple):
        return f"[{', '.join(dict.fromkeys(_words(argument, []) for argument in arguments))}, …]"
    if origin is dict:
        return "lines of “name: value”"
    return " or ".join(filter(None, dict.fromkeys(_words(argument, []) for argument in arguments)))


def usual(field: FieldInfo) -> str:
    """What holds where nothing is written."""
    if field.is_required():
        return "needed"
    value = field.get_default(call_default_factory=True)
    if isinstance(value, BaseModel):
        return "as below"
    if value is None or value == [] or value == {}:
        return "none"
    if isinstance(value, bool):
        return str(value).lower()
    unit = _si_unit(field)
    if isinstance(value, list):
        return ", ".join(f"{item:g}{unit}" if isinstance(item, float) else str(item) for item in value)
    return f"{value:g}{unit}" if isinstance(value, float) else str(value)


def _si_unit(field: FieldInfo) -> str:
    units = {
        Kind.LENGTH: " m", Kind.AREA: " m²", Kind.MASS: " kg", Kind.VOLUME: " m³", Kind.TEMPERATURE: " °C",
        Kind.TEMPERATURE_STEP: " °C", Kind.SPEED: " m/s", Kind.FLOW: " m³/s", Kind.PRESSURE: " Pa",
    }  # fmt: skip
    words = written(field)
    return next((unit for kind, unit in units.items() if words.startswith((f"{kind},", f"[{kind},"))), "")


if __name__ == "__main__":
    Path("docs/plan.md").write_text(manual(), encoding="utf-8")
