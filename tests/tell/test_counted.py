"""A number and its noun agree; small ground is told in small units."""

import re

import pytest

from topwire.tell.reader import Reader, counted
from topwire.tell.speech import speech
from topwire.tell.words import Words, told
from topwire.values.notice import Measured, warning
from topwire.values.quantities import Plain
from topwire.values.units import Kind, UnitSystem

READER = Reader(UnitSystem.US)


@pytest.mark.parametrize(
    ("number", "says"),
    [(0, "0 trees"), (1, "1 tree"), (0.6, "1 tree"), (2, "2 trees"), (1240, "1,240 trees")],
)
def test_number_and_noun_agree(number: float, says: str) -> None:
    assert counted(number, "tree") == says


def test_words_agree_with_the_fact() -> None:
    words = {"a.b": Words("{trees:tree|trees} ({concerns}) {trees:~gets|get} {rest:minute|minutes}")}
    for trees, says in ((1, "1 tree (Anna) gets 1 minute"), (2, "2 trees (Anna) get 1 minute")):
        notice = warning("a.b", concerns=["Anna"], trees=trees, rest=Measured(1.0, Plain.COUNT))
        assert told(notice, words, READER).says == says


def test_short_of_pollen_is_told_of_one_tree_too() -> None:
    notice = warning(
        "layout.short_of_pollen", concerns=["Anna"], trees=1, worst="South 1, tree 2", share=0.4, settings=()
    )
    assert told(notice, speech(), READER).says.startswith("1 tree (Anna) gets less")


def test_no_words_join_a_count_with_a_plural_alone() -> None:
    """What may be one is written with both forms; years and trees that are settings of more than one are named."""
    plain = re.compile(
        r"\{(trees|count|places|grafts|ends|lots|weeks)\} [a-z ]*?(trees|cultivars|places|grafts|ends)\b"
    )
    for code, words in speech().items():
        if isinstance(words, Words):
            assert not plain.search(words.says + words.remedy), code


def test_small_ground_is_not_nothing() -> None:
    assert READER.text(5.4, Kind.AREA) == "58\u00a0ft²"
    assert READER.text(4046.9, Kind.AREA) == "1.00\u00a0acre"
    assert READER.text(2999.0, Kind.LENGTH, -3) == "10,000\u00a0ft"
