"""What the trellis is asked: with other trees in the rows mostly the same."""

from dataclasses import replace

import numpy as np
import pytest
from trellis_support import orchard

from topwire.catalogue.model import Catalogue
from topwire.trellis.question import BUILT_STEP, question
from topwire.values.key import key_of


def test_a_few_other_trees_ask_for_the_same_trellis(catalogue: Catalogue) -> None:
    plan, ground, layout, crop = orchard(catalogue, trellis="choose_by: cost")
    asked = question(plan, catalogue, ground, layout, crop)
    built_for = {row.outer: row.crop for row in asked.rows}
    assert len({(row.outer, row.crop) for row in asked.rows}) == len(built_for) == 2
    assert np.allclose(np.array(list(built_for.values())) % BUILT_STEP, 0.0)
    others = replace(layout, cultivar=np.roll(layout.cultivar, 7))
    heavier = replace(crop, full_crop_kg_per_tree=1.005 * crop.full_crop_kg_per_tree)
    for changed in ((others, crop), (layout, heavier), (others, heavier)):
        assert key_of(question(plan, catalogue, ground, *changed)) == key_of(asked)
    twice = replace(crop, full_crop_kg_per_tree=2 * crop.full_crop_kg_per_tree)
    assert key_of(question(plan, catalogue, ground, layout, twice)) != key_of(asked)


def test_no_row_is_built_for_less_than_it_can_bear(catalogue: Catalogue) -> None:
    plan, ground, layout, crop = orchard(catalogue, kg=20.1, trellis="return_period: 50")
    for row in question(plan, catalogue, ground, layout, crop).rows:
        assert 20.1 / 0.9 * 0.8 <= row.crop <= 20.1 / 0.9 + BUILT_STEP
    (gala,) = {
        row.crop
        for row in question(plan, catalogue, ground, replace(layout, cultivar=0 * layout.cultivar), crop).rows
    }
    assert gala == pytest.approx(22.5)  # 22.33 kg on a metre, to the next half kilogram
