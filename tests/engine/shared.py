"""Orchards planned once for a whole run of the tests, by whichever worker needs one first.

Every caller gets a copy of its own, in which all answers are kept: planning it again reads them.
"""

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from engine import small
from filelock import FileLock

from topwire.cli.main import main
from topwire.engine.inputs import read_inputs
from topwire.engine.recall import remember
from topwire.engine.run import plan_orchard


def planned_yard(rooms: pytest.TempPathFactory) -> Path:
    """The small orchard, truly worked out, as it is remembered after its first plan."""
    return _copy(rooms, "planned-yard", _yard)


def planned_fence(rooms: pytest.TempPathFactory) -> Path:
    """The smallest example, planned and written by the command."""
    return _copy(rooms, "planned-fence", _fence)


def _yard(folder: Path) -> None:
    small.make(folder)
    remember(folder, plan_orchard(read_inputs(folder)))


def _fence(folder: Path) -> None:
    for words in (("new", str(folder), "--example", "garden-fence"), ("plan", str(folder))):
        done = CliRunner().invoke(main, words)
        assert done.exit_code == 0, done.output


def _copy(rooms: pytest.TempPathFactory, name: str, make: Callable[[Path], None]) -> Path:
    room = rooms.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:  # each worker's room lies in one of the whole run
        room = room.parent
    whole = room / name
    with FileLock(room / f"{name}.lock"):
        if not whole.exists():
            begun = room / f"{name}-begun"
            shutil.rmtree(begun, ignore_errors=True)
            make(begun)
            begun.rename(whole)
    own = rooms.mktemp(name) / "orchard"
    shutil.copytree(whole, own)
    return own
