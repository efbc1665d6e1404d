"""Pages made from the code: options of every command, columns of every table, the JSON, what holds the science up."""

import ast
import json
import textwrap
from collections.abc import Iterable, Iterator
from html import escape
from itertools import groupby
from pathlib import Path
from typing import Any

import click

import topwire
from topwire.checks import all_checks
from topwire.cli import main
from topwire.export.schema import orchard_schema
from topwire.sources import bibliography

ROOMS = {
    "phenology": "Bloom, frost, ripening", "choice": "The choice", "layout": "The ground", "growth": "Crop by leaf",
    "nursery": "The nursery", "trellis": "The trellis", "water": "Water", "soil": "Soil", "protection": "What threatens",
    "cellar": "The cellar", "press": "The press", "ledger": "Hours and money", "learning": "Learning from records", "season": "The season",
}  # fmt: skip
NOT_SCIENCE = {"asked", "question", "findings", "telling", "__init__"}


def pages(planned: Path) -> dict[str, str]:
    """Text of every generated page, by its path. `planned`: an orchard's folder that has a plan."""
    made = {
        "reference/options.md": options(),
        "reference/columns.md": columns(planned),
        "reference/json.md": described_json(),
        "science/checks.md": checks(),
        "science/sources.md": sources(),
    }
    return made | {f"science/code-{room}.md": room_page(room, title) for room, title in ROOMS.items()}


def options() -> str:
    """Every command with its arguments and options, from the commands themselves."""
    lines = [
        "# Options of every command",
        "",
        "Made from the commands. [commands.md](../commands.md) says what each is for.",
        "",
    ]
    for name, command in _commands("topwire", main):
        lines += [f"## {name}", "", textwrap.dedent(command.help or "").strip().replace("\b", ""), ""]
        context = click.Context(command, info_name=name)
        rows = [record for one in command.params if (record := one.get_help_record(context))]
        if rows:
            lines += [
                "| option | what it does |",
                "|---|---|",
                *(f"| `{_cell(one)}` | {_cell(says)} |" for one, says in rows),
                "",
            ]
    return "\n".join(lines)


def _commands(name: str, group: click.Group) -> Iterator[tuple[str, click.Command]]:
    for one, command in sorted(group.commands.items()):
        if isinstance(command, click.Group):
            yield from _commands(f"{name} {one}", command)
        else:
            yield f"{name} {one}", command


def columns(planned: Path) -> str:
    """Every table a plan has, column by column."""
    orchard = topwire.plan_orchard(planned)
    lines = [
        "# Tables of a plan, column by column", "",
        "Names of tables and keys of columns are stable: they are what `topwire.tables` gives, and what the pages name. "
        "Figures are in SI units there; captions are those of this orchard's reader.", "",
    ]  # fmt: skip
    for name, table in sorted(topwire.tables(orchard).items()):
        rows = [(one.key, one.caption, one.quantity or "", one.unit or "") for one in table.columns]
        lines += [
            f"## {name}",
            "",
            f"{table.title}.",
            "",
            *_quick_table(("key", "caption", "measures", "unit"), rows),
        ]
    return "\n".join(lines)


def described_json() -> str:
    """Every kind of thing in orchard.json."""
    schema = json.loads(orchard_schema())
    lines = [
        "# orchard.json",
        "",
        "Made from its schema, `out/orchard.schema.json` (JSON Schema 2020-12). All figures are SI.",
        "",
    ]
    for name, kind in sorted(schema["$defs"].items()):
        fields = kind.get("properties", {})
        if not fields:
            continue
        lines += [f"## {name}", "", _cell(kind.get("description", "").partition("\n")[0]), ""]
        rows = [
            (field, _sort(what), what.get("quantity", ""), what.get("unit", ""))
            for field, what in fields.items()
        ]
        lines += _quick_table(("field", "is", "measures", "unit"), rows)
    return "\n".join(lines)


def _quick_table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> list[str]:
    """A table as it stands in the page: thousands of them as text would take a minute to read."""
    line = "<tr>{}</tr>".format
    cells = (line("".join(f"<td>{escape(str(cell))}</td>" for cell in row)) for row in rows)
    return ["<table>", line("".join(f"<th>{one}</th>" for one in head)), *cells, "</table>", ""]


def _sort(what: dict[str, Any]) -> str:
    if "$ref" in what:
        return str(what["$ref"].rpartition("/")[2])
    if "anyOf" in what:
        return " or ".join(_sort(one) for one in what["anyOf"])
    if what.get("type") == "array":
        inside = what.get("items")
        return f"list of {_sort(inside)}" if isinstance(inside, dict) else "list"
    if "enum" in what:
        return ", ".join(f"“{one}”" for one in what["enum"])
    return str(what.get("type", "anything"))


def checks() -> str:
    """Every figure held against the outside world, with what came out today."""
    found = sorted(all_checks(), key=lambda one: one.department)
    lines = [
        "# What was measured, and how sure", "",
        f"{len(found)} figures of topwire are held against published ones whenever its tests are run; these were computed "
        "while this page was built. The mark says how sure the outside value is: READ, seen in its source; MEMORY, "
        "remembered, not seen again; COMPUTED, worked out apart by a library or an independent solver.", "",
    ]  # fmt: skip
    for department, of in groupby(found, key=lambda one: one.department):
        lines += [
            f"## {department}",
            "",
            "| quantity | source | published | ours | may differ by | mark |",
            "|---|---|---:|---:|---:|---|",
        ]
        lines += [
            f"| {_cell(one.quantity)} | {_cell(one.source)} | {one.published:.5g} | {one.ours():.5g} | {one.tolerance:.3g} | {one.mark} |"
            for one in of
        ]
        lines.append("")
    return "\n".join(lines)


def sources() -> str:
    lines = [
        "# Sources",
        "",
        "Keys are those the checks and the catalogue name.",
        "",
        "| key | source | where in it |",
        "|---|---|---|",
    ]
    lines += [
        f"| {key} | {_cell(one.citation)} | {_cell(one.where)} |"
        for key, one in sorted(bibliography().items())
    ]
    return "\n".join(lines) + "\n"


def room_page(room: str, title: str) -> str:
    """What each public function of a room computes, as its docstring says: units, equations, sources."""
    lines = [f"# {title}: its functions", "", f"Made from `topwire.{room}`.", ""]
    for path in sorted((Path(topwire.__file__).parent / room).glob("*.py")):
        if path.stem in NOT_SCIENCE or path.stem.endswith(("_question", "_findings", "_telling")):
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        shown = [
            one
            for one in tree.body
            if isinstance(one, ast.FunctionDef) and not one.name.startswith("_") and ast.get_docstring(one)
        ]
        if not shown:
            continue
        lines += [f"## {room}.{path.stem}", "", (ast.get_docstring(tree) or "").replace("<", "&lt;"), ""]
        for one in shown:
            called = ", ".join(argument.arg for argument in (*one.args.args, *one.args.kwonlyargs))
            lines += [f"### {one.name}({called})", "", "```text", str(ast.get_docstring(one)), "```", ""]
    return "\n".join(lines)


def _cell(text: object) -> str:
    said = " ".join(str(text).split())
    return said.replace("|", "\\|").replace("<", "&lt;")
