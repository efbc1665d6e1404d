"""Days of a made-up year: what is told, with what reasons, of whom, and what is not."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from protection_support import (
    STAGES,
    YEAR,
    by_the_hour,
    day_of,
    guarded,
    question,
    weather,
)

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.checks import table
from topwire.phenology.stages import SeasonStage
from topwire.protection.answer import answer
from topwire.protection.asked import WeakestRow
from topwire.protection.findings import Danger, ProtectionFindings, Threat, ThreatWindow
from topwire.protection.question import clocks_of
from topwire.show.protection_sheets import frost, signs, windows
from topwire.show.sheet import printed
from topwire.tell.protection import DANGERS, THREATS, WORDS
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told, speech
from topwire.tell.words import told
from topwire.values.units import UnitSystem

MAY_3 = day_of(5, 3)
US, METRIC = Reader(UnitSystem.US), Reader(UnitSystem.METRIC)
CLOCKS = clocks_of(Catalogue(read_tables()))


def of(found: ProtectionFindings, threat: Threat) -> list[ThreatWindow]:
    return [one for one in found.windows if one.threat is threat]


def says(window: ThreatWindow, reader: Reader) -> str:
    return told(window.reason, speech(), reader).says.replace("\u00a0", " ")


def wet_day(hours: tuple[int, int], *, celsius: float = 14.0, wind: float = 1.0) -> ProtectionFindings:
    """A day of rain on 3 May by measured hours, asked a week later."""
    record = by_the_hour(weather(), {MAY_3: hours}, celsius=celsius, wind=wind)
    return answer(question(record, date(YEAR, 5, 10)))


def test_a_wet_day_in_may_is_told_with_its_hours_warmth_and_lesions() -> None:
    (window,) = of(wet_day((4, 23)), Threat.SCAB)
    assert (window.first, window.danger) == (date(YEAR, 5, 3), Danger.MODERATE)
    assert not window.estimated
    assert window.look_from == date(YEAR, 5, 15)
    said = says(window, US)
    assert "16 h wet" in said  # from seven in the morning on: spores fly by day
    assert "57 °F" in said
    assert "light from 7 h" in said
    assert "14 °C" in says(window, METRIC)


def test_rain_of_the_night_counts_where_leaves_were_scabbed() -> None:
    record = by_the_hour(weather(), {MAY_3: (4, 23)})
    (window,) = of(answer(question(record, date(YEAR, 5, 10), scabbed=True)), Threat.SCAB)
    assert window.danger is Danger.SEVERE
    assert "19 h wet" in says(window, US)


def test_too_short_a_wetting_is_no_window() -> None:
    assert not of(wet_day((10, 14)), Threat.SCAB)


def test_hours_that_may_have_sufficed_are_watched() -> None:
    (window,) = of(wet_day((10, 16)), Threat.SCAB)  # 6 h where light wants 7
    assert window.danger is Danger.WATCH


def test_resistant_cultivars_are_left_out_and_the_susceptible_come_first() -> None:
    grown = (guarded("Liberty", 0.0), guarded("Gala", 2.0), guarded("McIntosh", 4.0, 3))
    record = by_the_hour(weather(), {MAY_3: (8, 23)})
    (window,) = of(answer(question(record, date(YEAR, 5, 10), grown=grown)), Threat.SCAB)
    assert [one.cultivar for one in window.exposed] == ["McIntosh", "Gala"]
    assert not of(answer(question(record, date(YEAR, 5, 10), grown=grown[:1])), Threat.SCAB)


def test_before_green_tip_there_is_no_scab() -> None:
    record = by_the_hour(weather(), {60: (0, 24)})
    assert not of(answer(question(record, date(YEAR, 3, 10))), Threat.SCAB)


def test_what_came_after_the_day_changes_nothing() -> None:
    record = by_the_hour(weather(), {MAY_3: (8, 23)})
    other = by_the_hour(
        weather(), {MAY_3: (8, 23), **dict.fromkeys(range(MAY_3 + 8, 200), (0, 24))}, celsius=14.0
    )
    today = date(YEAR, 5, 10)
    one, two = (answer(question(each, today)) for each in (record, other))
    assert one == two


def hot_bloom(
    rain: dict[int, float], *, days: int = 4, grown: tuple[object, ...] | None = None
) -> ProtectionFindings:
    """Four hot days from 20 April in bloom, asked on the last of them, the days ahead cool and dry."""
    tmin, tmax = np.full(365, 4.0), np.full(365, 12.0)
    begin = day_of(4, 20)
    tmin[begin : begin + days], tmax[begin : begin + days] = 14.0, 29.0
    record = weather(tmin, tmax, rain)
    more = {} if grown is None else {"grown": grown}
    return answer(question(record, date(YEAR, 4, 24), **more))  # type: ignore[arg-type]


def test_heat_and_rain_in_open_bloom_are_blight() -> None:
    (window,) = of(hot_bloom({day_of(4, 22): 4.0}), Threat.FIRE_BLIGHT)
    assert window.danger is Danger.SEVERE
    assert window.bees
    said = says(window, US)
    assert "All four conditions met" in said
    assert "0.16 in" in said or "0.2 in" in said
    assert window.look_from is not None
    assert 5 <= (window.look_from - date(YEAR, 4, 22)).days <= 30


def test_rain_of_the_day_before_is_told_as_such_and_a_little_is_more_than_none() -> None:
    (window,) = of(hot_bloom({day_of(4, 20): 4.0}), Threat.FIRE_BLIGHT)
    assert window.danger is Danger.SEVERE
    assert "rain wetted the blossoms (0.16 in the day before)" in says(window, US)
    (window,) = of(hot_bloom({day_of(4, 23): 0.3}), Threat.FIRE_BLIGHT)
    assert "rain wetted the blossoms (0.01 in that day)" in says(window, US)


def test_blight_of_several_days_is_looked_for_until_the_last_ones_blossoms_are_due() -> None:
    (one,) = of(hot_bloom({day_of(4, 21): 1.0}), Threat.FIRE_BLIGHT)
    (two,) = of(hot_bloom({day_of(4, 21): 1.0, day_of(4, 23): 1.0}), Threat.FIRE_BLIGHT)
    assert (one.reason.facts["alike"], two.reason.facts["alike"]) == (1, 2)
    assert "met, as on 2 of these days." in says(two, US)
    assert one.look_to is not None
    assert two.look_to is not None
    assert two.look_from == one.look_from
    assert two.look_to > one.look_to


def test_heat_without_water_is_a_warning_that_says_what_is_missing() -> None:
    (window,) = of(hot_bloom({}), Threat.FIRE_BLIGHT)
    assert window.danger is Danger.LIGHT
    assert "sprinkler" in says(window, US)
    assert window.look_from is None


def test_without_open_flowers_there_is_no_blossom_blight() -> None:
    late = {stage: day + 40 for stage, day in STAGES.items()}
    record = weather(14.0, 29.0, {day_of(4, 22): 4.0})
    assert not of(answer(question(record, date(YEAR, 4, 24), stages=late)), Threat.FIRE_BLIGHT)


def test_resistant_cultivars_in_flower_are_told_of_blight_and_no_more_than_lightly() -> None:
    (window,) = of(hot_bloom({day_of(4, 22): 4.0}, grown=(guarded("Enterprise", 0.0),)), Threat.FIRE_BLIGHT)
    assert window.danger is Danger.LIGHT
    assert "never safe" in says(window, US)
    mixed = (guarded("Enterprise", 0.0), guarded("Gala", 4.0))
    (window,) = of(hot_bloom({day_of(4, 22): 4.0}, grown=mixed), Threat.FIRE_BLIGHT)
    assert window.danger is Danger.SEVERE
    assert [one.cultivar for one in window.exposed] == ["Gala", "Enterprise"]


def test_each_cultivar_has_its_own_open_flowers() -> None:
    grown = (guarded("Early"), guarded("Late"))
    asked = question(weather(14.0, 29.0, {day_of(4, 22): 4.0}), date(YEAR, 4, 24), grown=grown)
    late = replace(asked.stages["Late"], day={stage: day + 40 for stage, day in STAGES.items()})
    (window,) = of(answer(replace(asked, stages={**asked.stages, "Late": late})), Threat.FIRE_BLIGHT)
    assert [one.cultivar for one in window.exposed] == ["Early"]


def test_hail_opens_wounds() -> None:
    found = answer(question(weather(), date(YEAR, 6, 20), hail=(date(YEAR, 6, 12),)))
    (window,) = of(found, Threat.FIRE_BLIGHT)
    assert window.reason.code == "protection.wounds"
    assert window.look_to is not None
    assert window.look_to > date(YEAR, 6, 17)


@pytest.mark.parametrize("day", [date(YEAR, 2, 20), date(YEAR, 11, 20)])
def test_hail_on_bare_trees_is_no_wound_for_blight(day: date) -> None:
    assert not of(answer(question(weather(), day + timedelta(days=2), hail=(day,))), Threat.FIRE_BLIGHT)


def test_rusts_want_their_season() -> None:
    wet = dict.fromkeys((day_of(4, 20), day_of(7, 20)), (0, 22))
    record = by_the_hour(weather(), wet, celsius=16.0)
    spring, late = (answer(question(record, day)) for day in (date(YEAR, 4, 25), date(YEAR, 7, 25)))
    assert of(spring, Threat.CEDAR_RUST)[0].danger is Danger.MODERATE
    assert of(spring, Threat.QUINCE_RUST)[0].danger is Danger.LIGHT
    assert not of(late, Threat.CEDAR_RUST)
    assert not of(late, Threat.QUINCE_RUST)


def test_rust_of_several_spells_is_looked_for_until_the_last_ones_spots_are_due() -> None:
    record = by_the_hour(weather(), {day_of(4, 14): (0, 24), day_of(4, 22): (0, 14)}, celsius=16.0)
    (window,) = of(answer(question(record, date(YEAR, 4, 26))), Threat.CEDAR_RUST)
    assert window.reason.facts["spells"] == 2
    assert (window.first, window.last) == (date(YEAR, 4, 14), date(YEAR, 4, 22))
    assert window.look_from is not None
    assert window.look_to is not None
    assert window.look_from <= date(YEAR, 4, 21)
    assert window.look_to >= date(YEAR, 5, 6)  # a fortnight behind the last spell
    assert f"to {window.look_to.day} May" in says(window, US)


def test_summer_diseases_and_the_sum_of_wet_hours() -> None:
    record = by_the_hour(weather(), dict.fromkeys(range(125, 200), (0, 9)), celsius=22.0)
    found = answer(question(record, date(YEAR, 7, 1)))
    for threat in (Threat.BLACK_ROT, Threat.BITTER_ROT, Threat.GLOMERELLA, Threat.MARSSONINA):
        assert of(found, threat), threat
    (sooty,) = of(found, Threat.SOOTY_BLOTCH)
    assert sooty.danger is Danger.LIGHT
    counted = sooty.reason.facts["hours"]
    assert counted == 9.0 * (day_of(7, 1) - 130)  # from the first rain ten days after petal fall
    plain = answer(question(record, date(YEAR, 7, 1), grown=(guarded("Honeycrisp"),)))
    assert not of(plain, Threat.GLOMERELLA)


def test_rot_of_several_spells_is_looked_for_from_the_first_ones_spots_on() -> None:
    record = by_the_hour(weather(), {day_of(6, 20): (0, 9), day_of(6, 25): (0, 20)}, celsius=22.0)
    (window,) = of(answer(question(record, date(YEAR, 7, 1))), Threat.BLACK_ROT)
    assert "20 h wet" in says(window, US)  # the worst is the last
    assert window.look_from == date(YEAR, 7, 4)


def test_mildew_days_are_dry_and_warm() -> None:
    record = weather(12.0, 20.0, {day_of(5, 4): 5.0})
    (window,) = of(answer(question(record, date(YEAR, 5, 10))), Threat.MILDEW)
    assert window.reason.facts["days"] == 13
    assert not of(answer(question(weather(2.0, 12.0), date(YEAR, 5, 10))), Threat.MILDEW)


def test_frost_ahead_is_told_by_stage_with_what_a_degree_costs() -> None:
    tmin = np.full(365, 5.0)
    tmin[day_of(4, 24)] = -3.5
    record = weather(tmin, 14.0)
    found = answer(question(record, date(YEAR, 4, 23), forecast_days=4))
    (window,) = of(found, Threat.FROST)
    (line,) = found.frost
    assert line.stage is SeasonStage.FULL_BLOOM
    assert window.forecast
    assert window.first == date(YEAR, 4, 24)
    assert line.killed_warmer < line.killed < line.killed_colder
    assert line.killed_high_error < line.killed_warmer
    assert 0.6 < line.killed < 0.9  # between -2.2, that kills a tenth, and -3.9, that kills nine tenths
    assert "Tonight" in says(window, US)
    assert "26 °F" in says(window, US)
    mild = answer(question(weather(2.0, 14.0), date(YEAR, 4, 23), forecast_days=4))
    assert not mild.frost


def test_colder_ground_than_the_stations_freezes_first() -> None:
    tmin = np.full(365, 5.0)
    tmin[day_of(4, 24)] = -1.5
    asked = question(weather(tmin, 14.0), date(YEAR, 4, 23), forecast_days=4)
    low = replace(asked, basis=replace(asked.basis, colder=2.0))
    assert answer(low).frost[0].killed > answer(asked).frost[0].killed


def test_hot_days_burn_fruit_and_not_before_there_is_some() -> None:
    record = weather(20.0, 39.0)
    (window,) = of(answer(question(record, date(YEAR, 7, 20))), Threat.SUNBURN)
    assert window.danger is Danger.MODERATE
    assert not of(answer(question(record, date(YEAR, 4, 20))), Threat.SUNBURN)


def test_gusts_near_what_the_weakest_row_bears_are_told() -> None:
    weakest = WeakestRow(("South 1",), 20.0, 26.0)
    asked = question(weather(), date(YEAR, 8, 20), forecast_days=3, weakest=weakest)
    for gust, danger in ((10.0, None), (17.0, Danger.MODERATE), (22.0, Danger.SEVERE)):
        found = of(answer(replace(asked, gusts={date(YEAR, 8, 21): gust})), Threat.WIND)
        assert [one.danger for one in found] == ([] if danger is None else [danger])


def test_strong_wind_before_a_pick_drops_fruit() -> None:
    record = by_the_hour(weather(), {}, wind=9.0)
    assert of(answer(question(record, date(YEAR, 9, 10))), Threat.WIND)
    assert not of(answer(question(record, date(YEAR, 7, 10))), Threat.WIND)


def station_year() -> tuple[np.ndarray, np.ndarray]:
    rows = table("station_2020.csv")
    low, high = (np.array([float(row[name]) for row in rows]) for name in ("tmin_f", "tmax_f"))
    return (low - 32.0) / 1.8, (high - 32.0) / 1.8


@pytest.mark.parametrize(
    ("event", "last", "total"),
    [
        ("egg hatch begins", date(2020, 4, 25), 250.0),
        ("first hatch ends", date(2020, 5, 30), 920.0),
        ("second hatch begins", date(2020, 6, 7), 1100.0),
        ("second hatch ends", date(2020, 7, 18), 2100.0),
    ],
)
def test_the_station_year_end_to_end(event: str, last: date, total: float) -> None:
    """Dates of a real station's year, by two codes that are not ours (DEGDAY and closed forms), first catch 1 April."""
    low, high = station_year()
    day = np.datetime64("2020-01-01") + np.arange(366)
    record = replace(
        weather(),
        day=day,
        tmin=low,
        tmax=high,
        rain=np.zeros(366),
        dew_point=None,
        filled=np.zeros(366, dtype=bool),
    )
    today = last - timedelta(days=3)
    asked = question(weather(), date(YEAR, 5, 1), clocks=CLOCKS, caught={"codling moth": date(2020, 4, 1)})
    asked = replace(
        asked, today=today, record=record.before(today), before_min=low[None, :], before_max=high[None, :]
    )
    (window,) = [
        one for one in of(answer(asked), Threat.CODLING_MOTH) if one.reason.facts["condition"] == event
    ]
    assert window.last == last
    high_sum = window.reason.facts["high"]
    assert high_sum.value * 1.8 == pytest.approx(total)  # type: ignore[union-attr]


