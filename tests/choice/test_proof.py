"""The proof is the same whether what can be done ahead of it was done, and is kept, or not."""

import pickle
from dataclasses import replace

import numpy as np
import pytest
from choice.test_what_if import asked as small

from topwire.choice.asked import ChoiceQuestion
from topwire.choice.findings import Rivalry
from topwire.choice.learnt import Settled
from topwire.choice.proof import Plainer, prepare, prove
from topwire.choice.search import find


def asked(seed: int) -> ChoiceQuestion:
    """The same kitchen over twelve years."""
    question, rng = small(seed), np.random.default_rng(seed)
    supply = question.supply
    longer = replace(
        supply,
        years=np.arange(2001, 2013),
        crop=rng.uniform(2, 12, (12, 8)),
        first=np.tile(supply.first[:1], (12, 1)),
        last=np.tile(supply.last[:1], (12, 1)),
        harder=rng.uniform(0, 8, (12, 8)),
    )
    return replace(question, supply=longer)


@pytest.mark.parametrize("seed", [11, 12])
def test_it_is_the_same_however_it_was_prepared(seed: int) -> None:
    question = asked(seed)
    found = find(question.supply.with_harder_springs(), question.needs, question.limits, question.useful)
    ready = prepare(question)
    assert ready.plans is not None
    assert all(Rivalry.MEAN_YEAR in of_half for of_half in ready.plans)
    travelled: Plainer = pickle.loads(pickle.dumps(ready))
    assert travelled.years is None
    trees = found.trees.astype(float)
    known = Settled(found.cuts, (trees, (trees > 0).astype(float)))
    proofs = [prove(question, known, None, one).proof for one in (ready, travelled, None)]
    for other in proofs[1:]:
        for mine, theirs in zip(proofs[0].rivals, other.rivals, strict=True):
            assert mine.way is theirs.way
            assert (mine.trees, mine.measure) == pytest.approx((theirs.trees, theirs.measure), rel=1e-6)


def test_too_few_years_prove_nothing() -> None:
    question = small(11)
    assert prepare(question).plans is None
    assert prove(question).proof.rivals == ()
