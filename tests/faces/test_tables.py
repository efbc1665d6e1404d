"""Tables: right shape, the person's units, sensible digits, filters that say what is wrong."""

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from faces import invented

from topwire.book.sheets import checks
from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.engine.orchard import Orchard
from topwire.layout.staking import staking_sheets
from topwire.show import scarce_sheets
from topwire.show.catalogue_tables import catalogue_table
from topwire.show.summary import job
from topwire.show.table import UNKNOWN, Figure, Table, figure
from topwire.show.tables import NAMES, department_tables
from topwire.tell.reader import Reader
from topwire.tell.row_names import addresses
from topwire.trellis.kinds import TrellisPart
from topwire.values.fault import Faults
from topwire.values.quantities import Plain
from topwire.values.units import Kind, UnitSystem


def table(orchard: Orchard, department: str, title: str) -> Table:
    (found,) = [found for found in department_tables(orchard, department) if found.title.startswith(title)]
    return found


def column(found: Table, caption: str) -> list[object]:
    return [row[found.columns.index(caption)] for row in found.rows]


def test_a_figure_reads_well_and_stays_a_number() -> None:
    assert str(Figure(1234.56, 1)) == "1,234.6"
    assert str(Figure(-0.04, 1)) == "0.0"
    assert Figure(1234.56, 1) + 1 == pytest.approx(1235.56)
    assert json.dumps(Figure(0.5, 2)) == "0.5"
    assert figure(math.nan) == UNKNOWN
    assert figure(None) == UNKNOWN


def test_a_row_of_another_length_is_refused() -> None:
    with pytest.raises(ValueError, match="a row of 1 cells under 2 captions"):
        Table("t", ("a", "b"), (("x",),))


@pytest.mark.parametrize("system", list(UnitSystem))
@pytest.mark.parametrize("department", NAMES)
def test_every_department_has_tables(department: str, system: UnitSystem) -> None:
    found = department_tables(invented.orchard(units=system), department)
    assert found
    for one in found:
        assert one.rows, one.title
        for cells in one.rows:
            for cell in cells:
                assert "nan" not in str(cell).lower().split()
                assert "None" not in str(cell)


@pytest.mark.parametrize("department", NAMES)
def test_an_absent_department_has_none(department: str) -> None:
    assert department_tables(invented.without(invented.orchard(), *NAMES), department) == []


def test_departments_are_those_of_the_orchard(orchard: Orchard) -> None:
    assert tuple(orchard.departments) == NAMES


def test_the_same_crop_in_pounds_and_kilograms(orchard: Orchard, metric: Orchard) -> None:
    pounds = column(table(orchard, "years", "The crop by leaf"), "middle, lb")
    kilograms = column(table(metric, "years", "The crop by leaf"), "middle, kg")
    assert pounds[4] / kilograms[4] == pytest.approx(2.20462, rel=1e-5)  # type: ignore[operator]


def test_yield_per_area_is_in_short_tons_an_acre() -> None:
    # 1 t/ha = 0.4461 short tons (2,000 lb) an acre: 1000 kg / 907.18474 kg / 2.4710538 acres. NIST SP 811, app. B.8.
    assert Reader(UnitSystem.US).convert(0.1, Kind.CROP) == pytest.approx(0.44609, abs=1e-5)
    assert Reader(UnitSystem.METRIC).convert(0.1, Kind.CROP) == pytest.approx(1.0)


def test_wire_tension_by_temperature(orchard: Orchard, metric: Orchard) -> None:
    us = table(orchard, "trellis", "Tension to set")
    assert us.columns == ("air, °F", "tension, lbf")
    assert [str(cell) for cell in us.rows[1]] == ["50", "157"]  # 10 deg C, 700 N
    assert [str(cell) for cell in table(metric, "trellis", "Tension to set").rows[1]] == ["10", "700"]


def test_gusts_stand_with_the_weakest_part_first(metric: Orchard) -> None:
    found = table(metric, "trellis", "At which gust")
    assert column(found, "part") == ["line posts break", "an end anchor pulls out"]
    assert [float(value) for value in column(found, "middle, m/s")] == [25.0, 31.0]  # type: ignore[arg-type]


def test_lengths_as_a_tape_shows_them(orchard: Orchard, metric: Orchard) -> None:
    assert orchard.ground is not None
    sheet = staking_sheets(orchard.ground)[0]
    assert checks(sheet, Reader(orchard.origin.units)).rows[0][2] == "88 ft 11 in"
    assert str(checks(sheet, Reader(metric.origin.units)).rows[0][2]) == "27.10\u00a0m"


def test_a_bill_of_wire_turns_to_feet_with_its_price(orchard: Orchard, metric: Orchard) -> None:
    us, si = table(orchard, "water", "Bill").rows, table(metric, "water", "Bill").rows
    assert us[0][1] == pytest.approx(120 / 0.3048, rel=1e-3)  # whole feet
    assert us[0][2] == "ft"
    assert si[0][2] == "m"
    assert us[0][4] == si[0][4] == pytest.approx(48.0)  # the cost is the same
    assert us[0][1] * us[0][3] == pytest.approx(48.0, rel=1e-3)  # type: ignore[operator]


def test_what_has_no_price_is_said(metric: Orchard) -> None:
    found = table(metric, "trellis", "Bill")
    assert found.rows[1][3] == "ask the maker"
    assert found.notes == ("No price is known for 1 line: ask the maker.",)
    assert found.rows[-1][4] == pytest.approx(174.0)


