"""Every picture has its table, its file and its why; every figure leads to what decides it; every such link arrives."""

import csv
import io
import re
from collections.abc import Iterator
from html import unescape

import pytest
from web.desk import Browser, Served

from topwire.web.contents import PAGES

DEPARTMENTS = [page.name for page in PAGES if page.departments]
FIGURE = re.compile(r'<figure class="picture[^"]*"(?: id="picture-([\w-]+)")?>(.*?)</figure>', re.DOTALL)
FOLD = re.compile(r'<details class="sheet fold".*?<div id="([\w.]+)">(.*?)</div>\s*</details>', re.DOTALL)


@pytest.fixture(scope="module")
def pages(served: Served) -> Iterator[dict[str, str]]:
    with Browser(served) as browser:
        yield {name: browser.get(f"/{name}").text for name in ("", *DEPARTMENTS)}


@pytest.mark.parametrize("name", ["", *DEPARTMENTS])
def test_every_picture_has_its_table_and_its_file(pages: dict[str, str], browser: Browser, name: str) -> None:
    for picture, inside in FIGURE.findall(pages[name]):
        tables = re.findall(r'href="(?:#|/sheet/)([\w.]+?)(?:\.csv)?"', inside)
        assert tables, f"{name}: {picture} has no table"
        for table in set(tables):
            if f'href="#{table}"' in inside:
                assert f'id="{table}"' in pages[name], f"{picture}: its table is on another page"
            lines = list(csv.reader(io.StringIO(browser.get(f"/sheet/{table}.csv").text)))
            assert len(lines) > 1, f"{picture}: {table} holds nothing"


@pytest.mark.parametrize("name", DEPARTMENTS)
def test_every_table_says_what_it_rests_on_and_each_link_arrives(
    pages: dict[str, str], browser: Browser, name: str
) -> None:
    folds = FOLD.findall(pages[name])
    assert folds
    sources = browser.get("/sources").text
    for sheet, inside in folds:
        assert "Why these figures?" in inside, f"{sheet} says not what it rests on"
        assert f'href="/sheet/{sheet}.csv"' in inside
    for setting in set(re.findall(r'href="/plan\?at=([^"]+)"', pages[name])):
        answer = browser.get(f"/plan?at={setting}")
        assert answer.status_code == 200, setting
        own_table = setting.startswith(
            "catalogue%2F"
        )  # a file beside the plan, on a page that says how it is written
        assert answer.history or own_table, f"{setting} leads to no field"
    for key in set(re.findall(r'href="/sources#([^"]+)"', pages[name])):
        assert f'id="{unescape(key)}"' in sources, key
