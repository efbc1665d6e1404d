"""orchard.json fits its schema, which says what every figure measures."""

import json

import jsonschema

from topwire.engine.orchard import Orchard
from topwire.engine.store import as_json
from topwire.export.schema import orchard_schema
from topwire.values.quantities import kinds_of
from topwire.values.units import Kind


def test_the_invented_orchard_fits(orchard: Orchard) -> None:
    schema = json.loads(orchard_schema())
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(json.loads(as_json(orchard)), schema)


def test_figures_say_what_they_measure() -> None:
    line = json.loads(orchard_schema())["$defs"]["GraftLine"]["properties"]
    assert (line["row_from"]["quantity"], line["row_from"]["unit"]) == ("length", "m")
    assert line["chance"]["quantity"] == "share"


def test_kinds_are_read_through_unions_and_tuples() -> None:
    from topwire.nursery.findings import GraftLine, NurseryFindings

    assert kinds_of(GraftLine)["row_to"] is Kind.LENGTH
    assert str(kinds_of(NurseryFindings)["take_range"]) == "share"