def test_a_first_catch_makes_the_estimate_a_count() -> None:
    low, high = station_year()
    record = weather(low[:365], high[:365])
    asked = question(record, date(YEAR, 4, 20), clocks=CLOCKS)
    estimated, counted = (
        of(answer(replace(asked, caught=caught)), Threat.CODLING_MOTH)
        for caught in ({}, {"codling moth": date(YEAR, 4, 1)})
    )
    assert all("Without a trap" in says(one, US) for one in estimated if one.reason.facts["estimated"])
    assert any(one.reason.facts["estimated"] for one in estimated)
    assert not any(one.reason.facts["estimated"] for one in counted)
    assert not of(answer(asked), Threat.ORIENTAL_FRUIT_MOTH)  # nobody caught one


def test_moths_first_counted_long_after_the_flight_began_are_no_first_catch() -> None:
    low, high = station_year()
    asked = question(weather(low[:365], high[:365]), date(YEAR, 6, 3), clocks=CLOCKS)
    late = replace(asked, caught={"codling moth": date(YEAR, 6, 1)})
    unwatched = replace(late, unwatched=frozenset({"codling moth"}))
    early = replace(unwatched, caught={"codling moth": date(YEAR, 4, 8)})
    by_estimate, counted, doubted, usual = (
        of(answer(one), Threat.CODLING_MOTH) for one in (asked, late, unwatched, early)
    )
    assert not any(one.reason.facts["estimated"] for one in (*counted, *usual))
    assert [(one.first, one.last) for one in doubted] == [(one.first, one.last) for one in by_estimate]
    assert doubted
    assert all("traps were hung late" in says(one, US) for one in doubted if one.reason.facts["estimated"])


