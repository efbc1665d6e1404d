"""Every outside check the program lists holds."""

import math

import pytest

from topwire.checks import Check, all_checks
from topwire.sources import bibliography

CHECKS = all_checks()
FREE_TEXT = "common practice, no source"


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.department}: {check.quantity}")
def test_agrees_with_its_source(check: Check) -> None:
    ours = check.ours()
    assert math.isfinite(ours)
    assert abs(ours - check.published) <= check.tolerance


@pytest.mark.parametrize("source", sorted({check.source for check in CHECKS}))
def test_cites_a_known_source(source: str) -> None:
    assert source == FREE_TEXT or source.partition(",")[0] in bibliography()


def test_there_are_many_of_them() -> None:
    assert len(CHECKS) >= 40
