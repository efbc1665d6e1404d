"""A note at the desk is held against who stands where."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from engine import small

from topwire.engine.noted import NotedOrchard, noted, noted_orchard
from topwire.records.store import open_store
from topwire.records.words_left import NotUnderstood
from topwire.values.address import TreeAddress

TODAY = date(2035, 9, 20)


@pytest.fixture
def orchard(tmp_path: Path) -> NotedOrchard:
    trees = {TreeAddress("Yard", 1, place): "Gala" for place in range(1, 9)}
    return replace(
        noted_orchard(small.make(tmp_path / "yard")), trees=trees | {TreeAddress("Yard", 2, 1): "Empire"}
    )


@pytest.mark.parametrize(
    "text",
    [
        "picked 50 lb Empire from Yard 1",
        "Yard 1 Empire 240 fruitlets",
        "used 5 lb Empire from Yard 1",
        "Yard 1, tree 3 Empire trunk 1.2 in",
    ],
)
def test_a_cultivar_comes_only_from_rows_in_which_it_stands(
    orchard: NotedOrchard, tmp_path: Path, text: str
) -> None:
    with open_store(tmp_path / "yard") as store:
        with pytest.raises(NotUnderstood) as told:
            noted(orchard, store, text, today=TODAY)
        assert told.value.says.startswith("no Empire stands in Yard 1")
        assert "It stands in Yard 2." in told.value.remedy
        # Unless the records say that it was set there.
        noted(orchard, store, "20 Apr 2031: Yard 1, tree 3 replaced by Empire", today=TODAY)
        noted(orchard, store, text, today=TODAY)


@pytest.mark.parametrize(
    "text", ["picked 50 lb Empire from Yard 2", "picked 5 lb Gala from Yard", "pruning Yard 1 Empire, 2 h"]
)
def test_what_can_be_is_kept(orchard: NotedOrchard, tmp_path: Path, text: str) -> None:
    with open_store(tmp_path / "yard") as store:
        assert noted(orchard, store, text, today=TODAY)


@pytest.mark.parametrize(
    ("text", "says", "remedy"),
    [
        ("Yard 1, tree 9 dead", "Yard 1 has no tree 9.", "Its trees are 1 to 8."),
        ("pruning Yard 3, 2 h", "Yard has no row 3.", "Its rows are 1 to 2."),
    ],
)
def test_a_place_that_no_row_has_is_refused(
    orchard: NotedOrchard, tmp_path: Path, text: str, says: str, remedy: str
) -> None:
    with open_store(tmp_path / "yard") as store:
        with pytest.raises(NotUnderstood) as told:
            noted(orchard, store, text, today=TODAY)
        assert (told.value.says, told.value.remedy) == (says, remedy)
        assert not store.entries()


def test_money_of_another_country_is_not_taken_for_the_plans(orchard: NotedOrchard, tmp_path: Path) -> None:
    with open_store(tmp_path / "yard") as store:
        with pytest.raises(
            NotUnderstood, match=r"the plan's money is USD, and the note says euros\. Write it in USD"
        ):
            noted(orchard, store, "sold 20 lb Gala for €36", today=TODAY)
        for kept in (
            "sold 20 lb Gala for $36",
            "sold 20 lb Gala for 36",
            "sold 20 lb Gala for $36 (was €30 before)",
        ):
            assert noted(orchard, store, kept, today=TODAY)
        abroad = replace(orchard, currency="EUR")
        with pytest.raises(NotUnderstood, match="says dollars"):
            noted(abroad, store, "sold 20 kg Gala at $2/kg", today=TODAY)
        assert noted(replace(orchard, currency="SEK"), store, "sold 20 kg Gala for 36", today=TODAY)
