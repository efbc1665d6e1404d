"""What the grower saw and counted, read and typed."""

from datetime import date
from pathlib import Path

import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.records.manual import records_manual
from topwire.records.read import NO_RECORDS, read_records
from topwire.values.fault import Faults
from topwire.values.own_date import DateSeen, OwnDate

DOCS = Path(__file__).parents[2] / "docs"
CATALOGUE = Catalogue(read_tables())


def write(folder: Path, name: str, text: str) -> Path:
    (folder / "records").mkdir(exist_ok=True)
    (folder / "records" / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder


def test_no_folder_no_records(tmp_path: Path) -> None:
    assert read_records(tmp_path, CATALOGUE) == NO_RECORDS
    assert NO_RECORDS.rows("bloom", OwnDate) == ()


def test_dates_are_read(tmp_path: Path) -> None:
    folder = write(tmp_path, "bloom", "entry,cultivar,event,date\n1,Gala,full bloom,2026-04-30\n")
    (row,) = read_records(folder, CATALOGUE).rows("bloom", OwnDate)
    assert row == OwnDate("1", "Gala", DateSeen.FULL_BLOOM, date(2026, 4, 30))


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("blooms", "entry\n1\n", "Did you mean bloom.csv?"),
        ("bloom", "entry,cultivar,event,date\n1,Galla,full bloom,2026-04-30\n", "Did you mean Gala or"),
        ("bloom", "entry,cultivar,event,date\n1,Gala,full bloom,30/4/2026\n", "write a date as 2024-04-28"),
        ("bloom", "entry,cultivar,event,date\n1,Gala,ful bloom,2026-04-30\n", "did you mean “full bloom”?"),
        (
            "takes",
            "lot,started,good\na,10,12\n",
            "line 2, column started: “10” does not fit: it is below good",
        ),
        ("takes", "lot,started,good\na,ten,2\n", "write a whole number, 1 to 100,000"),
        ("fruitlets", "fruitlet,cultivar,leaf,cluster,first_mm\n1,Gala,5,a,0\n", "above 0 to 150 mm"),
    ],
)
def test_what_does_not_fit_is_told_with_line_and_column(
    tmp_path: Path, name: str, text: str, says: str
) -> None:
    with pytest.raises(Faults) as found:
        read_records(write(tmp_path, name, text), CATALOGUE)
    assert any(says in str(notice) for notice in found.value.notices), found.value


def test_the_reference_is_the_schemas() -> None:
    remedy = "run: python -m topwire.records.manual"
    assert (DOCS / "records.md").read_text(encoding="utf-8") == records_manual(), remedy
