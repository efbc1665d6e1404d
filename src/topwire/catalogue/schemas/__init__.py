"""The schema of every table of the catalogue, by name."""

from collections.abc import Mapping

from topwire.catalogue.schema import TableSchema
from topwire.catalogue.schemas import kitchen, nursery, seasons, trees, trellis, water, work, years

SCHEMAS: Mapping[str, TableSchema] = {
    schema.name: schema
    for module in (trees, seasons, kitchen, years, nursery, trellis, water, work)
    for schema in module.TABLES
}
