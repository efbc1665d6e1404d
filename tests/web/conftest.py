"""One furnished folder for the pages that only look; what changes a folder gets its own."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from web.desk import Browser, Served, furnished


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return furnished(tmp_path_factory.mktemp("desk") / "orchard")


@pytest.fixture(scope="session")
def served(folder: Path) -> Iterator[Served]:
    with Served(folder) as found:
        yield found


@pytest.fixture
def browser(served: Served) -> Iterator[Browser]:
    with Browser(served) as found:
        yield found
