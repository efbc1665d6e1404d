"""Nothing stands that no command reaches; no check proves code that plans do not use."""

from functools import cache
from pathlib import Path

from architecture.reach import Module, Place, reached, read

import topwire

SOURCE = Path(topwire.__file__).parent
MAIN = "topwire.cli.main"
CHECKS = "topwire.checks"
# Reached in ways a reader of the source does not see.
BESIDE = {
    "topwire": {"__version__", "read", "check", "plan_orchard", "tables"},  # the interface for other programs
    "topwire.catalogue.manual": None,  # python -m topwire.catalogue.manual writes docs/tables.md
    "topwire.records.manual": None,  # python -m topwire.records.manual writes docs/records.md
    "topwire.records.form": {"from_plain"},  # what the page and the phone send
    "topwire.records.migrations.versions.entries_1": None,  # loaded by alembic from their folder
    "topwire.records.migrations.versions.entries_2": None,
    "topwire.plan.manual": None,  # python -m topwire.plan.manual writes docs/plan.md
}


@cache
def modules() -> dict[str, Module]:
    return read(SOURCE, "topwire")


def _commands(*, with_checks: bool) -> set[Place]:
    main = modules()[MAIN]
    roots = [(MAIN, name) for name in main.bodies if with_checks or name != "sources"]
    roots += [(module, name) for module in BESIDE if module in modules() for name in modules()[module].bodies]
    if with_checks:
        roots += [
            (name, body)
            for name, module in modules().items()
            if name.startswith(CHECKS)
            for body in module.bodies
        ]
    return reached(modules(), roots)


def _told(places: set[Place]) -> str:
    return "\n".join(sorted(f"{module}: {name}" for module, name in places))


def test_everything_is_reached_from_a_command() -> None:
    found = _commands(with_checks=True)
    every = {(name, body) for name, module in modules().items() for body in module.bodies if body}
    every = {place for place in every if not place[1].startswith("__")}
    idle = every - found
    assert not idle, _told(idle)


def test_checks_prove_code_that_plans_use() -> None:
    used = _commands(with_checks=False)
    proven = _commands(with_checks=True)
    only_proven = {place for place in proven - used if not place[0].startswith(CHECKS) and place[1]}
    only_proven = {place for place in only_proven if place not in _sources_command()}
    assert not only_proven, _told(only_proven)


def _sources_command() -> set[Place]:
    """What the command that lists sources and checks needs for itself."""
    return {
        place
        for place in reached(modules(), [(MAIN, "sources")])
        if place[0].startswith(("topwire.cli", "topwire.sources"))
    }
