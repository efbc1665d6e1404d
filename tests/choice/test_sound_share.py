"""Sound fruit: what disease and heat take, frost left aside, since the crop by leaf has thinned for it already."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from engine import small

from topwire.choice.answer import sound_share
from topwire.choice.asked import ChoiceQuestion
from topwire.engine.inputs import read_inputs
from topwire.engine.run import plan_orchard


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> ChoiceQuestion:
    folder: Path = small.make(tmp_path_factory.mktemp("sound") / "yard")
    questions: dict[str, object] = {}
    plan_orchard(read_inputs(folder), until="choice", questions=questions)
    question = questions["choice"]
    assert isinstance(question, ChoiceQuestion)
    return question


def test_of_one_cultivar_it_is_what_disease_and_heat_leave(asked: ChoiceQuestion) -> None:
    names = [row.name for row in asked.supply.cultivars]
    for at, name in enumerate(names):
        trees = np.zeros(len(names), dtype=np.int64)
        trees[at] = 7
        fit = (1 - asked.disease[name].crop_lost) * (1 - asked.heat.get(name, 0.0))
        assert sound_share(asked, asked.supply, trees) == pytest.approx(fit)


def test_of_two_it_is_weighed_by_what_they_bear_and_frost_changes_nothing(asked: ChoiceQuestion) -> None:
    trees = np.zeros(len(asked.supply.cultivars), dtype=np.int64)
    trees[:2] = 3, 9
    each = [sound_share(asked, asked.supply, np.where(np.arange(trees.size) == at, 1, 0)) for at in (0, 1)]
    borne = asked.supply.ordinary[:2] * trees[:2]
    whole = sound_share(asked, asked.supply, trees)
    assert whole == pytest.approx(float(borne @ each) / float(borne.sum()))
    frosted = replace(asked.supply, crop=asked.supply.crop * 0.3)
    assert sound_share(asked, frosted, trees) == whole
