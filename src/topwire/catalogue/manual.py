"""The reference of all tables, made from their schemas: `python -m topwire.catalogue.manual` writes docs/tables.md."""

from collections.abc import Iterable
from pathlib import Path

from topwire.catalogue.schema import Sort, TableColumn, TableSchema
from topwire.catalogue.schemas import SCHEMAS

_INTRODUCTION = """# The tables

What topwire knows stands in tables (CSV). A file of the same name in the folder `catalogue` of an orchard
lays its rows over the shipped ones: name the key, and the cells that differ; a new key is a new row. An empty
cell is “not known”, and never zero. Lists are written with | between the items. `topwire check` types every
cell by what stands here, names that refer to another table included. A table has at most 100,000 lines and
5 MB, a cell 2,000 signs.
"""


def manual(schemas: Iterable[TableSchema], introduction: str = _INTRODUCTION) -> str:
    """The reference as Markdown."""
    return introduction + "".join(_table(schema) for schema in schemas)


def _table(schema: TableSchema) -> str:
    head = "| column | what it is | written as | may be empty |\n|---|---|---|---|\n"
    lines = [f"\n## {schema.name}.csv\n\n{schema.says}\n\n{head}"]
    for index, column in enumerate(schema.columns):
        empty = "no" if index == 0 or column.needed else "yes"
        key = " (key)" if index == 0 else ""
        lines.append(
            f"| `{column.name}`{key} | {column.says.replace('|', chr(92) + '|')} | {_written(column)} | {empty} |\n"
        )
    for names in schema.rising:
        lines.append(f"\n{', '.join(names)}: none below the one before it.\n")
    return "".join(lines)


def _written(column: TableColumn) -> str:
    if column.refers:
        many = "names" if column.sort is Sort.LIST else "a name"
        return f"{many} of `{column.refers}.csv`"
    if column.sort is Sort.CHOICE:
        return ", ".join(column.choices)
    bounds = f", {column.bounds}" if column.bounds else ""
    unit = f" {column.unit}" if column.unit else ""
    return f"{column.sort}{bounds}{unit}"


if __name__ == "__main__":
    Path("docs/tables.md").write_text(manual(SCHEMAS.values()), encoding="utf-8")
