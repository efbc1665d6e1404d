"""The bibliography cites works, not the places where a copy was seen; no firm or farm is named in what is shipped."""

import re
from pathlib import Path

import pytest

import topwire
from topwire.sources import Source, bibliography
from topwire.values.mark import Mark

SOURCE = Path(topwire.__file__).parent
EXAMPLES = SOURCE.parents[1] / "examples"
# Of a page or table seen once: the firm or farm it belonged to has no place here.
FIRMS = (
    "apples2pick", "appleshed", "burntridge", "burnt ridge", "bernwode", "deacons", "waflernursery", "wafler",
    "dripdepot", "protreenursery", "pro tree", "oldvaapples", "vine-works", "powerfields", "pasturepro",
    "diamondpiers", "dynplot",
    "royaloak", "stanpeterson", "hammockhaven", "dripworks", "netafim", "gripple", "felco",
)  # fmt: skip
TEXTS = (".py", ".csv", ".typ", ".md", ".yaml")
YEAR = re.compile(r"\b(1[6-9]|20)\d\d\b")


@pytest.mark.parametrize("source", bibliography().values(), ids=lambda source: source.key)
def test_a_source_is_a_work_with_a_year_or_says_that_it_is_none(source: Source) -> None:
    if set(source.marks) & {Mark.PRACTICE, Mark.COMPUTED}:
        return
    assert YEAR.search(source.citation), source.citation
    words = re.sub(r"\S+\.\S+/\S*|www\.\S+", "", source.citation)
    assert len(words.split()) >= 3, "an address alone is no source"


@pytest.mark.parametrize(
    "path",
    [
        path
        for folder in (SOURCE, EXAMPLES)
        for path in folder.rglob("*")
        if path.suffix in (".py", ".csv", ".typ", ".md")
    ],
    ids=lambda path: path.name,
)
def test_no_firm_or_farm_is_named(path: Path) -> None:
    text = path.read_text(encoding="utf-8").lower()
    assert not [firm for firm in FIRMS if firm in text]
