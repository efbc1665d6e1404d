"""The whole design: dearer or as dear when more is asked of it, and no likelier to fall when its parts are stouter."""

from dataclasses import replace

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from trellis_support import orchard, said

from topwire.catalogue.model import Catalogue
from topwire.trellis.answer import answer, wishes_of
from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.at_risk import StormSite, under_storms
from topwire.trellis.bill import CRIMPER, TOOLS, Basket
from topwire.trellis.choices import put_rows
from topwire.trellis.kit_choice import builds_by_cost
from topwire.trellis.kits import FLOOR_YEARS
from topwire.trellis.losses import expected_loss
from topwire.trellis.question import question
from topwire.trellis.row_risk import risk_by_integration
from topwire.trellis.rows import like_rows, rows_to_wire
from topwire.trellis.search import line_posts, posts_cost
from topwire.trellis.storm import gust_of
from topwire.values.bill import together


@pytest.fixture(scope="module")
def asked(catalogue: Catalogue) -> TrellisQuestion:
    plan, ground, layout, crop = orchard(catalogue, length=45.0, width=9.0, units="us")
    found = question(plan, catalogue, ground, layout, crop)
    return replace(
        found, stock=replace(found.stock, posts=found.stock.posts[::2])
    )  # half the yard: as good a search


def in_gust(asked: TrellisQuestion, gust: float, crop: float = 1.0) -> TrellisQuestion:
    rows = tuple(replace(row, crop=row.crop * crop) for row in asked.rows)
    return replace(asked, rows=rows, storm=replace(asked.storm, gust_50=gust))


def over_the_years(asked: TrellisQuestion) -> tuple[float, bool]:
    """Goods, work, and what is expected to fall; and whether all stands that was asked."""
    site = StormSite(asked.storm, asked.stock.soil, asked.ages)
    groups = like_rows(asked, rows_to_wire(asked))
    gust, floor = gust_of(asked.storm, asked.return_period), gust_of(asked.storm, FLOOR_YEARS)
    wishes, basket, lost = wishes_of(asked), Basket(asked.stock), 0.0
    builds = builds_by_cost(asked, site, groups, gust=gust, floor=floor, wishes=wishes)
    for like, build, _ in builds:
        put_rows(basket, like.demand, build, like.rows, low_wire=asked.low_wire is not None)
        risk = risk_by_integration(under_storms(site, like.demand, build.post, build.depth, build.spacing))
        for own in like.members:
            posts = line_posts(own, build.spacing) * posts_cost(asked.stock, build.post, 5, wishes.wage)
            trees = own.length / own.tree_spacing
            lost += float(expected_loss(risk, posts=posts, trees=trees, interest=asked.interest))
    return together(basket.bill()) + basket.hours * wishes.wage + lost, all(stands for *_, stands in builds)


@settings(max_examples=12, deadline=None, phases=[Phase.generate])
@given(
    gust=st.floats(18, 62),
    stronger=st.floats(1.0, 1.4),
    crop=st.floats(0.3, 1.2),
    heavier=st.floats(1.0, 1.6),
)
def test_it_never_costs_less_when_more_is_asked(
    asked: TrellisQuestion, gust: float, stronger: float, crop: float, heavier: float
) -> None:
    cost, _ = over_the_years(in_gust(asked, gust, crop))
    for more in (in_gust(asked, gust * stronger, crop), in_gust(asked, gust, crop * heavier)):
        assert over_the_years(more)[0] >= cost - 1e-6


@settings(max_examples=6, deadline=None, phases=[Phase.generate])
@given(gust=st.floats(20, 45), trees=st.integers(2, 12))
def test_a_span_asked_for_never_costs_less_than_the_one_chosen(
    asked: TrellisQuestion, gust: float, trees: int
) -> None:
    free = in_gust(asked, gust)
    wished = replace(free, post_spacing=trees * free.rows[0].tree_spacing)
    (chosen, _), (found, stands) = over_the_years(free), over_the_years(wished)
    assert found >= chosen - 1e-6 or not stands


def test_that_sum_is_what_the_plan_tells(asked: TrellisQuestion) -> None:
    storm = in_gust(asked, 38.0)
    found = answer(storm)
    tools = sum(line.cost or 0.0 for line in found.bill if line.item in (CRIMPER, *TOOLS))
    told = (
        found.cost - tools + found.labour_hours * storm.wage + sum(risk.expected_loss for risk in found.risks)
    )
    assert told == pytest.approx(over_the_years(storm)[0])


@settings(max_examples=25, deadline=None)
@given(
    gust=st.floats(25, 50), spacing=st.floats(2, 10), stouter=st.floats(1.0, 1.5), deeper=st.floats(1.0, 1.5)
)
def test_stouter_deeper_and_closer_posts_never_fall_more_often(
    asked: TrellisQuestion, gust: float, spacing: float, stouter: float, deeper: float
) -> None:
    storm = in_gust(asked, gust)
    site = StormSite(storm.storm, storm.stock.soil, storm.ages)
    demand = like_rows(storm, rows_to_wire(storm))[0].demand
    post = storm.stock.posts[0]
    thick = replace(
        post,
        diameter=post.diameter * stouter,
        moment=post.moment * stouter**3,
        mean_moment=post.mean_moment * stouter**3,
    )

    def chance(post=post, depth: float = 0.9, spacing: float = spacing) -> float:  # type: ignore[no-untyped-def]
        return float(risk_by_integration(under_storms(site, demand, post, depth, spacing)).in_life)

    now = chance()
    assert chance(post=thick) <= now + 1e-9
    assert chance(depth=0.9 * deeper) <= now + 1e-9
    assert chance(spacing=spacing / stouter) <= now + 0.02 * now + 1e-9  # a wider gust is a weaker one


def test_kits_are_two_at_most_on_one_wire_with_posts_between_trees(asked: TrellisQuestion) -> None:
    found = answer(in_gust(asked, 38.0))
    assert (
        len(
            {
                (row.post, row.post_depth, row.end, row.end if row.far_end is None else row.far_end)
                for row in found.rows
            }
        )
        <= 2
    )
    assert len({row.wire for row in found.rows}) == 1
    for row in found.rows:
        for at in row.positions[1:-1]:
            nearest = min(abs(at - tree) for tree in row.trees)
            assert nearest == pytest.approx(asked.rows[0].tree_spacing / 2, abs=2e-3)


def test_a_braced_end_keeps_its_room_free(catalogue: Catalogue) -> None:
    """The ground reserves it, so nothing planted is lost; where it did not, the places are named."""
    plan, ground, layout, crop = orchard(catalogue, trellis="end_assembly: diagonal brace")
    row = ground.blocks[0].rows[0]
    assert row.first_tree > 3.0
    found = answer(question(plan, catalogue, ground, layout, crop))
    for row_found in found.rows:
        assert row_found.end.kind.value == "diagonal"
        inside = [tree for tree in row_found.trees if tree < row_found.end.reach]
        assert all(row_found.trees.index(tree) + 1 in row_found.lost for tree in inside)
        assert all(at > row_found.end.reach for at in row_found.positions[1:-1])
    if any(row_found.lost for row_found in found.rows):
        assert "have no room" in said(found.notices)
