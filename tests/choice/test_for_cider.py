"""One meaning of cider fruit: what the choice ferments and serves as nothing but juice beside it."""

import pytest
from nursery.invented import blank

from topwire.choice.findings import ChosenCultivar


@pytest.mark.parametrize(
    ("uses", "cider"),
    [
        ({"cider": 300.0}, True),
        ({"cider": 50.0, "juice": 20.0}, True),
        ({"cider": 50.0, "juice": 20.0, "fresh": 0.7}, True),  # crumbs
        ({"cider": 300.0, "fresh": 40.0}, False),  # mostly pressed, but it comes to the table too
        ({"juice": 300.0}, False),  # fresh juice is never made of what lay on the ground
        ({}, False),
    ],
)
def test_cider_fruit_goes_to_no_table(uses: dict[str, float], cider: bool) -> None:
    line: ChosenCultivar = blank(ChosenCultivar, name="King David", uses=uses)
    assert line.for_cider is cider
