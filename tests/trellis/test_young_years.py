"""Young rows and iced ones: half-grown trees in a storm, ice with the wind after it."""

import numpy as np
import pytest
from trellis_support import Yard, a_row

from topwire.trellis import loads
from topwire.trellis.cases import CASES
from topwire.trellis.kinds import CaseName
from topwire.trellis.row_frame import BARE, RowFrame, case_loads, row_frame, run_cases
from topwire.trellis.search import END_GIVES, search_down

BY_NAME = {case.name: case for case in CASES}


@pytest.fixture(scope="module")
def row(yard: Yard) -> tuple[RowFrame, Yard]:
    demand = a_row()
    build = search_down(demand, yard.stock, yard.ground, 35.0, yard.wishes)
    assert build is not None
    made = row_frame(
        demand, positions=np.linspace(0, 60, 8), low_wire=0.45, wire=build.wire, pretension=build.pretension,
        post=build.post, depth=build.depth, end_post=build.ends.post, end_depth=build.ends.depth,
        end_gives=END_GIVES, soil=yard.stock.soil,
    )  # fmt: skip
    return made, yard


def test_half_grown_trees_take_less_wind_and_hang_on_the_wires_they_reach() -> None:
    demand = a_row()
    young = demand.half_grown(0.65)
    assert young.arm < 0.65 * demand.arm
    assert young.shares[-1] < 0.05 * demand.shares[-1]
    assert float((young.shares * young.heights).sum()) == pytest.approx(young.arm)
    assert young.reached.tolist() == [4 / 2, 4 / 2, 0, 0]  # wires at 0.9 and 1.6 m, the canopy to 2.15 m
    assert demand.reached.tolist() == [1, 1, 1, 1]
    assert demand.half_grown(1.0).arm == pytest.approx(demand.arm)


def test_an_iced_wire_catches_wind_by_its_iced_width(row: tuple[RowFrame, Yard]) -> None:
    """1.2 q (d + 2 t) on a wire with nothing tied to it; ice of 6 mm on 2.5 mm wire as ISO and codes weigh it."""
    made, _ = row
    demand, case = a_row(), BY_NAME[CaseName.ICE_WIND]
    found = case_loads(made, demand, case, 30.0, 0.5)
    pressure = 0.4 * demand.pressure_at_1 * 30.0**2
    wide = made.wire.diameter + 0.012
    assert found[0, 1] == pytest.approx(1.2 * pressure * wide)
    assert found[-1, 1] == pytest.approx(1.2 * pressure * wide + BARE * 0.5 * pressure * demand.shares[-1])
    assert found[-1, 2] == pytest.approx(
        -made.wire.weight - float(loads.ice_weight(made.wire.diameter, 0.006))
    )


def test_both_are_solved_and_strain_no_more_than_the_storm_at_full_crop(row: tuple[RowFrame, Yard]) -> None:
    made, yard = row
    demand = a_row()
    names = (CaseName.ACROSS, CaseName.ICE, CaseName.ICE_WIND, CaseName.HALF_GROWN)
    build = search_down(demand, yard.stock, yard.ground, 35.0, yard.wishes)
    assert build is not None
    storm, ice, iced, young = run_cases(
        made, demand, build.post, gust=35.0, drag=0.5, cases=tuple(BY_NAME[name] for name in names)
    )
    assert all(one.converged for one in (storm, ice, iced, young))
    assert iced.tension > ice.tension  # type: ignore[operator]
    assert young.post_moment < storm.post_moment  # type: ignore[operator]
    assert young.tension < storm.tension  # type: ignore[operator]
