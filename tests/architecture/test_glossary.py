"""Captions use the words of docs/glossary.md: a word of the trade stands there, or it is plain English."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
GLOSSARY = ROOT / "docs/glossary.md"
PLAIN = set((Path(__file__).parent / "plain_words.txt").read_text(encoding="utf-8").split())
WORD = re.compile(r"[a-z][a-z'’-]+")
# One thing, one word: the others are not written.
INSTEAD = {
    r"variet(y|ies)": "cultivar",
    r"polli(nizer|niser|nator)s?": "pollen donor",
    r"percentiles?": "low, middle, high",
    r"dripper": "emitter",
}


def entries() -> list[list[str]]:
    lines = GLOSSARY.read_text(encoding="utf-8").splitlines()
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines if line.startswith("| ")]
    return [row for row in rows if row[0] != "word"]


def glossary_words() -> set[str]:
    return set(WORD.findall(" ".join(row[0] for row in entries()).lower()))


def _written(node: ast.expr) -> str:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(part.value if isinstance(part, ast.Constant) else " " for part in node.values)
    return ""


def captions() -> Iterator[tuple[str, str]]:
    """(file, caption) of every title of a Sheet and every caption of a Column."""
    for path in sorted((ROOT / "src/topwire/show").glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            named = isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
            if named and node.func.id in ("Sheet", "Column") and len(node.args) > 1:
                yield path.name, _written(node.args[1])


CAPTIONS = sorted({(file, caption) for file, caption in captions() if caption})


def _known(word: str, glossary: set[str]) -> bool:
    forms = {word, word.removesuffix("s"), word + "s", re.sub("ies$", "y", word)}
    return bool(forms & (glossary | PLAIN))


def test_there_are_captions() -> None:
    assert len(CAPTIONS) > 300


@pytest.mark.parametrize(("file", "caption"), CAPTIONS)
def test_a_caption_uses_the_glossarys_words_or_plain_ones(file: str, caption: str) -> None:
    glossary = glossary_words()
    unknown = [word for word in WORD.findall(caption.lower()) if not _known(word, glossary)]
    assert not unknown, f"{file}: give {unknown} a line in docs/glossary.md, or a plainer word"


@pytest.mark.parametrize(("file", "caption"), CAPTIONS)
def test_one_thing_has_one_word(file: str, caption: str) -> None:
    for other, ours in INSTEAD.items():
        assert not re.search(rf"\b{other}\b", caption.lower()), f"{file}: write {ours}"


def test_every_word_has_one_line_and_a_meaning() -> None:
    rows = entries()
    assert len({row[0] for row in rows}) == len(rows) > 80
    for row in rows:
        assert len(row) >= 2, row
        assert len(row[1].split()) >= 3, row
