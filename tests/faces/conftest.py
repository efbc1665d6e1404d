"""One invented orchard for all tests of the faces; drawing its book takes seconds, so it is drawn once."""

from pathlib import Path

import pytest
from faces import invented

from topwire.engine.orchard import Orchard
from topwire.values.units import UnitSystem


@pytest.fixture(scope="session")
def orchard() -> Orchard:
    return invented.orchard()


@pytest.fixture(scope="session")
def metric() -> Orchard:
    return invented.orchard(units=UnitSystem.METRIC)


@pytest.fixture(scope="session")
def out(orchard: Orchard, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Everything written once."""
    from topwire.engine.delivery import deliver
    from topwire.export.files import writers

    folder = tmp_path_factory.mktemp("orchard")
    delivery = deliver(folder, writers(orchard), version="0", plan="p", key="k")
    assert len(delivery.names) == len(writers(orchard))
    return folder / "out"
