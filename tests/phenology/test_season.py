"""The step as a whole: plan, catalogue and weather in, seasons out."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from phenology_support import EXAMPLES, aquacrop_climate, catalogue, invented, record
from pydantic import TypeAdapter

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.phenology.answer import answer
from topwire.phenology.asked import RootCold
from topwire.phenology.findings import MisfitReason, PlaceSeasons
from topwire.phenology.question import question, traits_of
from topwire.plan.model import Plan
from topwire.plan.read import parse_plan
from topwire.records.read import read_records
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.fault import Faults
from topwire.values.notice import CannotAnswer, Severity
from topwire.values.own_date import DateSeen, OwnDate
from topwire.values.units import UnitSystem
from topwire.weather.record import Weather

GOLDEN = "Golden Delicious"


def foresee(
    plan: Plan, catalogue: Catalogue, weather: Weather, *, observed: Sequence[OwnDate] = ()
) -> PlaceSeasons:
    place = plan.place.model_copy(update={"own_dates_until": 2200})
    return answer(question(plan.model_copy(update={"place": place}), catalogue, weather, observed=observed))


def said(found: PlaceSeasons) -> list[str]:
    return [str(told) for told in all_told(found.notices, Reader(UnitSystem.METRIC))]


def reasons(found: PlaceSeasons, cultivar: str) -> set[MisfitReason]:
    return {one.reason for one in found.unfit.get(cultivar, ())}


@cache
def plan(**place: float) -> Plan:
    text = (EXAMPLES / "ridge-cider" / "plan.yaml").read_text(encoding="utf-8")
    read = parse_plan(text, "plan.yaml")
    return read.model_copy(update={"place": read.place.model_copy(update={"latitude": 45.0, **place})})


@cache
def weather() -> Weather:
    return invented("2000-09-01", "2013-12-31", warmer=1.5)


@cache
def seasons() -> PlaceSeasons:
    return foresee(plan(), catalogue(), weather())


def test_shapes_and_order() -> None:
    found = seasons()
    years, cultivars = found.years.size, len(found.cultivars)
    assert found.cultivars == tuple(row.name for row in catalogue().cultivars)
    for values in (
        found.first_bloom,
        found.full_bloom,
        found.petal_fall,
        found.harvest_first,
        found.bloom_kill,
    ):
        assert values.shape == (years, cultivars)
    assert found.frost_chance.shape == (cultivars, 3)
    assert found.normals.shape == (12, 3)
    assert found.normals[0, 2] == pytest.approx(62.0)
    assert [item.step for item in found.warmer] == [pytest.approx(1.0), pytest.approx(2.0)]


def test_dates_are_in_order() -> None:
    found = seasons()
    known = np.isfinite(found.harvest_first)
    assert known.mean() > 0.7
    assert (found.first_bloom <= found.full_bloom).all()
    assert (found.full_bloom <= found.petal_fall).all()
    assert (found.petal_fall[known] < found.harvest_first[known]).all()
    assert (found.harvest_first[known] <= found.harvest_last[known]).all()
    assert ((found.bloom_kill >= 0) & (found.bloom_kill <= 1)).all()
    assert ((found.crop_after_frost >= 0) & (found.crop_after_frost <= 1)).all()
    assert (found.worth_of_a_degree >= 0).all()
    assert (np.diff(found.frost_chance, axis=1) <= 0).all()


def test_offsets_order_the_bloom() -> None:
    found = seasons()
    offset = np.array([row.bloom_offset_days for row in catalogue().cultivars])
    chill = [row.chill for row in catalogue().cultivars]
    medium = np.array([value == "medium" for value in chill])
    middle = np.median(found.full_bloom, axis=0)[medium]
    assert (np.diff(middle[np.argsort(offset[medium])]) >= -1e-9).all()


def test_it_survives_the_way_to_json() -> None:
    adapter = TypeAdapter(PlaceSeasons)
    text = adapter.dump_json(seasons())
    assert adapter.dump_json(adapter.validate_json(text)) == text


def test_the_same_twice() -> None:
    adapter = TypeAdapter(PlaceSeasons)
    assert adapter.dump_json(foresee(plan(), catalogue(), weather())) == adapter.dump_json(seasons())


def test_units_of_the_plan_change_words_only() -> None:
    american = foresee(plan().model_copy(update={"units": "us"}), catalogue(), weather())
    for name in ("full_bloom", "harvest_first", "bloom_kill", "normals", "coldest"):
        np.testing.assert_array_equal(getattr(american, name), getattr(seasons(), name))


def test_a_colder_hollow_has_more_frost_and_the_same_bloom() -> None:
    hollow = foresee(plan(colder_than_station=3.0), catalogue(), weather())
    np.testing.assert_array_equal(hollow.full_bloom, seasons().full_bloom)
    assert (hollow.bloom_kill >= seasons().bloom_kill).all()
    assert (hollow.coldest < seasons().coldest).all()
    assert np.nanmean(hollow.frost_free_days) < np.nanmean(seasons().frost_free_days)


def test_stretch_spreads_the_offsets() -> None:
    wide = foresee(plan(bloom_stretch=2.0), catalogue(), weather())
    golden = seasons().cultivars.index(GOLDEN)
    np.testing.assert_array_equal(wide.full_bloom[:, golden], seasons().full_bloom[:, golden])
    assert wide.full_bloom.std(axis=1).mean() > 1.3 * seasons().full_bloom.std(axis=1).mean()


def test_a_warmer_climate_brings_everything_forward_and_harvest_less_than_bloom() -> None:
    found = seasons()
    golden = found.cultivars.index(GOLDEN)
    bloom = [np.median(found.full_bloom[:, golden]), *(item.full_bloom[golden] for item in found.warmer)]
    harvest = [np.median(found.harvest_first[:, golden]), *(item.harvest[golden] for item in found.warmer)]
    assert bloom[0] > bloom[1] > bloom[2]
    assert harvest[0] > harvest[1] > harvest[2]
    assert harvest[0] - harvest[2] < bloom[0] - bloom[2]


MONTHS = "jan,feb,mar,apr,may,jun,jul,aug,sep,oct,nov,dec"


def with_changes(folder: Path, *rows: str) -> Catalogue:
    text = "\n".join([f"entry,change,part,{MONTHS}", *rows]) + "\n"
    (folder / "climate_changes.csv").write_text(text, encoding="utf-8")
    return Catalogue(read_tables(folder))


def test_a_change_stated_by_month_stands_beside_the_plain_warming(tmp_path: Path) -> None:
    even = "1,even,days," + ",".join(["2"] * 12)
    spring = "2,warm spring,days,0,0,3,3,3,0,0,0,0,0,0,0"
    found = foresee(plan(), with_changes(tmp_path, even, spring), weather())
    plain, stated, late = found.warmer[1:]
    assert (stated.label, late.label) == ("even", "warm spring")
    assert stated.step == pytest.approx(2.0)
    assert late.step == pytest.approx(0.75)
    golden = found.cultivars.index(GOLDEN)
    assert stated.full_bloom[golden] == pytest.approx(plain.full_bloom[golden], abs=0.1)
    assert late.full_bloom[golden] < np.median(found.full_bloom[:, golden]) - 3


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        (["1,odd,nights," + ",".join(["2"] * 12)], "says nothing of the days"),
        (["1,odd,days," + ",".join(["2"] * 12), "2,odd,days," + ",".join(["3"] * 12)], "twice"),
        (["1,odd,days," + ",".join(["16"] * 12)], "more than 15 degrees"),
        (["1,odd,sun," + ",".join(["2"] * 12)], "column part"),
    ],
)
def test_a_change_that_cannot_be_is_a_fault(tmp_path: Path, rows: list[str], says: str) -> None:
    with pytest.raises(Faults, match=says):
        foresee(plan(), with_changes(tmp_path, *rows), weather())


def test_warm_winters_get_chill_not_met_and_no_date() -> None:
    """Real warm winters: the Tunis file of the installed package aquacrop."""
    found = foresee(plan(latitude=36.8), catalogue(), aquacrop_climate("tunis"))
    golden, anna = found.cultivars.index(GOLDEN), found.cultivars.index("Anna")
    missed = np.isnan(found.full_bloom[:, golden])
    assert missed.mean() > 0.1
    assert np.isnan(found.harvest_first[missed, golden]).all()
    assert np.isnan(found.bloom_kill[missed, golden]).all()
    assert np.isfinite(found.full_bloom[:, anna]).all()
    assert MisfitReason.CHILL in reasons(found, GOLDEN)
    assert MisfitReason.CHILL not in reasons(found, "Anna")
    says = [notice for notice in found.notices if notice.code == "place.chill_missed"]
    assert says
    assert says[0].severity is Severity.WARNING


def test_a_cool_place_does_not_ripen_late_kinds() -> None:
    cool = foresee(plan(), catalogue(), invented("2000-09-01", "2013-12-31", warmer=-3.0))
    assert MisfitReason.UNRIPE in reasons(cool, "Granny Smith")
    assert "Granny Smith" not in seasons().unfit


def test_a_spring_too_cold_to_bloom_is_not_called_a_want_of_chill() -> None:
    arctic = foresee(plan(), catalogue(), invented("2000-09-01", "2005-12-31", warmer=-20.0))
    assert np.isnan(arctic.full_bloom).all()
    assert MisfitReason.COLD_SPRING in reasons(arctic, GOLDEN)
    assert MisfitReason.CHILL not in reasons(arctic, GOLDEN)


def test_gaps_are_told() -> None:
    usual = weather()
    tmax = usual.tmax.copy()
    tmax[900:930] = np.nan
    found = foresee(plan(), catalogue(), record(usual.day, usual.tmin, tmax))
    assert found.unusable_years == (2003,)
    assert any("2003" in line for line in said(found))


def test_no_usable_year_is_a_fault_that_says_so() -> None:
    with pytest.raises(CannotAnswer, match="no_year"):
        foresee(plan(), catalogue(), invented("2001-01-01", "2001-12-31"))


def test_few_years_are_told() -> None:
    found = foresee(plan(), catalogue(), invented("2000-09-01", "2003-12-31"))
    assert any("only 3 years" in line.lower() for line in said(found))


def seen(cultivar: str, event: DateSeen, late: float, years: int = 3) -> list[OwnDate]:
    column = seasons().cultivars.index(cultivar)
    known = seasons().full_bloom if event is DateSeen.FULL_BLOOM else seasons().harvest_first
    days = [(int(year), known[row, column] + late) for row, year in enumerate(seasons().years[:years])]
    return [
        OwnDate(f"{event} {year}", cultivar, event, date(year, 1, 1) + timedelta(days=round(day) - 1))
        for year, day in days
    ]


def test_own_bloom_dates_move_bloom_and_all_that_hangs_on_it() -> None:
    found = foresee(plan(), catalogue(), weather(), observed=seen("Gala", DateSeen.FULL_BLOOM, 8.0))
    gala, fuji = found.cultivars.index("Gala"), found.cultivars.index("Fuji")
    moved = np.mean(found.full_bloom - seasons().full_bloom, axis=0)
    assert 1.5 < moved[gala] < 8.0
    assert 0.2 < moved[fuji] < moved[gala]
    assert found.learned[0].dates == 3
    assert found.learned[0].cultivar_shift.keys() == {"Gala"}
    assert found.bloom_error_days < seasons().bloom_error_days


def test_first_bloom_and_petal_fall_teach_as_full_bloom_does() -> None:
    column = seasons().cultivars.index("Gala")
    own = [
        OwnDate(f"{event} {year}", "Gala", event, date(int(year), 1, 1) + timedelta(days=round(day) + 7))
        for event, days in (
            (DateSeen.FIRST_BLOOM, seasons().first_bloom),
            (DateSeen.PETAL_FALL, seasons().petal_fall),
        )
        for year, day in zip(seasons().years[:3], days[:3, column], strict=True)
    ]
    found = foresee(plan(), catalogue(), weather(), observed=own)
    assert found.learned[0].event == "bloom"
    assert found.learned[0].dates == 6
    assert 2.0 < np.mean(found.full_bloom - seasons().full_bloom, axis=0)[column] < 8.0


def test_own_picks_move_the_harvest_and_not_the_bloom() -> None:
    found = foresee(plan(), catalogue(), weather(), observed=seen("Gala", DateSeen.FIRST_PICK, -9.0, years=5))
    gala, other = found.cultivars.index("Gala"), found.cultivars.index("McIntosh")
    np.testing.assert_array_equal(found.full_bloom, seasons().full_bloom)
    moved = np.mean(found.harvest_first - seasons().harvest_first, axis=0)
    assert -9.0 < moved[gala] < -5.0
    assert moved[gala] < moved[other] < 0


def test_own_dates_come_from_the_orchards_folder(tmp_path: Path) -> None:
    lines = [
        f"{row.entry},{row.cultivar},{row.event},{row.date}" for row in seen("Gala", DateSeen.FULL_BLOOM, 8.0)
    ]
    text = "\n".join(["entry,cultivar,event,date", *lines]) + "\n"
    (tmp_path / "records").mkdir()
    (tmp_path / "records/bloom.csv").write_text(text, encoding="utf-8")
    own = read_records(tmp_path, catalogue()).rows("bloom", OwnDate)
    found = foresee(plan(), catalogue(), weather(), observed=own)
    assert found.learned[0].years == 3


def test_a_learned_offset_in_bloom_does_not_move_the_harvest() -> None:
    """Harvest has an offset of its own: only what the dates say of the whole place moves it."""
    found = foresee(plan(), catalogue(), weather(), observed=seen("Gala", DateSeen.FULL_BLOOM, 8.0))
    gala = found.cultivars.index("Gala")
    bloom = np.mean(found.full_bloom - seasons().full_bloom, axis=0)[gala]
    harvest = np.mean(found.harvest_first - seasons().harvest_first, axis=0)[gala]
    assert 0 < harvest < 0.8 * bloom


def test_an_own_date_that_is_none_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "records").mkdir()
    (tmp_path / "records/bloom.csv").write_text(
        "entry,cultivar,event,date\n1,Gala,bloom,2004-05-01\n", encoding="utf-8"
    )
    with pytest.raises(Faults, match="line 2, column event"):
        read_records(tmp_path, catalogue())


def test_the_growers_own_offset_stands_as_written(tmp_path: Path) -> None:
    (tmp_path / "cultivars.csv").write_text("name,harvest_offset_days\nGoldRush,21\n", encoding="utf-8")
    shipped, own = traits_of(catalogue()), traits_of(Catalogue(read_tables(tmp_path)))
    column = shipped.names.index("GoldRush")
    assert own.harvest_offset[column] == 21.0
    assert shipped.harvest_offset[column] > 21.0  # lists of dates put it later than the catalogue


def test_an_own_cultivar_without_figures_is_taken_as_the_reference(tmp_path: Path) -> None:
    (tmp_path / "cultivars.csv").write_text(
        "name,kind,propagation_right\nHouse Apple,dual,free\n", encoding="utf-8"
    )
    found = foresee(plan(), Catalogue(read_tables(tmp_path)), weather())
    house, golden = found.cultivars.index("House Apple"), found.cultivars.index(GOLDEN)
    np.testing.assert_array_equal(found.full_bloom[:, house], found.full_bloom[:, golden])
    assert np.isnan(found.harvest_first[:, house]).all()
    assert replace(found).harvest_of("House Apple") is None


def test_roots_in_cold_are_warned_of_for_the_tender_stock_and_not_for_the_hardy_one() -> None:
    asked = question(plan(), catalogue(), invented("2000-09-01", "2013-12-31", warmer=-6.0))
    tender, hardy = RootCold("Tender", -6.0), RootCold("Hardy", -30.0)
    cold = replace(asked, roots=(tender, hardy), rootstocks=("Tender", "Hardy"))
    found = answer(cold)
    assert found.root_injury["Tender"] > 0.5
    assert found.root_injury["Hardy"] == 0.0
    warned = [one for one in found.notices if one.code == "place.roots_in_cold"]
    assert [one.concerns for one in warned] == [("Tender",)]
    assert "roots of Tender" in " ".join(said(found))
    mild = replace(cold, weather=invented("2000-09-01", "2013-12-31", warmer=6.0))
    assert not [one for one in answer(mild).notices if one.code == "place.roots_in_cold"]
