"""A block drawn for the crew: every corner lettered, every planted row with both ends, nothing too small to read."""

import re

import pytest
from layout.worlds import catalogue, plan, survey

from topwire.layout.ties import block_ties
from topwire.show.row_strip import WIDTH
from topwire.show.staking_drawing import draw_staking
from topwire.tell.reader import Reader
from topwire.tell.staking import pull_words
from topwire.values.units import UnitSystem

TEXT_WIDTH = 487.0  # pt, of the narrower of the two papers


@pytest.mark.parametrize("system", list(UnitSystem))
def test_a_block_is_drawn_with_its_corners_rows_and_gate(system: UnitSystem) -> None:
    corners = [["0 m", "0 m"], ["40 m", "4 m"], ["36 m", "60 m"], ["-6 m", "70 m"]]
    ground = survey(
        plan([{"name": "South", "corners": corners, "row_bearing": 10.0}], ground={"gate": ["9 m", "0 m"]}),
        catalogue(),
    )
    (ties,) = block_ties(ground)
    svg = draw_staking(ground, None, ties, Reader(system))
    words = re.findall(r">([^<>]+)</text>", svg)
    assert {"A", "B", "C", "D", "N", "gate"} <= set(words)
    assert {str(row.number) for row in ground.blocks[0].rows} <= set(words)
    assert sum(Reader(system).tape(side.length) in words for side in ties.sides[:4]) == 4
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)]
    assert min(sizes) * TEXT_WIDTH / WIDTH >= 7.0
    assert Reader(system).tape(max(side.length for side in ties.sides)) in pull_words(ties, Reader(system))
