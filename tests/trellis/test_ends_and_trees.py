"""No design stands a brace where the layout has put a tree: the ground keeps its room, and no end reaches beyond it."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trellis_support import orchard, said

from topwire.catalogue.model import Catalogue
from topwire.layout.built_rows import SHORTEST_ROW
from topwire.trellis.answer import answer, wishes_of
from topwire.trellis.end_choice import reaches_in
from topwire.trellis.kinds import EndKind
from topwire.trellis.question import question
from topwire.values.braces import CLEAR
from topwire.values.notice import CannotAnswer

ASKED = ("choose", "tie-back", "h-brace", "diagonal brace", "long diagonal brace")
TIGHT = ("", ", near_room: 0.5 m", ", far_room: 0.5 m", ", near_room: 0.5 m, far_room: 0.5 m")


@settings(max_examples=60, deadline=None)
@given(
    near=st.sampled_from(ASKED), far=st.sampled_from(ASKED), tight=st.sampled_from(TIGHT),
    length=st.floats(12, 140), width=st.floats(5, 24), top=st.floats(1.8, 3.2),
)  # fmt: skip
def test_every_brace_that_may_be_chosen_stands_clear_of_every_tree(
    catalogue: Catalogue, near: str, far: str, tight: str, length: float, width: float, top: float
) -> None:
    """Whatever is asked for, on rows of any length and wires of any height: by construction, before any load."""
    if (near == "tie-back" and "near_room" in tight) or (far == "tie-back" and "far_room" in tight):
        tight = ""
    setting = f"near_end: {near}, far_end: {far}, wire_heights: [1 m, {top} m]{tight}"
    try:
        plan, ground, layout, crop = orchard(catalogue, length=length, width=width, trellis=setting)
    except CannotAnswer:
        return  # no row is long enough for its braces and four trees
    asked = question(plan, catalogue, ground, layout, crop)
    wishes = wishes_of(asked)
    for kinds, kept in wishes.ends:
        assert kept is not None
        assert EndKind.TIE_BACK in kinds or any(
            reaches_in(kind, asked.wire_heights[-1], kept) for kind in kinds
        )
    (near_kinds, near_kept), (far_kinds, far_kept) = wishes.ends
    for row in asked.rows:
        assert row.places >= SHORTEST_ROW
        for kinds, kept, free in (
            (near_kinds, near_kept, row.first_tree),
            (far_kinds, far_kept, row.beyond_last),
        ):
            for kind in set(kinds) - {EndKind.TIE_BACK}:
                for reach in reaches_in(kind, asked.wire_heights[-1], kept):
                    assert reach + CLEAR <= free + 1e-6


@pytest.mark.parametrize(
    ("trellis", "soil"),
    [("end_assembly: h-brace", "loam"), ("end_assembly: long diagonal brace", "clay"), ("near_room: 1 m", "loam"),
     ("end_assembly: choose", "silt loam")],
)  # fmt: skip
def test_a_whole_design_loses_no_place(catalogue: Catalogue, trellis: str, soil: str) -> None:
    plan, ground, layout, crop = orchard(catalogue, length=45.0, width=9.0, trellis=trellis, soil=soil)
    found = answer(question(plan, catalogue, ground, layout, crop))
    assert found.rows
    assert all(row.lost == () for row in found.rows)
    assert "have no room" not in said(found.notices)


def test_rows_too_short_for_their_braces_are_not_set_out(catalogue: Catalogue) -> None:
    """Of 9 m, two H-braces leave room for two trees; without braces ten stand there."""
    _, ground, *_ = orchard(catalogue, length=9.0, width=9.0)
    assert ground.capacity > 0
    with pytest.raises(CannotAnswer):
        orchard(catalogue, length=9.0, width=9.0, trellis="end_assembly: h-brace")


def test_where_no_anchor_holds_it_says_to_ask_for_a_brace(catalogue: Catalogue) -> None:
    """Trees stand up to the end posts, so a brace is not weighed; told how to get one."""
    plan, ground, layout, crop = orchard(catalogue, length=45.0, width=9.0)
    asked = question(plan, catalogue, ground, layout, crop)
    weak = tuple(replace(anchor, capacity_n=100.0) for anchor in asked.stock.anchors)
    with pytest.raises(CannotAnswer) as refused:
        answer(replace(asked, stock=replace(asked.stock, anchors=weak)))
    told = said(refused.value.notices)
    assert "trees stand where it would" in told
    assert "end_assembly: diagonal brace" in told
