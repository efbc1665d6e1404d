"""What `check` finds good, `plan` ends with every department there: a few drawn orchards (`make orchards`: many)."""

from pathlib import Path
from random import Random

import pytest
from fuzz.whole import try_orchard

SEED = 1


@pytest.mark.parametrize(("number", "good"), [(2, False), (1, False), (5, True), (9, True)])
def test_a_drawn_orchard_found_good_is_planned_whole(tmp_path: Path, number: int, good: bool) -> None:
    tried = try_orchard(tmp_path / "orchard", Random(f"{SEED} {number}"), whole=number == 5)
    assert tried.wrong == ""
    assert (tried.code == 0) is good, tried.told
