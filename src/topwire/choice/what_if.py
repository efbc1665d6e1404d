"""What if: the programme asked again under one change, for its numbers alone.

Where the change leaves the years as they are, what the search learnt of them holds, and of all plantings within the gap
the one nearest to the own plan is taken (`nearest`). The planting is then served in all years, so that its cost is its
own and the gap a true one.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from topwire.choice.amounts import amounts_of, years_key
from topwire.choice.answer import need_line
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.findings import NeedLine
from topwire.choice.learnt import Learnt
from topwire.choice.losses import find_within
from topwire.choice.model import Index
from topwire.choice.must_give import what_must_give
from topwire.choice.nearest import GAP_TO_PLAY_WITH, nearest_known, nearest_new
from topwire.choice.planting import Array, Limits
from topwire.choice.search import SMALL, find
from topwire.choice.serving import Service, serve
from topwire.choice.telling import choice_notices
from topwire.choice.years import Infeasible, Years
from topwire.values.key import key_of
from topwire.values.notice import CannotAnswer, Notice, Severity
from topwire.values.quantities import Kilograms, Share


@dataclass(frozen=True)
class Changed:
    """The choice under the change: trees by cultivar, each need's service, what is short and left over, the gap, and
    what it warns of that the plan's own choice does not; blends and batches are not weighed anew."""

    trees: Mapping[str, int]
    needs: tuple[NeedLine, ...]
    shortfall: Kilograms
    waste: Kilograms
    gap: Share
    warnings: tuple[Notice, ...] = ()


def changed(
    asked: ChoiceQuestion,
    changed_to: ChoiceQuestion,
    own: Mapping[str, int],
    learnt: Learnt | None,
    bound: float = -np.inf,
    key: str | None = None,
    told: Sequence[Notice] = (),
) -> Changed:
    """Numbers of trees for a changed question: no proof, no reasons.

    Parameters
    ----------
    asked : the plan's own question; changed_to : the changed one
    own : trees of the plan's own choice by cultivar
    learnt : of the years of `asked`, for whatever amounts; None where nothing is known of them
    bound : of the plan's own choice; it holds under every change that only takes away and leaves the amounts
    key : years' key of `asked`, where it is known
    told : notices of the plan's own choice; what it warns of is not told again

    Raises
    ------
    CannotAnswer
        When no set of cultivars can meet the changed conditions.
    """
    names = [row.name for row in asked.supply.cultivars]
    still = {row.name for row in changed_to.supply.cultivars}
    out = np.zeros(0, dtype=np.int64)
    known: Learnt | None = None
    if learnt is not None and _years_stand(asked, key or key_of_years(asked), changed_to):
        known = learnt.for_amounts(amounts_of(changed_to.needs, changed_to.limits))
    if known is not None:  # among the plan's own candidates, of which the cuts speak
        out = np.array([at for at, name in enumerate(names) if name not in still], dtype=np.int64)
        limits = replace(changed_to.limits, tree_cost=asked.limits.tree_cost)
        changed_to = replace(changed_to, supply=asked.supply, limits=limits, useful=asked.useful)
    supply, limits = changed_to.supply, changed_to.limits
    service: Service | None = None
    try:
        if (
            limits.most_lost is not None
        ):  # its conditions have to be found: the whole search, not the nearest planting
            keep = np.setdiff1d(np.arange(len(supply.cultivars)), out)
            weighed = supply.with_harder_springs().chosen(keep)
            years = Years(weighed, changed_to.needs, limits.some(keep))
            useful = changed_to.useful[np.ix_(keep, keep)]
            some = find_within(years, changed_to.needs, limits.some(keep), useful, gap=GAP_TO_PLAY_WITH).found
            trees, gap = _of_all(some.trees, keep, out.size + keep.size).astype(np.int64), some.gap
        elif limits.places <= SMALL:
            weighed = supply.with_harder_springs()
            found = find(weighed, changed_to.needs, limits, changed_to.useful, outside=out)
            trees, gap = found.trees, found.gap
        else:
            from_own = np.array([own.get(row.name, 0) for row in supply.cultivars])
            stood = () if known is None else known.bases
            years = Years(supply.with_harder_springs(), changed_to.needs, limits, bases=stood)
            if known is not None:
                years.cuts = known.cuts
                same = key_of(known.amounts) == key_of(amounts_of(asked.needs, asked.limits))
                least = bound if same and _only_tighter(asked.limits, limits) else -np.inf
                near = nearest_known(years, limits, changed_to.useful, from_own, out, least, sure=not same)
            else:
                near = nearest_new(years, limits, changed_to.useful, from_own, out)
            trees, gap = near.trees, near.gap
            service = years.service(trees.astype(float), supply.years.size)
    except Infeasible:
        keep = np.setdiff1d(np.arange(len(supply.cultivars)), out)
        among = changed_to.useful[np.ix_(keep, keep)]
        raise CannotAnswer(what_must_give(supply.chosen(keep), limits.some(keep), among)) from None
    if service is None:
        _, service = serve(supply, changed_to.needs, limits, trees)
    planted = {supply.cultivars[at].name: int(trees[at]) for at in np.flatnonzero(trees)}
    lines = tuple(need_line(need, service.served[:, at]) for at, need in enumerate(changed_to.needs))
    new = _new_warnings(choice_notices(changed_to, trees, service, None, ()), told)
    return Changed(planted, lines, float(service.short.mean()), float(service.waste.mean()), gap, new)


