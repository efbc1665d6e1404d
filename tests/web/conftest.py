"""One furnished folder for the pages that only look; what changes a folder gets its own."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from engine.shared import planned_yard
from web.desk import Browser, Served, browsing, furnished


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return furnished(tmp_path_factory.mktemp("desk") / "orchard")


@pytest.fixture(scope="session")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small orchard, truly worked out; who changes it takes a copy."""
    return planned_yard(tmp_path_factory)


@pytest.fixture(scope="session")
def served(folder: Path) -> Iterator[Served]:
    with Served(folder) as found:
        yield found


@pytest.fixture
def browser(served: Served) -> Iterator[Browser]:
    with Browser(served) as found:
        yield found


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """A furnished folder that a test may change."""
    return furnished(tmp_path / "yard")


@pytest.fixture
def desk(yard: Path) -> Iterator[Browser]:
    with browsing(yard) as found:
        yield found
