"""The bibliography cites works, not the places where a copy was seen; no firm, farm or brand is named."""

import re
from collections import Counter
from pathlib import Path

import pytest

import topwire
from topwire.checks import all_checks
from topwire.sources import Source, bibliography
from topwire.values.mark import Mark

SOURCE = Path(topwire.__file__).parent
ROOT = SOURCE.parents[1]
# Of a page or table seen once: the firm or farm it belonged to has no place here. Nor have goods by their brand.
FIRMS = (
    "apples2pick", "appleshed", "burntridge", "burnt ridge", "bernwode", "deacons nursery", "waflernursery", "wafler",
    "dripdepot", "protreenursery", "pro tree nursery", "oldvaapples", "vine-works", "powerfields", "pasturepro",
    "diamondpiers", "dynplot", "royaloak", "stanpeterson", "hammockhaven", "treetop.com", "innexpress", "rougieux",
    "ladeviniere", "cumminsnursery", "idiyas", "patsnap", "justia", "scionexchange", "growingfruit.org", "kfvs12",
    "caribooponderer", "farms.com", "mlive", "researcher.life", "docslib", "what-when-how", "123dok", "9dok", "cld.bz",
)  # fmt: skip
BRANDS = (
    "dripworks", "netafim", "rain bird", "rainbird", "gripple", "felco", "parafilm", "maxtapener", "velcro", "tyvek",
    "styrofoam", "roundup", "glyphosate", "captan", "maxcel", "apogee", "equilifruit", "strainrite", "galfan",
    "bezinal", "bekaert", "avery", "dymo", "kubota", "john deere", "stihl", "husqvarna", "microsoft", "libreoffice",
    "google", "iphone", "lalvin", "campden", "kitchenaid", "teflon", "plexiglas",
)  # fmt: skip
SIGNS = ("®", "™")
TEXTS = (".py", ".csv", ".typ", ".md", ".yaml", ".geojson", ".svg")
SHIPPED = [
    path
    for folder in (SOURCE, ROOT / "examples", ROOT / "docs", ROOT / "README.md", ROOT / "CHANGELOG.md")
    for path in ([folder] if folder.is_file() else sorted(folder.rglob("*")))
    if path.suffix in TEXTS
]
YEAR = re.compile(r"\b(1[6-9]|20)\d\d\b")
ADDRESS = re.compile(r"https?:|\bwww\.|\b[\w-]+\.(com|org|edu|gov|net|uk|ca|fr|ch|blog)\b", re.IGNORECASE)
PLACE_IN_A_JOURNAL = re.compile(r"\d(\([\w-]+\))?:[A-Z]?\d+")
# Pages that bear no date; may only become fewer. 47 before soil and training, whose guides are pages of that sort.
MOST_UNDATED = 68
KNOWN = bibliography()


def is_a_work(source: Source) -> bool:
    return not set(source.marks) & {Mark.PRACTICE, Mark.COMPUTED}


WORKS = [source for source in KNOWN.values() if is_a_work(source)]
PRACTICE = [source for source in KNOWN.values() if Mark.PRACTICE in source.marks]


@pytest.mark.parametrize("source", KNOWN.values(), ids=lambda source: source.key)
def test_a_source_is_a_work_with_a_year_or_says_that_it_is_none(source: Source) -> None:
    assert not ADDRESS.search(source.citation), "an address is no citation; where a work was read is a remark"
    assert not ADDRESS.search(source.where), "where is a page, table or equation; an address is a remark"
    assert "stored" not in source.where
    if not is_a_work(source):
        return
    assert YEAR.search(source.citation), source.citation
    assert len(source.citation.split()) >= 5, "author, year, title, publisher"
    assert Mark.UNSAID not in source.marks, "read or remembered?"
    if "MEMORY" in source.citation + source.where:
        assert Mark.MEMORY in source.marks, "what the citation owns as remembered, its mark says too"


@pytest.mark.parametrize("source", WORKS, ids=lambda source: source.key)
def test_a_work_says_where_in_it(source: Source) -> None:
    """Page, table, equation, section, number or figure quoted; for a paper volume and page will do."""
    assert source.where or PLACE_IN_A_JOURNAL.search(source.citation), source.citation


@pytest.mark.parametrize("source", PRACTICE, ids=lambda source: source.key)
def test_common_practice_names_nobody(source: Source) -> None:
    assert not ADDRESS.search(source.remark)


def test_pages_without_a_date_become_fewer() -> None:
    undated = [source.key for source in KNOWN.values() if "undated" in source.citation]
    assert len(undated) <= MOST_UNDATED, undated


def test_every_source_is_cited() -> None:
    """In code, a table, a check, a test, the docs, or as part of another source; its own row does not count."""
    folders = (SOURCE, ROOT / "docs", ROOT / "tests")
    texts = [path for folder in folders for path in folder.rglob("*") if path.suffix in TEXTS]
    count = Counter(
        word for path in texts for word in re.findall(r"[\w-]+", path.read_text(encoding="utf-8"))
    )
    assert not [key for key in KNOWN if count[key] < 2]


def test_every_check_cites_a_source() -> None:
    for check in all_checks():
        assert check.source.partition(",")[0] in KNOWN or check.source == Mark.PRACTICE, check.source


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_firm_farm_or_brand_is_named(path: Path) -> None:
    text = path.read_text(encoding="utf-8").lower()
    found = [word for word in (*FIRMS, *BRANDS) if re.search(rf"(?<![a-z]){re.escape(word)}(?![a-z])", text)]
    assert not found
    assert not [sign for sign in SIGNS if sign in text]