_HOW_MUCH = frozenset(
    {"mean", "bad", "few", "limits", "other", "share", "trees"}
)  # facts of one planting alone


def _new_warnings(theirs: Sequence[Notice], told: Sequence[Notice]) -> tuple[Notice, ...]:
    had = [_what_of(notice) for notice in told]
    graver = (notice for notice in theirs if notice.severity is Severity.WARNING)
    return tuple(notice for notice in graver if _what_of(notice) not in had)


def _what_of(notice: Notice) -> Notice:
    """What a notice is about: that a need goes short is no news where it did, however short it now is."""
    return replace(notice, facts={name: fact for name, fact in notice.facts.items() if name not in _HOW_MUCH})


def key_of_years(asked: ChoiceQuestion) -> str:
    """See `years_key`."""
    return years_key(asked.supply, asked.needs, asked.limits)


def _years_stand(asked: ChoiceQuestion, key: str, changed_to: ChoiceQuestion) -> bool:
    """Whether what was learnt of the plan's years speaks of the changed question too: the same kitchen and the same
    fruit, of the same candidates or fewer."""
    still = {row.name for row in changed_to.supply.cultivars}
    keep = np.array(
        [at for at, row in enumerate(asked.supply.cultivars) if row.name in still], dtype=np.int64
    )
    if keep.size < len(still):
        return False
    if keep.size < len(asked.supply.cultivars):
        key = key_of_years(replace(asked, supply=asked.supply.chosen(keep)))
    donors = asked.useful[np.ix_(keep, keep)]
    return bool((donors == changed_to.useful).all()) and key == key_of_years(changed_to)


def _only_tighter(own: Limits, changed_to: Limits) -> bool:
    """Whether every planting the changed limits allow was allowed before: then the plan's own bound still holds."""
    return (
        changed_to.places <= own.places
        and changed_to.at_least >= own.at_least
        and changed_to.fewest_trees >= own.fewest_trees
        and changed_to.most_trees <= own.most_trees
        and all(changed_to.wood.get(name, own.most_trees + 1) <= most for name, most in own.wood.items())
        and changed_to.fewest_cultivars >= own.fewest_cultivars
        and changed_to.most_cultivars <= own.most_cultivars
        and changed_to.heritage_share >= own.heritage_share
        and set(changed_to.must_have) >= set(own.must_have)
        and changed_to.standing == own.standing
        and changed_to.worst_weight >= own.worst_weight
        and own.most_lost is None
        and (own.picking is None or changed_to.picking == own.picking)
        and set(changed_to.few) >= set(own.few)
        and bool((changed_to.tree_cost >= own.tree_cost).all())
    )


def _of_all(trees: Array | Index, keep: Index, count: int) -> Array:
    every = np.zeros(count)
    every[keep] = trees
    return every
