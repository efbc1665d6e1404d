"""What a builder is told of frost: how deep posts stand beside it and would have to, and what to do each spring."""

from dataclasses import replace

import numpy as np
import pytest
from trellis_support import Yard, orchard

from topwire.catalogue.model import Catalogue
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.trellis.answer import answer
from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.end_choice import TOP, EndChoice
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.heave import BELOW_FROST
from topwire.trellis.kinds import BuildStep, EndKind
from topwire.trellis.question import question
from topwire.trellis.search import driven_down
from topwire.values.notice import Measured, Notice, Severity
from topwire.values.units import Kind, UnitSystem


@pytest.fixture(scope="module")
def asked(catalogue: Catalogue) -> TrellisQuestion:
    return question(*_order(catalogue))


def _order(catalogue: Catalogue):  # type: ignore[no-untyped-def]
    plan, ground, layout, crop = orchard(catalogue, length=45.0, width=9.0)
    return plan, catalogue, ground, layout, crop


def _upright(lean: float) -> float:
    """What a metre along a leaning post reaches straight down."""
    return float(np.cos(np.radians(lean)))


def _frost(asked: TrellisQuestion, depth: float | None) -> tuple[TrellisFindings, list[Notice]]:
    found = answer(replace(asked, frost_depth=depth))
    return found, [notice for notice in found.notices if notice.code.startswith("trellis.frost")]


def _words(notice: Notice, system: UnitSystem) -> str:
    (told,) = all_told([notice], Reader(system))
    return f"{told.says} {told.remedy}"


def test_posts_below_the_frost_are_a_remark_with_the_spring_round(asked: TrellisQuestion) -> None:
    found, (notice,) = _frost(asked, 0.3)
    deep = min(
        depth
        for row in found.rows
        for depth in (row.post_depth, *(end.post_depth * _upright(end.lean) for end in row.ends))
    )
    assert deep - 0.3 >= BELOW_FROST
    assert notice.code == "trellis.frost_reached"
    assert notice.severity is Severity.REMARK
    assert notice.facts["below"] == Measured(pytest.approx(deep - 0.3), notice.facts["below"].kind, 2)  # type: ignore[union-attr,arg-type]
    assert BuildStep.LOOK_AGAIN_FROST in found.build_order
    for system in UnitSystem:
        said = _words(notice, system)
        assert "drive back what has risen" in said
        assert "{" not in said
        assert "[" not in said


def test_posts_short_of_the_frost_are_warned_of_with_the_length_that_would_reach(
    asked: TrellisQuestion,
) -> None:
    _, (notice,) = _frost(asked, 1.9)
    assert notice.code == "trellis.frost_lifts"
    assert notice.severity is Severity.WARNING
    said = _words(notice, UnitSystem.METRIC).replace("\u00a0", " ")
    assert "short of the frost" in said
    assert "2.05 m deep" in said
    assert "deeper than trellis.post_depth says" in said
    assert "lbf" not in _words(notice, UnitSystem.US)


def test_end_posts_are_driven_below_the_frost_as_far_as_their_length_allows(asked: TrellisQuestion) -> None:
    """An end post may be chosen for standing less deep than it could, its wood above the top wire unused."""
    posts = tuple(post for post in asked.stock.posts if post.length <= 4.5)
    asked = replace(asked, stock=replace(asked.stock, posts=posts))
    shallow = [end.post_depth for row in _frost(asked, None)[0].rows for end in row.ends]
    for frost in (1.0, 1.1, 1.2):
        found, (notice,) = _frost(asked, frost)
        ends = [(row, end) for row in found.rows for end in row.ends]
        for (row, end), before in zip(ends, shallow, strict=True):
            upright = _upright(end.lean)
            most = end.post_length - (row.wire_heights[-1] + TOP) / upright
            wanted = max(before, min(most, (frost + BELOW_FROST) / upright))
            assert end.post_depth == pytest.approx(wanted)
        # Its depth is along the post: straight down a leaning one reaches less far.
        assert max(end.lean for _, end in ends) > 10
        least = min(end.post_depth * _upright(end.lean) for _, end in ends)
        assert least < min(row.post_depth for row in found.rows)
        assert notice.facts["which"] == "end posts"
        assert notice.facts["stands"] == Measured(least, Kind.LENGTH, 2)
        assert (notice.code == "trellis.frost_reached") == (least >= frost + BELOW_FROST - 1e-6)


def test_no_frost_stated_no_word_of_it(asked: TrellisQuestion) -> None:
    found, none = _frost(asked, None)
    assert not none
    assert BuildStep.LOOK_AGAIN in found.build_order


def test_an_upright_end_post_is_driven_to_the_frost_as_far_as_its_length_goes(yard: Yard) -> None:
    """A post of 4.27 m under a wire at 3 m: 1.12 m of it with 0.15 m above the wire."""
    post = replace(yard.stock.posts[0], length=4.27)
    end = EndChoice(EndKind.H_BRACE, post, 0.97, 0.0, None, 0, 2.4, 0.0, 0.0, 0.0)
    for frost, depth in ((0.5, 0.97), (1.05, 1.05), (1.3, 1.12)):
        driven = driven_down(end, 3.0, replace(yard.wishes, end_depth=frost, deepest=1.5))
        assert driven.depth == pytest.approx(depth)
