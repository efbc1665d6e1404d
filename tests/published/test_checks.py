"""Every outside check the program lists holds."""

import math
from dataclasses import replace

import pytest

from topwire.checks import DEPARTMENTS, Check, all_checks
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


def test_every_check_is_of_one_of_the_departments_spelled_one_way() -> None:
    assert {check.department for check in CHECKS} == set(DEPARTMENTS)
    with pytest.raises(ValueError, match="ledger is no department"):
        replace(CHECKS[0], department="ledger")
