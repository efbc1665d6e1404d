"""Which definitions of the package a command can reach, read from the source without running it.

A definition is a function, class or constant at the top of a module; a class counts as a whole. A definition reaches
every other whose name stands in it. Code at the top of a module that is no definition belongs to the module itself,
which is reached with any of its definitions.
"""

import ast
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

Place = tuple[str, str]  # module, name; the name is empty for the module's own code


@dataclass
class Module:
    name: str
    imported: dict[str, Place] = field(default_factory=dict)  # by the name it has here
    bodies: dict[str, list[ast.AST]] = field(default_factory=dict)
    commands: dict[str, list[str]] = field(
        default_factory=dict
    )  # of a group of commands, by the group's name


def read(source: Path, package: str) -> dict[str, Module]:
    found = {}
    for path in sorted(source.rglob("*.py")):
        parts = path.relative_to(source).with_suffix("").parts
        name = ".".join((package, *(parts[:-1] if parts[-1] == "__init__" else parts)))
        found[name] = _module(name, ast.parse(path.read_text(encoding="utf-8")), package)
    return found


def _module(name: str, tree: ast.Module, package: str) -> Module:
    made = Module(name)
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(package):
            for alias in node.names:
                made.imported[alias.asname or alias.name] = (node.module or "", alias.name)
    for node in tree.body:
        for label in _labels(node):
            made.bodies.setdefault(label, []).append(node)
        for group in _groups(node):
            made.commands.setdefault(group, []).append(next(_labels(node)))
    return made


def _labels(node: ast.stmt) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef | ast.ClassDef | ast.AsyncFunctionDef):
        yield node.name
    elif isinstance(node, ast.Assign | ast.AnnAssign | ast.AugAssign):
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        names = [leaf.id for target in targets for leaf in ast.walk(target) if isinstance(leaf, ast.Name)]
        yield from names or [""]
    elif not isinstance(node, ast.Import | ast.ImportFrom):
        yield ""


def _groups(node: ast.stmt) -> Iterator[str]:
    """Groups of commands a function registers itself with: @weather.command()."""
    for decorator in getattr(node, "decorator_list", []):
        called = decorator.func if isinstance(decorator, ast.Call) else decorator
        if isinstance(called, ast.Attribute) and called.attr in ("command", "group"):
            yield ast.unparse(called.value)


def reached(modules: dict[str, Module], roots: list[Place]) -> set[Place]:
    """All definitions that `roots` reach, themselves included."""
    seen: set[Place] = set()
    waiting = list(roots)
    while waiting:
        place = waiting.pop()
        place = _resolved(modules, place)
        if place in seen or place[0] not in modules:
            continue
        seen.add(place)
        module = modules[place[0]]
        if place[1]:
            waiting.append((place[0], ""))
        waiting.extend((place[0], name) for name in module.commands.get(place[1], []))
        for body in module.bodies.get(place[1], []):
            waiting.extend(_mentions(modules, module, body))
    return seen


def _resolved(modules: dict[str, Module], place: Place) -> Place:
    """Where a name is defined, through modules that only pass it on."""
    module, name = place
    if f"{module}.{name}" in modules:
        return (f"{module}.{name}", "")
    known = modules.get(module)
    if known is not None and name not in known.bodies and name in known.imported:
        return _resolved(modules, known.imported[name])
    return place


def _mentions(modules: dict[str, Module], module: Module, body: ast.AST) -> Iterator[Place]:
    # What a function imports for itself is its own: many steps have an `answer` of their room's.
    own = {
        alias.asname or alias.name: (node.module or "", alias.name)
        for node in ast.walk(body)
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    imported = module.imported | own
    for node in ast.walk(body):
        if isinstance(node, ast.Name):
            if node.id in module.bodies:
                yield (module.name, node.id)
            elif node.id in imported:
                yield imported[node.id]
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            held = imported.get(node.value.id)
            if held is not None and ".".join(held) in modules:
                yield (".".join(held), node.attr)
        elif isinstance(node, ast.Constant) and node.value in module.bodies:  # a type named in quotes
            yield (module.name, str(node.value))


def lines(modules: dict[str, Module], place: Place) -> int:
    return sum((node.end_lineno or 0) - node.lineno + 1 for node in modules[place[0]].bodies[place[1]])
