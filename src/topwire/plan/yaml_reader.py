"""The reader of plan files: comments and lines kept, and what only looks like a date or a number left as text.

“2027-02-30” and “-_” are read as texts, so that the field they stand in tells what is wrong, with its line.
"""

from collections.abc import Callable
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.constructor import RoundTripConstructor


class _LenientConstructor(RoundTripConstructor):
    """Builds what stands in the file, and fails at no date and no number."""


def _or_text(build: Callable[[Any, Any], Any]) -> Callable[[Any, Any], Any]:
    def built(constructor: Any, node: Any) -> Any:
        try:
            return build(constructor, node)
        except (ValueError, IndexError, OverflowError):
            return constructor.construct_scalar(node)

    return built


for _sort, _build in (
    ("timestamp", RoundTripConstructor.construct_yaml_timestamp),
    ("int", RoundTripConstructor.construct_yaml_int),
    ("float", RoundTripConstructor.construct_yaml_float),
):
    _LenientConstructor.add_constructor(f"tag:yaml.org,2002:{_sort}", _or_text(_build))


def plan_reader() -> YAML:
    """A reader of plan files; a setting that stands twice is a fault."""
    yaml = YAML()
    yaml.Constructor = _LenientConstructor
    yaml.allow_duplicate_keys = False
    return yaml