def test_missing_weather_is_told_and_makes_no_window() -> None:
    record = weather(8.0, 16.0, {MAY_3: 20.0})
    gone = np.arange(365) == MAY_3
    record = replace(
        record, tmin=np.where(gone, np.nan, record.tmin), tmax=np.where(gone, np.nan, record.tmax)
    )
    found = answer(question(record, date(YEAR, 5, 10)))
    assert "protection.gaps" in {notice.code for notice in found.notices}
    assert not of(found, Threat.SCAB)


def test_what_was_not_measured_is_told() -> None:
    codes = [
        {notice.code for notice in answer(question(each, date(YEAR, 5, 10))).notices}
        for each in (weather(), replace(weather(), dew_point=None), by_the_hour(weather(), {}))
    ]
    assert "protection.daily_dew" in codes[0]
    assert "protection.daily" in codes[1]
    assert not {"protection.daily", "protection.daily_dew"} & codes[2]
    assert all("protection.no_forecast" in each for each in codes)


def test_the_first_of_january_and_an_empty_record_are_answered() -> None:
    for today in (date(YEAR, 1, 1), date(YEAR, 12, 31)):
        assert answer(question(weather(), today, clocks=CLOCKS)).today == today


def test_urgent_windows_come_first() -> None:
    tmin = np.full(365, 5.0)
    tmin[day_of(4, 24)] = -6.0
    record = weather(tmin, 14.0, {day_of(4, 18): 20.0})
    found = answer(question(record, date(YEAR, 4, 23), forecast_days=4, clocks=CLOCKS))
    assert found.windows[0].threat is Threat.FROST
    week, fresh = found.today + timedelta(days=6), found.today - timedelta(days=3)
    ranks = [
        2 * (one.last < fresh and one.look_from is not None and one.look_from > week)
        + (one.last >= fresh and one.usual and one.first > week)
        for one in found.windows
    ]
    assert ranks == sorted(ranks)
    assert set(ranks) == {0, 1, 2}  # of this week, dates further off, what was
    current = [one.danger for one, rank in zip(found.windows, ranks, strict=True) if rank == 0]
    assert current == sorted(current, reverse=True)
    assert current[-1] < max(one.danger for one in found.windows if one.threat is Threat.PLUM_CURCULIO)


