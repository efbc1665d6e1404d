"""Notices and estimates, the values every department carries."""

import numpy as np

from topwire.values.estimate import estimate
from topwire.values.fault import Faults, fault, warning


def test_a_notice_reads_as_a_sentence() -> None:
    notice = fault("plan.yaml, line 3, place.latitude", "“95” is out of bounds.", "Write degrees north.")
    assert str(notice) == "plan.yaml, line 3, place.latitude: “95” is out of bounds. Write degrees north."


def test_faults_carry_all_of_them() -> None:
    found = Faults([fault("a", "one."), warning("b", "two.")])
    assert [notice.where for notice in found.notices] == ["a", "b"]


def test_estimate_is_percentiles_of_what_is_known() -> None:
    known = estimate([*range(11), np.nan])
    assert known is not None
    assert (known.low, known.middle, known.high) == (1.0, 5.0, 9.0)
    assert estimate([np.nan]) is None
