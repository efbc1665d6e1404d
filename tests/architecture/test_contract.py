"""Question, Findings, telling, Sheets: who may see what, and that nothing below the telling speaks."""

import ast
from collections import defaultdict
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest
from engine.shared import planned_yard

import topwire
from topwire.engine.inputs import read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.export.schema import classes_of
from topwire.values.quantities import kinds_of

SOURCE = Path(topwire.__file__).parent
DEPARTMENTS = (
    "phenology",
    "learning",
    "choice",
    "layout",
    "growth",
    "nursery",
    "trellis",
    "water",
    "protection",
    "ledger",
)
MODULES = sorted(SOURCE.rglob("*.py"))
# Texts a room may hand on: the catalogue's own remarks, names of goods and of what the grower named.
DATA = {
    "remarks", "union_remarks", "item", "name", "cultivar", "cultivars", "citation", "trial", "condition", "action",
    "post", "wire", "anchor", "strut", "post_needed",
    "emitter", "line",
}  # fmt: skip
TABLE_TEXTS = ("ledger.works.",)  # what work_calendar.csv says, in its own words


def _imports(path: Path) -> set[str]:
    """Modules of ours that a module imports when it is loaded; what stands under TYPE_CHECKING does not count."""
    found: set[str] = set()

    def walk(nodes: list[ast.stmt]) -> None:
        for node in nodes:
            if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
                continue
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("topwire"):
                found.add(node.module or "")
                found.update(f"{node.module}.{alias.name}" for alias in node.names)
            elif isinstance(node, ast.If | ast.Try):
                walk(node.body)

    walk(ast.parse(path.read_text(encoding="utf-8")).body)
    return found


def _name(path: Path) -> str:
    parts = path.relative_to(SOURCE).with_suffix("").parts
    return ".".join(("topwire", *(parts[:-1] if parts[-1] == "__init__" else parts)))


@pytest.mark.parametrize("room", DEPARTMENTS)
def test_only_the_question_sees_plan_and_catalogue(room: str) -> None:
    seen = []
    for path in sorted((SOURCE / room).rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(
                ("topwire.plan", "topwire.catalogue")
            ):
                seen.append((path.name, node.module))
    assert [name for name, _ in seen if name != "question.py" and not name.endswith("_question.py")] == [], (
        seen
    )


@pytest.mark.parametrize("room", DEPARTMENTS)
def test_a_room_knows_no_reader(room: str) -> None:
    """The reader's units and words stand in tell and show alone."""
    for path in sorted((SOURCE / room).rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom):
                names = {alias.name for alias in node.names}
                assert not names & {"UnitSystem", "shown", "feet_and_inches", "printed"}, path.name


def test_no_class_has_two_meanings() -> None:
    where = defaultdict(list)
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                where[node.name].append(_name(path))
    twice = {name: places for name, places in where.items() if len(places) > 1}
    assert not twice, twice


def test_no_module_imports_itself_by_a_detour() -> None:
    known = {_name(path): _imports(path) for path in MODULES}
    graph = {
        name: {other for other in imports if other in known and other != name}
        for name, imports in known.items()
    }
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " -> ".join((*trail[trail.index(name) :], name))
        if name not in done:
            for other in sorted(graph[name]):
                visit(other, (*trail, name))
            done.add(name)

    for name in sorted(graph):
        visit(name, ())


@pytest.fixture(scope="module")
def orchard(tmp_path_factory: pytest.TempPathFactory) -> Orchard:
    return plan_orchard(read_inputs(planned_yard(tmp_path_factory)))


def test_findings_hold_no_sentence(orchard: Orchard) -> None:
    found = [said for name, result in orchard.departments.items() for said in _sentences(result, name)]
    assert not found, "\n".join(sorted(set(found))[:40])


def _sentences(value: Any, where: str) -> list[str]:
    if isinstance(value, str):
        data = where.rpartition(".")[2] in DATA or where.startswith(TABLE_TEXTS)
        return [f"{where}: {value}"] if len(value.split()) > 4 and not data else []
    if is_dataclass(value):
        return [
            said
            for field in fields(value)
            for said in _sentences(getattr(value, field.name), f"{where}.{field.name}")
        ]
    if isinstance(value, dict):
        named = all(isinstance(key, str) and key.isidentifier() for key in value)  # as a notice's facts are
        return [
            said
            for key, inner in value.items()
            for said in _sentences(key, where) + _sentences(inner, f"{where}.{key}" if named else where)
        ]
    if isinstance(value, tuple | list):
        return [said for inner in value for said in _sentences(inner, where)]
    return []


def test_figures_of_results_say_what_they_measure(orchard: Orchard) -> None:
    """Of a department's figures at least nine in ten; the rest are ratios and rates that have no kind."""
    for name, result in orchard.departments.items():
        figures = [
            (f"{holder.__name__}.{field.name}", field.name in kinds_of(holder))
            for holder in _classes(type(result))
            for field in fields(holder)
            if "float" in str(field.type) or "Floats" in str(field.type) or field.name in kinds_of(holder)
        ]
        bare = [field for field, said in figures if not said]
        assert len(bare) <= 0.1 * len(figures), f"{name}: {bare}"


def _classes(holder: type[Any]) -> list[type[Any]]:
    return [found for found in classes_of(holder).values() if found.__module__.endswith("findings")]