def test_signs_that_are_due_and_a_severe_infection_awaited_stay_ahead_of_dates_further_off() -> None:
    """Blight of 20 to 23 April: told on every page until its blossoms have wilted, ahead of insects of June."""
    tmin, tmax = np.full(365, 6.0), np.full(365, 18.0)
    begin = day_of(4, 20)
    tmin[begin : begin + 4], tmax[begin : begin + 4] = 14.0, 29.0
    record = weather(tmin, tmax, {day_of(4, 21): 6.0})
    first = answer(question(record, date(YEAR, 4, 24), clocks=CLOCKS))
    blight = of(first, Threat.FIRE_BLIGHT)[0]
    assert blight.danger is Danger.SEVERE
    assert blight.look_to is not None
    for days in range(1, (blight.look_to - first.today).days + 1):
        found = answer(question(record, first.today + timedelta(days=days), clocks=CLOCKS))
        assert found.windows[0].danger is Danger.SEVERE, found.today
        assert of(found, Threat.FIRE_BLIGHT)
    later = answer(question(record, blight.look_to + timedelta(days=1), clocks=CLOCKS))
    assert later.windows[0].threat is not Threat.FIRE_BLIGHT


def test_nights_of_frost_add_up_as_at_the_place() -> None:
    tmin = np.full(365, 5.0)
    nights = [day_of(4, 21), day_of(4, 22), day_of(4, 23)]
    tmin[nights] = [-3.0, -3.3, -3.2]
    tmin[day_of(3, 1)] = -9.0  # before silver tip nothing is killed
    found = answer(question(weather(tmin, 14.0), date(YEAR, 4, 26)))
    *_, last = found.frost
    one, two, three = (line.killed for line in found.frost)
    assert found.frost[0].killed_so_far == pytest.approx(one, abs=1e-3)
    assert last.killed_so_far == pytest.approx(1 - (1 - one) * (1 - two) * (1 - three), abs=1e-3)
    assert last.left == pytest.approx((1 - last.killed_so_far) / 0.15)
    assert last.left_low < last.left < last.left_high
    windows_of = sorted(of(found, Threat.FROST), key=lambda window: window.first)
    assert "nights before" not in says(windows_of[0], US)
    said = says(windows_of[-1], US)
    assert f"{last.killed_so_far:.1%} are killed, which leaves {last.left:.0%} of a crop" in said
    assert windows_of[-1].look_from == date(YEAR, 4, 24)  # dead hearts are brown a day later
    assert f"{100 * last.killed_so_far:.1f}" in str(printed(frost(found, US), US))


