"""Two tapes from corners of the block bring a crew to every end post; bundles carry every tree once."""

from collections import Counter
from collections.abc import Callable

import numpy as np
import pytest
from layout.worlds import laid_out, survey

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Choice
from topwire.layout.bundles import bundles, loads
from topwire.layout.findings import Ground
from topwire.layout.staking import EndPost, RowEnd
from topwire.layout.ties import CornerLine, block_ties
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.tell.staking import both_bearings, compass_bearing

SLANTED = {
    "name": "South",
    "corners": [["0 m", "0 m"], ["30 m", "5 m"], ["34 m", "60 m"], ["-4 m", "70 m"]],
    "row_bearing": 20.0,
    "tree_spacing": "1 m",
    "row_spacing": "3.5 m",
    "slope": "0 %",
}
FURTHER = SLANTED | {
    "name": "North",
    "corners": [["0 m", "80 m"], ["40 m", "75 m"], ["30 m", "130 m"]],
    "slope": "6 %",
    "slope_bearing": 150.0,
}


@pytest.fixture(scope="module")
def ground(make_plan: Callable[..., Plan], catalogue: Catalogue) -> Ground:
    return survey(make_plan([SLANTED, FURTHER]), catalogue)


def crossings(a: np.ndarray, long_a: float, b: np.ndarray, long_b: float) -> tuple[np.ndarray, np.ndarray]:
    """Both points where two circles meet."""
    along = b - a
    apart = float(np.hypot(*along))
    foot = (apart**2 + long_a**2 - long_b**2) / (2 * apart)
    off = np.sqrt(max(long_a**2 - foot**2, 0.0))
    unit = along / apart
    square = np.array([-unit[1], unit[0]])
    return a + foot * unit + off * square, a + foot * unit - off * square


def test_two_tapes_lead_to_every_end_post(ground: Ground) -> None:
    """On level ground, where a tape is a circle on the map."""
    ties = block_ties(ground)[0]
    at = {corner.letter: np.array([corner.east, corner.north]) for corner in ties.corners}
    rows = {row.number: row for row in ground.blocks[0].rows}
    points = {
        "north": (0, 1), "north-east": (1, 1), "east": (1, 0), "south-east": (1, -1),
        "south": (0, -1), "south-west": (-1, -1), "west": (-1, 0), "north-west": (-1, 1),
    }  # fmt: skip
    assert {post for post, _ in ties.posts} == {EndPost(number, end) for number in rows for end in RowEnd}
    for post, tapes in ties.posts:
        row = rows[post.row]
        wanted = np.array(row.start if post.end is RowEnd.START else row.end)
        a, b = at[tapes.first], at[tapes.second]
        towards = np.array(points[tapes.side])
        found = max(
            crossings(a, tapes.first_length, b, tapes.second_length),
            key=lambda p: float(np.dot(p - a, towards)),
        )
        np.testing.assert_allclose(found, wanted, atol=1e-6)
        assert tapes.crossing >= 20.0
        assert tapes.error < 0.25


def test_a_tape_read_wrong_moves_the_post_by_no_more_than_told(ground: Ground) -> None:
    ties = block_ties(ground)[0]
    at = {corner.letter: np.array([corner.east, corner.north]) for corner in ties.corners}
    random = np.random.default_rng(4)
    for _, tapes in ties.posts:
        a, b = at[tapes.first], at[tapes.second]
        true = crossings(a, tapes.first_length, b, tapes.second_length)[0]
        off = []
        for _ in range(200):
            first, second = (
                length + random.normal(0, 0.01 + 0.001 * length)
                for length in (tapes.first_length, tapes.second_length)
            )
            off.append(float(np.hypot(*(crossings(a, first, b, second)[0] - true))))
        assert np.sqrt(np.mean(np.square(off))) == pytest.approx(tapes.error, rel=0.25)


