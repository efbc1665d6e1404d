"""Eating quality: how long what is eaten fresh has lain in store, by the week it is eaten in."""

import numpy as np

from topwire.choice.scarce import TableAge
from topwire.choice.supply import Supply
from topwire.values.arrays import Floats

CRUMB = 1e-6  # [kg]


def table_age(supply: Supply, fresh: Floats) -> TableAge | None:
    """Age of the table's fruit; None where nothing is eaten fresh.

    Parameters
    ----------
    fresh : (years, cultivars, 52) [kg] served at table
    """
    if fresh.sum() < CRUMB:
        return None
    served = fresh.sum(axis=(0, 1))
    whole = np.maximum(served, CRUMB)
    weeks = (fresh * supply.age()).sum(axis=(0, 1)) / whole
    late = (fresh * supply.past_its_prime()).sum(axis=(0, 1)) / whole
    return TableAge(served / fresh.shape[0], weeks, late)
