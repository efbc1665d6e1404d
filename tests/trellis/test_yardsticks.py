"""The plan's posts beside the usual ones and the code's; its cost part by part beside published ones."""

from dataclasses import replace

import pytest
from trellis_support import orchard, said

from topwire.catalogue.model import Catalogue
from topwire.show.chart_style import svg
from topwire.show.trellis_charts import posts_and_chance
from topwire.trellis.answer import answer
from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.kinds import BY_AREA, PartOfCost, PublishedCost, YardstickKit
from topwire.trellis.question import question


@pytest.fixture(scope="module")
def asked(catalogue: Catalogue) -> TrellisQuestion:
    plan, ground, layout, crop = orchard(catalogue, length=80.0, width=30.0, units="us", gust="38 m/s")
    return question(plan, catalogue, ground, layout, crop)


@pytest.fixture(scope="module")
def found(asked: TrellisQuestion) -> TrellisFindings:
    return answer(asked)


def test_usual_chosen_and_code_strict_stand_in_one_picture(found: TrellisFindings) -> None:
    for risk in found.risks:
        kits = {one.kit: one for one in found.yardsticks if one.outer is risk.outer}
        usual, code = kits[YardstickKit.USUAL], kits[YardstickKit.CODE]
        assert usual.posts_cost < code.posts_cost
        assert code.in_life < risk.in_life < usual.in_life
        assert code.depth > risk.depth


def test_the_picture_holds_all_three_on_both_sides(found: TrellisFindings) -> None:
    drawn = svg(posts_and_chance(found))
    for said_ in ("this plan", "as usually set", "by the code’s soil", *{
        "outer rows" if risk.outer else "inner rows" for risk in found.risks
    }):  # fmt: skip
        assert said_ in drawn


def test_the_codes_posts_bear_by_its_own_formula(asked: TrellisQuestion, found: TrellisFindings) -> None:
    """IBC 1807.3.2.1: the design force at its arm asks for no more than the depth they have."""
    for row in found.rows:
        code = next(
            one for one in found.yardsticks if one.kit is YardstickKit.CODE and one.outer is row.outer
        )
        post = next(post for post in asked.stock.posts if post.name == code.post)
        force = row.design_force / row.post_spacing * code.spacing
        assert code.depth <= post.length - asked.wire_heights[-1]
        bearing = 2 * asked.stock.soil.code_kpa_per_m * 1e3 * code.depth / 3
        a = 2.34 * force / (bearing * post.diameter)
        assert code.depth == pytest.approx(a / 2 * (1 + (1 + 4.36 * row.force_height / a) ** 0.5), rel=2e-2)


def test_the_parts_are_the_whole(asked: TrellisQuestion, found: TrellisFindings) -> None:
    assert sum(part.cost for part in found.parts) == pytest.approx(
        found.cost + found.labour_hours * asked.wage
    )
    assert {part.part for part in found.parts} == set(PartOfCost)
    assert all(part.cost > 0 for part in found.parts)


def test_published_costs_are_brought_to_the_plans_money(
    asked: TrellisQuestion, found: TrellisFindings
) -> None:
    """9,500 USD an acre of 2014 (TRELLIS-COST14); consumer prices rose by a third to 2024 (CPI-BLS)."""
    acre = next(line for line in found.published if line.what is PublishedCost.METAL_BY_AREA)
    assert acre.published * 4046.86 == pytest.approx(9500 * 1.335, rel=0.01)
    assert acre.ours == pytest.approx(sum(part.cost for part in found.parts) / found.ground)
    told = said(found.notices).replace("\xa0", " ")
    spans = [line for line in found.published if line.what in BY_AREA]
    if acre.ours > max(line.published for line in spans):
        assert "above the" in told
        assert "in rows of 200 m would come to" in told
    francs = answer(replace(asked, currency="CHF"))
    assert not francs.published
