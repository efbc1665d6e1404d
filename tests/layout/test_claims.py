"""Pollen as claimed, on drawn orchards of every shape: each tree's reckoned anew, whatever the search came to.

Six orchards here; TOPWIRE_ORCHARDS=30 by hand.
"""

import os

import numpy as np
import pytest
from layout import worlds
from layout.claims import reckoned

from topwire.layout import answer
from topwire.layout.search import Stage

ORCHARDS = int(os.environ.get("TOPWIRE_ORCHARDS", "6"))
LOOKED_AT = 40  # trees of an orchard


@pytest.mark.parametrize("seed", range(ORCHARDS))
def test_pollen_is_as_claimed(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    # a short search: what is claimed of a planting has to be true of a poor one too
    monkeypatch.setattr(answer, "STAGES", (Stage(2, 60, 0.3, 0.05),))
    for name in ("REPAIR", "TIDY"):
        monkeypatch.setattr(answer, name, Stage(1, 60, 0.3, 0.05))
    random = np.random.default_rng((seed, 20))
    blocks = []
    for number in range(int(random.integers(1, 4))):
        count = int(random.integers(5, 9))
        turns = (np.arange(count) + random.uniform(0, 0.8, count)) * 2 * np.pi / count
        away = random.uniform(24, 46, turns.size)
        corners = np.stack([away * np.cos(turns) + 110 * number, away * np.sin(turns)], axis=1)
        blocks.append(
            {
                "name": f"Block {number + 1}",
                "corners": [[f"{x:.2f} m", f"{y:.2f} m"] for x, y in corners],
                "row_bearing": float(np.round(random.uniform(0, 359), 1)),
                "tree_spacing": f"{random.uniform(0.8, 2.5):.2f} m",
                "row_spacing": f"{random.uniform(3.2, 4.5):.2f} m",
                "slope": f"{random.uniform(0, 9):.1f} %",
                "slope_bearing": float(np.round(random.uniform(0, 359), 1)),
            }
        )
    known = worlds.catalogue()
    plan = worlds.plan(blocks, ground={"headland": "5 m"})
    ground = worlds.survey(plan, known)
    names = worlds.overlapping_names(known, 24)
    taken = [names[at] for at in random.choice(len(names), int(random.integers(7, 13)), replace=False)]
    share = random.dirichlet(np.full(len(taken), 2.0)) * ground.capacity * random.uniform(0.7, 1.0)
    trees = {name: max(5, int(count)) for name, count in zip(taken, share, strict=True)}
    seasons = worlds.seasons(known)
    layout = worlds.laid_out(plan, known, seasons, ground, worlds.choice(known, trees))
    there = np.flatnonzero(layout.cultivar >= 0)
    looked = sorted(random.choice(there, min(LOOKED_AT, there.size), replace=False).tolist())
    again = reckoned(ground, layout, seasons, known, looked)
    for tree, said in zip(looked, again, strict=True):
        assert layout.pollen[tree] == pytest.approx(said.pollen, rel=0.005, abs=0.002), ground.address(tree)
        assert layout.donors_in_reach[tree] == said.donors, ground.address(tree)