def test_a_night_not_known_kills_nothing() -> None:
    tmin = np.full(365, 5.0)
    tmin[day_of(4, 22)] = -3.3
    record = weather(tmin, 14.0)
    record.tmin[day_of(4, 20)] = np.nan
    (line,) = answer(question(record, date(YEAR, 4, 24))).frost
    assert line.killed_so_far == pytest.approx(line.killed, abs=1e-3)


@pytest.fixture(scope="module")
def everything() -> list[ProtectionFindings]:
    """Days over a wet, warm, frosty, windy year."""
    rng = np.random.default_rng(7)
    season = 12.0 - 13.0 * np.cos(2 * np.pi * (np.arange(365) - 15) / 365)
    low = season - 5 + rng.normal(0, 4, 365)
    record = weather(low, low + 14, {int(day): 15.0 for day in rng.choice(365, 150, replace=False)})
    record = replace(record, wind=rng.uniform(0, 9, 365))
    return [
        answer(
            question(
                record,
                date(YEAR, 1, 1) + timedelta(days=day),
                clocks=CLOCKS,
                forecast_days=min(7, 365 - day),
                weakest=WeakestRow(("South 1",), 15.0, 20.0),
                gusts={date(YEAR, 1, 1) + timedelta(days=day + 1): 18.0},
                hail=(date(YEAR, 6, 12),),
            )
        )
        for day in range(5, 365, 9)
    ]