def test_cultivars_that_never_get_there_are_said(metric: Orchard) -> None:
    assert table(metric, "years", "The leader").rows[0][-3:] == (3.0, 4.0, "not")


def test_service_adds_up(metric: Orchard) -> None:
    choice = metric.choice
    assert choice is not None
    rows = table(metric, "choice", "What the kitchen wants").rows
    assert rows[0][3] == pytest.approx(float(choice.needs[0].wanted.sum()))
    assert rows[0][5] == pytest.approx(float(np.median(choice.needs[0].served.sum(axis=1))))


def test_a_season_over_new_year_begins_in_summer(metric: Orchard) -> None:
    assert table(metric, "choice", "What the kitchen wants").rows[0][1] == "23 Jul, 14 May"  # weeks 30 to 20


def test_rows_built_alike_stand_together() -> None:
    assert (
        addresses(("South 1", "South 2", "South 3", "South 7", "Long Field 2"))
        == "South 1 to 3, 7; Long Field 2"
    )


def test_chill_not_met_is_no_date() -> None:
    reader = Reader(UnitSystem.US)
    assert reader.text(math.nan, Plain.DAY_OF_YEAR) == UNKNOWN
    assert reader.text(121.0, Plain.DAY_OF_YEAR) == "1 May"


def test_the_job_says_what_is_missing(orchard: Orchard) -> None:
    told = dict(job(invented.without(orchard, "water")))
    assert told["The water"].startswith("Not computed")
    assert "116 trees of 5 cultivars in 4 rows" in told["The planting"]


def test_the_first_part_to_give_is_one_that_gives(orchard: Orchard) -> None:
    assert orchard.trellis is not None
    (row,) = orchard.trellis.rows
    half = replace(row.gusts[0], part=TrellisPart.WIRE_HALF, low=9.0, middle=10.0, high=11.0)
    trellis = replace(orchard.trellis, rows=(replace(row, gusts=(half, *row.gusts)),))
    says = dict(job(replace(orchard, trellis=trellis)))["The trellis"]
    assert "line posts break" in says
    assert "half" not in says
    assert "fence does not bear the wires" in says
    fence = replace(orchard.trellis.fences[0], end_share=0.9, ground_share=0.8)
    assert fence.bears
    assert replace(fence, end_share=None).bears is None


def test_an_apple_known_by_its_season_has_no_date_of_picking(orchard: Orchard) -> None:
    assert orchard.place is not None
    name = orchard.place.cultivars[1]
    place = replace(orchard.place, by_season=(name,))
    found = table(replace(orchard, place=place), "place", "Bloom and harvest")
    rows = {str(row[0]): row for row in found.rows}
    known, by_season = rows[orchard.place.cultivars[2]], rows[name]
    first = found.columns.index("first pick, early year")
    assert UNKNOWN not in known[first:]
    assert UNKNOWN not in (by_season[first], by_season[first + 2])
    assert by_season[first + 1] == by_season[first + 3] == UNKNOWN
    assert any("by its season" in note for note in found.notes)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue(read_tables())


def test_the_catalogue_filters(catalogue: Catalogue) -> None:
    every = catalogue_table(catalogue, "catalogue")
    some = catalogue_table(catalogue, "catalogue", use="cider", kind="heritage", right="free")
    assert len(every.rows) == len(catalogue.cultivars)
    expected = [
        row.name
        for row in catalogue.cultivars
        if "cider" in row.uses and row.heritage and row.propagation_right == "free"
    ]
    assert [row[0] for row in some.rows] == expected
    assert 0 < len(expected) < len(every.rows)


def test_rootstocks_and_kitchen(catalogue: Catalogue) -> None:
    assert "G.41" in [row[0] for row in catalogue_table(catalogue, "rootstocks").rows]
    assert "slice of pie" in [row[0] for row in catalogue_table(catalogue, "kitchen").rows]


@pytest.mark.parametrize(
    ("what", "filters", "says"),
    [
        ("catalogue", {"use": "cidre"}, "Did you mean cider?"),
        ("catalogue", {"kind": "heritige"}, "Did you mean heritage?"),
        ("rootstocks", {"right": "fre"}, "Did you mean free?"),
        ("rootstocks", {"use": "cider"}, "rootstocks cannot be filtered by use"),
        ("kitchen", {"right": "free"}, "kitchen has no right to propagate"),
        ("kitchn", {}, "there is no table “kitchn”"),
    ],
)
def test_a_wrong_filter_is_told(catalogue: Catalogue, what: str, filters: dict[str, str], says: str) -> None:
    with pytest.raises(Faults, match=says.replace("?", r"\?")):
        catalogue_table(catalogue, what, **filters)  # type: ignore[arg-type]


def test_which_needs_are_left_out_of_what_limits_them_is_said(orchard: Orchard) -> None:
    assert orchard.choice is not None
    sheet = scarce_sheets.pinches(orchard.choice, Reader(orchard.origin.units))
    assert "Needs served to 98% or more in the mean year are left out." in sheet.rests_on


def told(found: Table) -> str:
    return " ".join((found.rests_on, *found.notes)).replace("\N{NO-BREAK SPACE}", " ")


def test_the_usual_trellis_is_one_on_the_whole_page(orchard: Orchard) -> None:
    """What it would stand here, what it is held against and the builds of known fate: the same posts."""
    us = replace(orchard, origin=replace(orchard.origin, units=UnitSystem.US))
    assert "Posts of 4 in, 32 ft 0 in apart, 3 ft 6 in deep" in told(
        table(us, "trellis", "What the usual build would")
    )
