"""Shipped tables and the grower's own rows over them."""

import re
from pathlib import Path

import pytest

from topwire.catalogue.model import Catalogue, Mark, Right
from topwire.catalogue.schemas import SCHEMAS
from topwire.catalogue.tables import read_tables
from topwire.guests.question import CooksRow
from topwire.values.fault import Faults


def test_all_rows_are_typed() -> None:
    catalogue = Catalogue(read_tables())
    assert len(catalogue.cultivars) == 249
    assert len(catalogue.rootstocks) == 29
    golden = catalogue.cultivar["Golden Delicious"]
    assert golden.bloom_offset_days == 0
    assert golden.alleles == (2, 3)
    assert golden.evidence_of("s_alleles").mark is Mark.READ
    assert golden.evidence_of("s_alleles").sources == ("GOLD1999",)


def test_missing_is_missing_and_not_zero() -> None:
    catalogue = Catalogue(read_tables())
    assert catalogue.cultivar["Malus floribunda"].storage_weeks is None
    assert any(row.alleles == () for row in catalogue.cultivars)
    assert not [row.name for row in catalogue.cultivars if row.fruit_mass_g == 0]


def test_every_right_is_said() -> None:
    catalogue = Catalogue(read_tables())
    assert {row.propagation_right for row in catalogue.cultivars} == {Right.FREE, Right.UNKNOWN}
    assert Right.LICENSED in {row.propagation_right for row in catalogue.rootstocks}


def test_own_rows_override_cell_by_cell(tmp_path: Path) -> None:
    (tmp_path / "cultivars.csv").write_text(
        "name,kind,propagation_right,storage_weeks,ploidy\nGala,,,9,\nHouse Apple,dual,free,20,2\n",
        encoding="utf-8",
    )
    catalogue = Catalogue(read_tables(tmp_path))
    assert catalogue.cultivar["Gala"].storage_weeks == 9
    assert catalogue.cultivar["Gala"].s_alleles == "S2S5"
    assert catalogue.cultivar["House Apple"].bloom_offset_days is None


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("cultivar.csv", "name\nGala\n", "Did you mean cultivars.csv?"),
        ("cultivars.csv", "name,storage\nGala,9\n", "Did you mean “storage_weeks”?"),
        ("cultivars.csv", "kind\ndual\n", "the column “name” is missing"),
        ("cultivars.csv", "name,kind\n,dual\n", "line 2: the row has no name"),
        (
            "cultivars.csv",
            "name,storage_weeks\nGala,long\n",
            "line 2, column storage_weeks: “long” does not fit",
        ),
        ("cultivars.csv", "name,kind\nNew One,dual\n", "column propagation_right"),
    ],
)
def test_says_what_is_wrong(tmp_path: Path, name: str, text: str, says: str) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(Faults) as found:
        _ = Catalogue(read_tables(tmp_path)).cultivars
    assert any(says in str(notice) for notice in found.value.notices), found.value


def test_a_file_that_is_no_text(tmp_path: Path) -> None:
    (tmp_path / "cultivars.csv").write_bytes(b"\xff\xfe\x00rubbish")
    with pytest.raises(Faults, match="not a text file"):
        read_tables(tmp_path)


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_shipped_rows_fit_their_schema(name: str) -> None:
    tables, schema = read_tables(), SCHEMAS[name]
    assert set(schema.column) == set(tables[name].columns)
    assert schema.columns[0].name == tables[name].columns[0]
    wrong = [(key, fault) for key, row in tables[name].rows.items() for fault in schema.row_faults(row.cells)]
    assert not wrong


def test_every_table_has_a_schema() -> None:
    assert set(read_tables()) == set(SCHEMAS)


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("posts", "name,length_m\npine 100 mm x 3.0 m,abc\n", "column length_m: “abc” does not fit"),
        ("posts", "name,kind,diameter_m,length_m\nX,round wood,0.1,-3\n", "write a number, above 0 to 12 m"),
        ("posts", "name,kind,diameter_m,length_m\nX,plastic,0.1,3\n", "write round wood, steel, concrete"),
        ("posts", "name,wood\npine 100 mm x 3.0 m,southern pine\n", "Did you mean southern pine, other"),
        ("cultivars", "name,bloom_offset_days\nGala,-inf\n", "column bloom_offset_days: “-inf” does not fit"),
        ("cultivars", "name,bloom_offset_days\nGala,1e400\n", "-40 to 60 days"),
        ("cultivars", "name,ploidy\nGala,2.5\n", "write a whole number, 2 to 4"),
        ("cultivars", "name,notes\nGala,a\x07b\n", "a control character (U+0007)"),
        ("cultivars", 'name,notes\nGala,"a\nb"\n', "a line break or a tab"),
        ("cultivars", "name,storage_weeks\nGala,9\nGala,8\n", "stands in line 2 already"),
        ("cultivars", 'name,notes\nGala,"open\n', "a quote that is not closed"),
        ("cultivars", f"name,notes\nGala,{'a' * 200_000}\n", "too long to be meant"),
        ("cultivars", "name,storage_weeks\nGala,9,7\n", "has 3 cells where the first line names 2"),
        ("cultivars", "name,storage_weeks\nwealthy,9\n", "“wealthy” would stand beside “Wealthy”"),
        ("cultivars", "name,storage_weeks\nAshmeads kernel,9\n", "Write Ashmead's Kernel."),
        (
            "posts",
            "name,kind,diameter_m,length_m\nMine,steel,0.1,3\nmine,steel,0.1,3\n",
            "line 3, column name: “mine”",
        ),
        (
            "cultivars",
            "name;storage_weeks\nGala;9,5\n",
            "line 1: its cells are parted by semicolons, not commas. Save",
        ),
        ("labour", "task,low\npicking,5000\n", "it is below low, which is 5000"),
        ("own_dates", "entry\n1\n", "Move it to records/bloom.csv"),
    ],
)
def test_every_cell_of_every_own_table_is_typed(tmp_path: Path, name: str, text: str, says: str) -> None:
    (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    with pytest.raises(Faults) as found:
        read_tables(tmp_path)
    assert any(says in str(notice) for notice in found.value.notices), found.value


def test_what_is_best_eaten_out_of_store_is_given_its_weeks_there() -> None:
    """Two tables of ours speak of it: what cultivar_kitchen.csv calls spring's or the store's dessert mellows first."""
    catalogue = Catalogue(read_tables())
    late = re.compile(
        r"(spring|March|late-winter) (dessert|eating|table)|dessert (from store|February|March)|raw late"
    )
    found = [
        row.cultivar
        for row in catalogue.rows("cultivar_kitchen", CooksRow)
        if late.search(row.best_for or "") and "fresh" in catalogue.cultivar[row.cultivar].uses
    ]
    assert len(found) > 8
    assert not [name for name in found if not catalogue.cultivar[name].best_after_weeks]


def test_soils_that_fao_does_not_know_hold_what_saxton_and_rawls_say() -> None:
    """Field capacity and wilting point of the three classes; the work on infiltration once cited tabulates neither."""
    rows = read_tables()["soils_water"].rows
    said = {"sandy clay loam": (0.27, 0.17), "clay loam": (0.36, 0.22), "sandy clay": (0.36, 0.25)}
    for texture, held in said.items():
        cells = rows[texture].cells
        assert cells["water_source"] == "SAXTON2006"
        assert (float(cells["field_capacity"]), float(cells["wilting_point"])) == held