def test_every_window_is_told_in_both_systems(everything: list[ProtectionFindings]) -> None:
    codes = set()
    for found in everything:
        for reader in (US, METRIC):
            for sheet in (windows(found, reader), signs(found, reader), frost(found, reader)):
                printed(sheet, reader)
            all_told(found.notices, reader)
        codes |= {one.reason.code for one in found.windows}
    told_of = {code for code, words in WORDS.items() if code.startswith("protection.")}
    silent = {code for code in told_of if code not in codes} - {
        notice.code for found in everything for notice in found.notices
    }
    assert silent <= {
        "protection.no_forecast", "protection.no_weather", "protection.gaps", "protection.daily",
        "protection.not_planted", "protection.wounds", "protection.scab_summer", "protection.blight",
    }  # fmt: skip


def test_nothing_names_a_product_or_a_dose(everything: list[ProtectionFindings]) -> None:
    said = " ".join(
        [says(one, US) for found in everything for one in found.windows]
        + [f"{watch.signs} {watch.when} {watch.by_hand}" for watch in THREATS.values()]
        + [clock_event.action for clock in CLOCKS for clock_event in clock.events]
    ).lower()
    for word in ("fungicide", "insecticide", "copper", "sulfur", "sulphur", "streptomycin", "per acre", "ppm", "dose",
                 "oil", "kaolin", "bait", "apply", "safe to"):  # fmt: skip
        assert f" {word} " not in said, word


def test_every_threat_and_danger_has_words() -> None:
    assert set(THREATS) == set(Threat)
    assert set(DANGERS) == set(Danger)
    insects = {clock.insect for clock in CLOCKS}
    assert insects <= set(Threat)
