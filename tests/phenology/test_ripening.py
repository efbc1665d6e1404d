"""Harvest: about half as far as bloom, in order, and over before winter."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.phenology import ripening


def usual(size: int = 3) -> ripening.UsualSeason:
    return ripening.UsualSeason(np.full(size, 260.0), np.full(size, 120.0), np.full(size, 15.0))


def test_a_late_kind_moves_less_than_half_as_far_as_bloom_and_an_early_one_more() -> None:
    bloom = np.array([[110.0] * 3, [130.0] * 3])
    offset = np.array([-60.0, 0.0, 20.0])
    dates = ripening.first_pick(usual(), offset, bloom, np.full((2, 3), 15.0))
    np.testing.assert_allclose(dates[1] - dates[0], [14.0, 9.0, 9.0])
    np.testing.assert_allclose(dates.mean(axis=0), 260.0 + offset)


def test_warm_weeks_after_bloom_bring_the_harvest_forward() -> None:
    bloom, offset = np.full((2, 3), 120.0), np.array([-60.0, 0.0, 20.0])
    dates = ripening.first_pick(usual(), offset, bloom, np.array([[15.0] * 3, [17.0] * 3]))
    np.testing.assert_allclose(dates[1] - dates[0], -2 * ripening.DAYS_PER_WARM_KELVIN)


@given(st.floats(80, 160), st.floats(-2, 18), st.floats(0, 20))
def test_later_bloom_or_cooler_nights_never_bring_harvest_forward(
    bloom: float, night: float, more: float
) -> None:
    plain = float(ripening.rule_date(bloom, night))
    assert float(ripening.rule_date(bloom + more, night)) >= plain
    assert float(ripening.rule_date(bloom, night - more)) >= plain


def test_a_year_without_bloom_has_no_harvest_and_spoils_no_mean() -> None:
    bloom = np.array([[120.0], [np.nan], [122.0]])
    season = ripening.usual_season(bloom + 140.0, bloom, bloom - 105.0)
    dates = ripening.first_pick(season, np.array([0.0]), bloom, bloom - 105.0)
    assert season.rule[0] == 261.0
    assert np.isnan(dates[1, 0])
    assert np.isfinite(dates[[0, 2], 0]).all()


def test_lists_of_dates_outweigh_one_catalogue_offset() -> None:
    assert np.isnan(ripening.combined_offset(None, [])[0])
    assert ripening.combined_offset(15.0, []) == pytest.approx((15.0, 10.0))
    assert ripening.combined_offset(None, [28.0, 32.0]) == pytest.approx((30.0, 6.0))
    assert ripening.combined_offset(15.0, [30.0])[0] == pytest.approx(
        (15 / 100 + 30 / 49) / (1 / 100 + 1 / 49)
    )


def test_unknown_offset_is_no_date() -> None:
    same = np.full((2, 1), 120.0)
    assert np.isnan(ripening.first_pick(usual(1), np.array([np.nan]), same, same)).all()


def test_a_mean_begins_the_day_after_bloom() -> None:
    tmin = np.zeros((1, 457))
    tmin[0, 92 + 100 : 92 + 115] = 9.0  # days 101 to 115
    assert ripening.mean_after(tmin, np.array([[100.2, np.nan]]), 15)[0, 0] == pytest.approx(9.0)
    assert np.isnan(ripening.mean_after(tmin, np.array([[100.2, np.nan]]), 15)[0, 1])


def test_windows() -> None:
    np.testing.assert_array_equal(ripening.window_days([-40.0, -10.0, 0.0, 20.0]), [7, 10, 10, 14])


def test_a_light_crop_is_early() -> None:
    np.testing.assert_allclose(ripening.light_crop_shift([1.0, 0.0]), [0.0, -3.5])


def test_ripening_ends_with_a_hard_freeze_or_with_cool_weeks() -> None:
    tmin, tmax = np.full((3, 457), 8.0), np.full((3, 457), 20.0)
    tmin[0, 92 + 289] = -5.0  # day 290
    tmin[1, 92 + 300 :], tmax[1, 92 + 300 :] = 0.0, 8.0  # mean 4 from day 301
    end = ripening.end_of_ripening(tmin, tmax)
    assert end[0] == 290.0
    assert 305 < end[1] < 316
    assert end[2] == 365.0
