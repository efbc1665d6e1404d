"""Shipped tables and the grower's own rows over them."""

from pathlib import Path

import pytest

from topwire.catalogue.model import Catalogue, Mark, Right
from topwire.catalogue.tables import read_tables
from topwire.notices import Faults


def test_all_rows_are_typed() -> None:
    catalogue = Catalogue(read_tables())
    assert len(catalogue.cultivars) == 166
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
