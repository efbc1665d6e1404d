"""Thirty thousand trees on the map: moved, it shows what drawing anew shows, for a part of the work.

How long a frame takes stands in `benchmarks/bench_pages.py`.
"""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page
from web.wide_map import SCALES, moved, wide_map


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with wide_map(tmp_path_factory.mktemp("pan") / "yard") as found:
        yield found


# Of what drawing anew lays down, a moved frame's middle and most. Far off, a strip at the edge meets every run there.
@pytest.mark.parametrize(
    ("scale", "middle", "most"),
    [(SCALES[0], 0.5, 1.0), (SCALES[1], 0.55, 0.65), (SCALES[2], 0.45, 0.55)],
)
def test_a_moved_map_is_the_map_drawn_anew_for_a_part_of_the_work(
    page: Page, scale: float, middle: float, most: float
) -> None:
    found = moved(page, scale)
    assert found["trees"] >= 30_000
    assert found["other"] < 0.002
    assert found["whole"] < 3_000, "far off runs are drawn, near by only what is in sight"
    laid = sorted(count / found["whole"] for count, _ in found["frames"])
    assert len(laid) == 40
    assert laid[0] > 0, "every frame is drawn"
    assert laid[20] < middle
    assert laid[-1] < most
