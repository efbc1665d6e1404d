"""Every code that a room tells has words, and every word is told by somebody."""

import ast
import re
from pathlib import Path

import pytest

import topwire
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told, speech
from topwire.tell.trellis_work import STEPS
from topwire.tell.words import Words, in_system, told
from topwire.trellis.kinds import BuildStep
from topwire.values.notice import Measured, Notice, Severity, remark, warning
from topwire.values.quantities import Plain
from topwire.values.units import Kind, UnitSystem

SOURCE = Path(topwire.__file__).parent
CODE = re.compile(r"[a-z]+\.[a-z_]+")
MAKERS = {"refusal", "warning", "caution", "assumption", "remark"}
US, METRIC = Reader(UnitSystem.US), Reader(UnitSystem.METRIC)


Trees = dict[Path, ast.Module]


@pytest.fixture
def trees() -> Trees:
    """The whole source, parsed once for all that is asked of it."""
    return {path: ast.parse(path.read_text(encoding="utf-8")) for path in SOURCE.rglob("*.py")}


def codes(trees: Trees, *, told: bool) -> set[str]:
    """Codes that stand in the source below the telling; with `told` only those handed to a maker of notices."""
    found = set()
    for path, tree in trees.items():
        if path.parent.name == "tell":
            continue
        for node in ast.walk(tree):
            if not told and isinstance(node, ast.Constant) and CODE.fullmatch(str(node.value)):
                found.add(str(node.value))
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in MAKERS and node.args:
                first = node.args[0]
                if isinstance(first, ast.Constant) and CODE.fullmatch(str(first.value)):
                    found.add(str(first.value))
    return found


def _beginnings(trees: Trees) -> set[str]:
    """Beginnings of codes that a room puts together ("ground.outline_" and what is wrong)."""
    found: set[str] = set()
    for tree in trees.values():
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr) and isinstance(node.values[0], ast.Constant):
                said = str(node.values[0].value)
                if re.fullmatch(r"[a-z]+\.[a-z_]+", said):
                    found.add(said)
    return found


def test_codes_and_words_are_the_same(trees: Trees) -> None:
    assert not codes(trees, told=True) - set(speech())
    beginnings = tuple(_beginnings(trees))
    assert beginnings, "codes are put together somewhere, or the rule for it can go"
    idle = {code for code in set(speech()) - codes(trees, told=False) if not code.startswith(beginnings)}
    assert not idle, idle


def test_what_is_said_alike_of_several_rows_is_said_once() -> None:
    """Figures that differ, but not as the reader reads them; a third row's differ to the eye."""

    def of(rows: list[str], room: float) -> Notice:
        return remark(
            "trellis.anchors_in_headland",
            setting="ground.headland",
            concerns=rows,
            reach=Measured(3.0, Kind.LENGTH),
            room=Measured(room, Kind.LENGTH),
            left=Measured(room - 3.0, Kind.LENGTH),
            turns=True,
        )

    outer, inner, short = (
        of(["South 1", "South 4"], 7.001),
        of(["South 2", "South 3"], 7.0),
        of(["East 1"], 5.0),
    )
    first, second = all_told([outer, short, inner], METRIC)
    assert (first.says.count("South 1 to 4"), first.concerns) == (
        1,
        ("South 1", "South 4", "South 2", "South 3"),
    )
    assert second.concerns == ("East 1",)
    counts = [remark("choice.alleles_unknown", concerns=[name], count=1) for name in ("Gala", "Wealthy")]
    assert len(all_told(counts, METRIC)) == 2  # merged, “1 cultivar” would be followed by two


def test_figures_are_told_in_the_readers_units() -> None:
    words = {
        "a.b": Words(
            "{height} high, {height:tape} by tape, {share} of {count} in {names}; {concerns} by {share:.1}.",
            "Cut at [75 cm|30 in].",
        )
    }
    notice = warning(
        "a.b",
        concerns=("Gala", "Wealthy", "Mutsu"),
        height=Measured(3.048, Kind.LENGTH),
        share=Measured(0.347, Plain.SHARE),
        count=1240,
        names=("South 1", "South 2"),
    )
    us, metric = (told(notice, words, reader) for reader in (US, METRIC))
    assert us.says == (
        "10.0\u00a0ft high, 10 ft 0 in by tape, 35% of 1,240 in South 1 and South 2; Gala, Wealthy and Mutsu by 34.7%."
    )
    assert metric.says.startswith("3.0\u00a0m high, 3.05\u00a0m by tape")
    assert (us.remedy, metric.remedy) == ("Cut at 30 in.", "Cut at 75 cm.")
    assert us.severity is Severity.WARNING


def test_a_measure_in_one_system_only_is_left_as_it_is() -> None:
    assert in_system("see [1] and [a|b]", US) == "see [1] and b"


def test_words_that_miss_a_fact_are_found() -> None:
    with pytest.raises(KeyError):
        told(warning("a.b"), {"a.b": Words("{missing}")}, US)


def test_a_leader_is_tied_one_way_wherever_it_is_told() -> None:
    how = "with room to grow, in a figure of eight, so that the trunk cannot swing"
    assert how in STEPS[BuildStep.PLANT]
    (union,) = all_told([warning("trellis.union_first", concerns=["Inn 1"])], METRIC)
    assert how in union.remedy
