"""Fixtures of the trellis tests."""

import pytest
from trellis_support import Yard

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.trellis.holding import ground_of
from topwire.trellis.question import read_stock
from topwire.trellis.search import Wishes


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    return Catalogue(read_tables())


@pytest.fixture(scope="session")
def yard(catalogue: Catalogue) -> Yard:
    stock, _ = read_stock(catalogue, market="us", texture="silt loam")
    return Yard(stock, ground_of(stock.soil, wet=True), Wishes(None, None, 18.0, 0.5))
