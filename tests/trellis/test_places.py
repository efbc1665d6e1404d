"""One geometry: nothing of a row runs through anything else, whatever its length, spacing and ends."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.trellis.kinds import EndKind
from topwire.trellis.places import BETWEEN_LENGTHS, brace_room, post_positions, wired_lengths
from topwire.values.braces import CLEAR, RAIL, STRUT_REACHES, places_in

TOP = 3.0  # [m]
THICK = 0.1  # [m] half a stout post, and a trunk beside it
REACHES = {EndKind.TIE_BACK: TOP, EndKind.H_BRACE: RAIL, EndKind.DIAGONAL: STRUT_REACHES[0] * TOP}


@settings(max_examples=500, deadline=None)
@given(
    places=st.integers(4, 400), spacing=st.floats(0.6, 4.5), trees_apart=st.integers(1, 12),
    first=st.floats(0.5, 1.5), near=st.sampled_from(EndKind), far=st.sampled_from(EndKind), kept=st.booleans(),
)  # fmt: skip
def test_no_part_meets_another(
    places: int, spacing: float, trees_apart: int, first: float, near: EndKind, far: EndKind, kept: bool
) -> None:
    """Trunks, line posts, end posts, brace posts, struts with their pads, and anchors of 500 drawn rows."""
    rooms = tuple(brace_room(kind, REACHES[kind]) for kind in (near, far))
    start = first * spacing
    length = start + (places - 1) * spacing + spacing / 2
    taken = [places_in(room, first_tree=start, tree_spacing=spacing) for room in rooms] if kept else [0, 0]
    trees = start + spacing * np.arange(taken[0], places - taken[1])
    planted = trees[(trees >= rooms[0] - 1e-6) & (trees <= length - rooms[1] + 1e-6)]
    posts = post_positions(
        length, first_tree=start, tree_spacing=spacing, widest=max(trees_apart * spacing, 1.0),
        near=rooms[0], far=rooms[1],
    )  # fmt: skip
    assert posts[0] == 0
    assert posts[-1] == pytest.approx(length)
    assert np.all(np.diff(posts) > 0)
    line = posts[1:-1]
    if planted.size and line.size:
        assert np.abs(line[:, None] - planted[None, :]).min() >= min(spacing / 2, CLEAR) - THICK
    for room, place in ((rooms[0], lambda x: x), (rooms[1], lambda x: length - x)):
        if room:
            reach = room - CLEAR
            for other in (planted, line):
                # neither over the strut or under the rail, nor at the brace post or pad
                assert not np.any((place(other) > 0) & (place(other) < reach + CLEAR - 1e-6))


@given(places=st.integers(4, 300), spacing=st.floats(0.6, 2.0), few=st.integers(1, 8), more=st.integers(0, 8))
def test_wider_spans_never_need_more_posts_and_none_is_passed(
    places: int, spacing: float, few: int, more: int
) -> None:
    length = places * spacing

    def posts(trees: int) -> np.ndarray:
        return post_positions(length, first_tree=spacing / 2, tree_spacing=spacing, widest=trees * spacing)

    close, wide = posts(few), posts(few + more)
    assert len(wide) <= len(close)
    assert np.diff(close).max() <= few * spacing + 1e-6
    # a whole number of trees from post to post, the last span apart
    counts = np.diff(close)[:-1] / spacing
    assert counts == pytest.approx(np.round(counts), abs=1e-6)
    assert np.ptp(np.round(counts)) == 0 if len(counts) else True


def test_posts_wider_than_a_gap_share_it() -> None:
    posts = post_positions(40.0, first_tree=2.0, tree_spacing=4.0, widest=1.5)
    trees = 2.0 + 4.0 * np.arange(10)
    assert np.diff(posts).max() <= 1.5
    assert np.abs(posts[1:-1, None] - trees[None, :]).min() > 0.5


def test_lengths_of_a_long_row_leave_room_for_their_anchors() -> None:
    lengths = wired_lengths(400.0, 3, first_tree=0.45, tree_spacing=0.9, top=TOP)
    assert lengths[0].start == 0
    assert lengths[-1].start + lengths[-1].length == pytest.approx(400.0)
    for before, after in pairwise(lengths):
        assert after.start - before.start - before.length == pytest.approx(2 * TOP + BETWEEN_LENGTHS)
    for one in lengths:
        tree = (one.start + one.first_tree - 0.45) / 0.9
        assert tree == pytest.approx(round(tree), abs=1e-6)
