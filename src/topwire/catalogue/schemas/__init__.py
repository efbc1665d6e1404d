"""The schema of every table of the catalogue, by name."""

from collections.abc import Mapping

from topwire.catalogue.schema import TableSchema
from topwire.catalogue.schemas import (
    cider,
    kitchen,
    nursery,
    protection,
    seasons,
    trees,
    trellis,
    water,
    work,
    years,
)

SCHEMAS: Mapping[str, TableSchema] = {
    schema.name: schema
    for schema in (
        *trees.TABLES,
        *seasons.TABLES,
        *kitchen.TABLES,
        *cider.TABLES,
        *years.TABLES,
        *nursery.TABLES,
        *trellis.TABLES,
        *water.TABLES,
        *work.TABLES,
        *protection.TABLES,
    )
}
