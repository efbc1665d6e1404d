"""The schema of orchard.json (JSON Schema 2020-12), with what every figure measures."""

import json
from dataclasses import is_dataclass
from typing import Any, get_args, get_type_hints

from topwire.engine.orchard import Orchard
from topwire.engine.store import adapter
from topwire.show.plain import si_unit
from topwire.values.quantities import kinds_of


def orchard_schema() -> str:
    """Every class of the result; beside each figure's type its `quantity` and, where it has one, its SI `unit`."""
    schema = adapter(Orchard).json_schema(mode="serialization")
    for name, result in classes_of(Orchard).items():
        properties = (
            schema.get("$defs", {}).get(name, schema if result is Orchard else {}).get("properties", {})
        )
        for field, quantity in kinds_of(result).items():
            if field in properties:
                unit = si_unit(quantity)
                properties[field] |= {"quantity": str(quantity)} | ({"unit": unit} if unit else {})
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    return json.dumps(schema, indent=1, ensure_ascii=False)


def classes_of(result: Any) -> dict[str, type[object]]:
    """Every dataclass that a result holds, by name."""
    found: dict[str, type[object]] = {}
    waiting = [result]
    while waiting:
        hint = waiting.pop()
        if isinstance(hint, type) and is_dataclass(hint):
            if hint.__name__ not in found:
                found[hint.__name__] = hint
                waiting.extend(get_type_hints(hint, include_extras=True).values())
        else:
            waiting.extend(get_args(hint))
    return found
