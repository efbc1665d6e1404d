"""The small worlds of `worlds`, as fixtures."""

from collections.abc import Callable
from functools import partial

import pytest
from layout import worlds

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Choice
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    return worlds.catalogue()


@pytest.fixture(scope="session")
def make_plan() -> Callable[..., Plan]:
    return worlds.plan


@pytest.fixture(scope="session")
def make_seasons(catalogue: Catalogue) -> Callable[[], PlaceSeasons]:
    return partial(worlds.seasons, catalogue)


@pytest.fixture(scope="session")
def make_choice(catalogue: Catalogue) -> Callable[..., Choice]:
    return partial(worlds.choice, catalogue)
