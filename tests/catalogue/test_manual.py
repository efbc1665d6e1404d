"""The reference of the tables is made from their schemas."""

from pathlib import Path

from topwire.catalogue.manual import manual
from topwire.catalogue.schemas import SCHEMAS

DOCS = Path(__file__).parents[2] / "docs"


def test_the_reference_is_the_schemas() -> None:
    remedy = "run: python -m topwire.catalogue.manual"
    assert (DOCS / "tables.md").read_text(encoding="utf-8") == manual(SCHEMAS.values()), remedy
