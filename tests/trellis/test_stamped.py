"""A stamped design's numbers are used in place of ours, and told."""

from dataclasses import replace

import pytest
from trellis_support import orchard, said

from topwire.catalogue.model import Catalogue
from topwire.trellis.answer import answer
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.holding import ground_of
from topwire.trellis.question import question
from topwire.values.fault import Faults

POST, END, ANCHOR = (
    "southern pine 6 in x 14 ft",
    "southern pine 6 in x 16 ft",
    "screw anchor 10 in plate, 5 ft",
)
WIRE = "12.5 gauge high tensile, 200 ksi"
STAMPED = (
    f"stamped: {{by: A. Person, post: {POST}, depth: 3 ft, spacing: 24 ft, wire: '{WIRE}', pretension: 200 lbf, "
    f"end_post: {END}, end_depth: 4 ft, anchor: '{ANCHOR}', anchors: 3}}, end_assembly: tie-back"
)


def stamped(catalogue: Catalogue, trellis: str = STAMPED, gust: str = "38 m/s") -> TrellisFindings:
    plan, ground, layout, crop = orchard(
        catalogue, length=45.0, width=9.0, units="us", gust=gust, trellis=trellis
    )
    return answer(question(plan, catalogue, ground, layout, crop))


def test_every_number_stated_is_the_one_built(catalogue: Catalogue) -> None:
    found = stamped(catalogue)
    for row in found.rows:
        assert (row.post, row.post_depth) == (POST, pytest.approx(0.9144))
        assert row.post_spacing <= 7.3152 + 1e-6
        assert (row.wire, row.pretension) == (WIRE, pytest.approx(889.644))
        for end in row.ends:
            assert (end.post, end.post_depth) == (END, pytest.approx(1.2192))
            assert (end.anchor, end.anchors) == (ANCHOR, 3)
        lines = {line.item: line.quantity for line in row.bill}
        assert lines[ANCHOR] == 6 * len(row.rows)
        assert lines[END] == 2 * len(row.rows)
    told = said(found.notices)
    assert "stamped by “A. Person”" in told
    assert "least cost" not in told


def test_its_anchors_hold_what_ours_of_that_kind_do(catalogue: Catalogue) -> None:
    plan, ground, layout, crop = orchard(
        catalogue, length=45.0, width=9.0, units="us", gust="38 m/s", trellis=STAMPED
    )
    asked = question(plan, catalogue, ground, layout, crop)
    end = answer(asked).rows[0].end
    anchor = next(one for one in asked.stock.anchors if one.name == ANCHOR)
    assert end.anchor_holds == pytest.approx(
        3 * ground_of(asked.stock.soil, wet=True).anchor(anchor, end.guy_slope or 0)
    )


def test_it_stays_whatever_blows_and_that_it_gives_is_told(catalogue: Catalogue) -> None:
    """The same posts in twice the gust: no other is taken, and the chance and the part that gives first stand there."""
    calm, wild = stamped(catalogue, gust="30 m/s"), stamped(catalogue, gust="60 m/s")
    assert {row.post for row in calm.rows} == {row.post for row in wild.rows} == {POST}
    assert [row.positions for row in calm.rows] == [row.positions for row in wild.rows]
    assert wild.risks[0].in_life > calm.risks[0].in_life
    assert "show the engineer this page" in said(wild.notices)
    assert "show the engineer this page" not in said(calm.notices)


def test_what_it_leaves_open_is_chosen(catalogue: Catalogue) -> None:
    found = stamped(catalogue, f"stamped: {{by: A. Person, post: {POST}, depth: 3 ft, spacing: 24 ft}}")
    free = stamped(catalogue, "return_period: 50")
    for row in found.rows:
        assert row.post == POST
        assert row.end.anchor is None or row.end.anchors >= 1
        assert row.wire
    assert not free.stamped
    assert found.stamped == "A. Person"


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        (STAMPED.replace(POST, "southern pine 66 in"), "the catalogue has no “southern pine 66 in”"),
        (STAMPED.replace("depth: 3 ft", "depth: 6 ft"), "deep at most"),
        (STAMPED.replace(", end_depth: 4 ft", ""), "end_post and end_depth go together"),
    ],
)
def test_what_cannot_be_is_a_fault(catalogue: Catalogue, changed: str, says: str) -> None:
    with pytest.raises((Faults, Exception), match=None) as raised:
        stamped(catalogue, changed)
    text = str(raised.value) + "".join(
        f"{one}" for one in getattr(raised.value, "faults", getattr(raised.value, "notices", ()))
    )
    assert says in text


def test_no_name_no_stamp(catalogue: Catalogue) -> None:
    plan, ground, layout, crop = orchard(catalogue, length=45.0, width=9.0, units="us")
    assert question(plan, catalogue, ground, layout, crop).stamped is None
    assert replace(question(plan, catalogue, ground, layout, crop)).by_cost
