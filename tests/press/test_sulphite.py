"""From one pH on there is no dose: lots, table, batch sheets, words and docs know the same, by the pH as it is told."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from topwire.cellar.cider import BLEND_FROM, sulphite_at_pressing, told_ph
from topwire.choice.findings import Mixture
from topwire.press.answer import _lots
from topwire.show.press_sheets import doses, lots
from topwire.show.sheet import printed
from topwire.tell.reader import Reader
from topwire.tell.season import CELLAR_WORDS
from topwire.values.units import UnitSystem

DOCS = Path(__file__).parents[2] / "docs"


@pytest.mark.parametrize(
    ("ph", "told", "said"),
    [
        (3.74, "3.7", "150 mg/L in all, by a meter’s pH"),
        (3.76, "3.8", "juice too mild: blend with a sharp lot first, then by its pH"),
        (3.81, "3.8", "juice too mild: blend with a sharp lot first, then by its pH"),
    ],
)
def test_a_lot_is_dosed_by_the_ph_on_its_sheet(ph: float, told: str, said: str) -> None:
    week = Mixture(41, 100.0, 2.3, 0.5, 2.5, 0.5, 13.0, 0.8, 1.0, (("Kermerrien", 1.0),), ph, 0.15)
    made: Any = SimpleNamespace(weeks=(week,), need=0, product="bittersweet", fermented=True, style=None)
    asked: Any = SimpleNamespace(juice=(0.5, 0.65, 0.7))
    found: Any = SimpleNamespace(lots=_lots(asked, made, ()), year=1995)
    table = printed(lots(found), Reader(UnitSystem.METRIC))
    (row,) = (dict(zip(table.columns, row, strict=True)) for row in table.rows)
    assert (str(row["pH, about"]), row["sulphite at pressing"]) == (told, said)


def test_table_words_and_docs_name_the_ph_that_decides() -> None:
    assert sulphite_at_pressing(told_ph(BLEND_FROM, read=True)) is None
    assert sulphite_at_pressing(told_ph(BLEND_FROM - 0.01, read=True)) == 150.0
    assert doses().rows[-1][:2] == (f"from {BLEND_FROM:g} on", "blend or sharpen first")
    assert f"from pH {BLEND_FROM:g} on" in str(CELLAR_WORDS["cellar.sulphite"])
    for page in ("cider.md", "season.md"):
        assert f"From pH {BLEND_FROM:g} on" in (DOCS / page).read_text(encoding="utf-8"), page