def test_sides_close_and_the_slope_is_in_the_tape(ground: Ground) -> None:
    south, north = block_ties(ground)
    for ties in (south, north):
        around = ties.sides[: len(ties.corners)]
        assert around[-1].end == around[0].start
        step = np.array([_step(line, ties.corners) for line in around]).sum(axis=0)
        np.testing.assert_allclose(step, 0.0, atol=1e-6)
    assert len(south.sides) == 6  # four sides, two diagonals
    corner = {one.letter: one for one in north.corners}
    first = north.sides[0]
    flat = np.hypot(
        corner[first.end].east - corner[first.start].east, corner[first.end].north - corner[first.start].north
    )
    assert flat < first.length < flat * 1.002


def _step(line: CornerLine, corners: tuple) -> np.ndarray:  # type: ignore[type-arg]
    by = {one.letter: one for one in corners}
    return np.array([by[line.end].east - by[line.start].east, by[line.end].north - by[line.start].north])


def test_a_further_block_is_tied_to_the_first(ground: Ground) -> None:
    ties = block_ties(ground)[1]
    assert ties.other == "South"
    assert [letter for letter, _ in ties.to_other] == ["A", "B", "C"]
    first, second = ties.from_other
    assert first.end != second.end
    # the first block's far corners (34, 60) and (-4, 70), this one's (0, 80) and (40, 75)
    assert (first.start, first.end) == ("South D", "A")
    assert first.length == pytest.approx(np.hypot(4, 10))
    assert first.bearing == pytest.approx(np.degrees(np.arctan2(4, 10)))
    assert (second.start, second.end) == ("South C", "B")
    assert second.length == pytest.approx(np.hypot(6, 15))


def test_a_block_of_five_corners_is_held_by_triangles(
    make_plan: Callable[..., Plan], catalogue: Catalogue
) -> None:
    five = SLANTED | {
        "corners": [["0 m", "0 m"], ["40 m", "0 m"], ["50 m", "40 m"], ["20 m", "60 m"], ["-5 m", "40 m"]]
    }
    (ties,) = block_ties(survey(make_plan([five]), catalogue))
    across = ties.sides[5:]
    assert [(line.start, line.end) for line in across] == [("A", "C"), ("A", "D")]
    assert across[0].length == pytest.approx(np.hypot(50, 40))


def test_a_rectangle_the_plan_does_not_place_is_tied_to_nothing(
    make_plan: Callable[..., Plan], catalogue: Catalogue
) -> None:
    loose = {"name": "Loose", "rectangle": {"length": "40 m", "width": "20 m"}, "row_bearing": 0.0}
    ties = block_ties(survey(make_plan([SLANTED, loose]), catalogue))
    assert ties[1].to_other == ()
    assert len(ties[1].posts) > 0


def test_a_needle_that_points_west_shows_more() -> None:
    """True bearing = compass bearing + declination east (common practice of map and compass)."""
    assert compass_bearing(10.0, -9.5) == pytest.approx(19.5)
    assert compass_bearing(5.0, 12.0) == pytest.approx(353.0)
    assert "set to true north" in both_bearings(10.0, None)


def test_bundles_carry_every_new_tree_once_in_the_order_of_walking(
    ground: Ground,
    make_plan: Callable[..., Plan],
    make_seasons: Callable[[], PlaceSeasons],
    make_choice: Callable[..., Choice],
    catalogue: Catalogue,
) -> None:
    wanted = {"Gala": 60, "Golden Delicious": 50, "Fuji": 50, "Liberty": 40}
    plan = make_plan([SLANTED, FURTHER])
    layout = laid_out(plan, catalogue, make_seasons(), ground, make_choice(wanted))
    listed = bundles(ground, layout)
    trees: Counter[str] = Counter()
    for bundle in listed:
        trees[bundle.cultivar] += bundle.trees
        assert bundle.trees == abs(bundle.last - bundle.first) + 1
        assert (bundle.first <= bundle.last) == bundle.from_start or bundle.trees == 1
    assert trees == wanted
    rows = list(dict.fromkeys(bundle.row for bundle in listed))
    by_row = {bundle.row: bundle.from_start for bundle in listed}
    assert [by_row[row] for row in rows] == [number % 2 == 0 for number in range(len(rows))]
    assert {load.cultivar: load.trees for load in loads(listed)} == wanted
