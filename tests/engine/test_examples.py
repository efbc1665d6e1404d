"""The shipped examples, planned whole: what a grower is promised holds in each."""

from pathlib import Path

import numpy as np
import pytest
from engine.shared import planned_fence
from pydantic import TypeAdapter

from topwire.engine.inputs import read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.engine.store import as_json
from topwire.plan.starter import EXAMPLES, copy_example
from topwire.sources import bibliography
from topwire.values.notice import Severity


@pytest.fixture(scope="module", params=list(EXAMPLES))
def folder(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    if request.param == "garden-fence":
        return planned_fence(tmp_path_factory)
    folder = tmp_path_factory.mktemp("orchards") / str(request.param)
    copy_example(str(request.param), folder)
    return folder


@pytest.fixture(scope="module")
def orchard(folder: Path) -> Orchard:
    return plan_orchard(read_inputs(folder))


def test_every_department_is_there(orchard: Orchard) -> None:
    absent = [name for name, result in orchard.departments.items() if result is None]
    assert not absent, [str(notice) for notice in orchard.notices]


def test_no_department_reports_a_fault(orchard: Orchard) -> None:
    assert not [notice for notice in orchard.all_notices() if notice.severity is Severity.FAULT]


def test_the_solver_gap_is_small(orchard: Orchard) -> None:
    assert orchard.choice is not None
    assert orchard.choice.gap <= 0.01


def test_what_is_chosen_is_planted(orchard: Orchard) -> None:
    assert orchard.choice is not None
    assert orchard.layout is not None
    for line in orchard.choice.chosen:
        assert orchard.layout.trees_of(line.name) == line.trees


def test_every_tree_has_two_useful_donors_within_20_m(orchard: Orchard) -> None:
    assert orchard.layout is not None
    planted = orchard.layout.cultivar >= 0
    assert int(orchard.layout.donors_in_reach[planted].min()) >= 2


def test_no_tree_stands_outside_its_block(orchard: Orchard) -> None:
    from shapely import Polygon, contains_xy

    ground = orchard.ground
    assert ground is not None
    for index, block in enumerate(ground.blocks):
        inside = ground.block == index
        outline = Polygon(block.outline, list(block.holes)).buffer(1e-6)
        assert contains_xy(outline, ground.x[inside], ground.y[inside]).all()


def test_every_planted_row_has_its_trellis_or_its_fence(orchard: Orchard) -> None:
    trellis, ground, layout = orchard.trellis, orchard.ground, orchard.layout
    assert trellis is not None
    assert ground is not None
    assert layout is not None
    planted = {
        f"{ground.blocks[block].name} {ground.blocks[block].rows[row].number}"
        for block, row in zip(
            ground.block[layout.cultivar >= 0], ground.row[layout.cultivar >= 0], strict=True
        )
    }
    fenced = {block.name for block in ground.blocks if block.along_fence}
    sized = {address for row in trellis.rows for address in row.rows}
    assert sized == {address for address in planted if address.rsplit(" ", 1)[0] not in fenced}
    assert bool(trellis.fences) == bool(fenced)


def test_water_is_even_and_within_the_source(folder: Path, orchard: Orchard) -> None:
    assert orchard.water is not None
    flow = read_inputs(folder).plan.water.flow
    for zone in orchard.water.zones:
        assert zone.uniformity >= 0.90
        assert zone.flow <= flow


def test_the_crop_comes_with_the_years(orchard: Orchard) -> None:
    assert orchard.years is not None
    middle = orchard.years.orchard_kg[:, 1]
    assert middle[0] == 0
    assert middle[6] > middle[2] > 0
    assert np.all(orchard.years.orchard_kg[:, 0] <= orchard.years.orchard_kg[:, 2])


def test_cited_keys_exist(orchard: Orchard) -> None:
    cited = {notice.source for notice in orchard.all_notices() if notice.source}
    unknown = {
        key for cell in cited for key in cell.split("+") if key.partition(",")[0] not in bibliography()
    }
    assert not unknown


def test_the_whole_result_is_data(orchard: Orchard) -> None:
    text = as_json(orchard)
    back = TypeAdapter(Orchard).validate_json(text)
    assert as_json(back) == text


def test_a_second_run_computes_nothing(folder: Path, orchard: Orchard) -> None:
    again = plan_orchard(read_inputs(folder))
    assert all(step.seconds is None for step in again.steps)
    assert as_json(again.layout) == as_json(orchard.layout)


def test_the_same_inputs_give_the_same_plan(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Worked out a second time in a folder of its own, by another process where there are several."""
    copy_example("garden-fence", tmp_path / "again")
    again = plan_orchard(read_inputs(tmp_path / "again"))
    assert all(step.seconds is not None for step in again.steps)
    first = plan_orchard(read_inputs(planned_fence(tmp_path_factory)))
    for department, result in first.departments.items():
        assert as_json(result) == as_json(again.departments[department]), department
