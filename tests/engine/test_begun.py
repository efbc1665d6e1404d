"""A choice that begins with what an earlier one learnt: when it does, and when it stands."""

import shutil
from pathlib import Path

import pytest
from engine import small

from topwire.choice.findings import Choice
from topwire.choice.solver import OUT
from topwire.choice.years import GAP
from topwire.engine.inputs import read_inputs
from topwire.engine.learnt import NAME, learnt
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.engine.store import as_json

LARGER = (
    ("total: 12, tree_spacing: 1.2 m, row_spacing: 3.5 m", "total: 70, tree_spacing: 0.6 m, row_spacing: 2.5 m"),
    ("fewest_trees: 1, most_trees: 5", "fewest_trees: 5, most_trees: 30"),
    ("amount: 3 kg/week", "amount: 12 kg/week"),
    ("capacity: 60 kg", "capacity: 400 kg"),
)  # fmt: skip


def changed(folder: Path, *changes: tuple[str, str]) -> Path:
    plan = folder / "plan.yaml"
    text = plan.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    plan.write_text(text, encoding="utf-8")
    return folder


def planned(folder: Path, *, fresh: bool = False) -> tuple[Orchard, Choice]:
    orchard = plan_orchard(read_inputs(folder), until="choice", fresh=fresh, beside=False)
    assert orchard.choice is not None
    return orchard, orchard.choice


def ran(orchard: Orchard) -> bool:
    return next(step.seconds for step in orchard.steps if step.name == "choice") is not None


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Choice]:
    folder = changed(small.make(tmp_path_factory.mktemp("begun") / "yard", years=14), *LARGER)
    return folder, planned(folder)[1]


@pytest.fixture
def yard(first: tuple[Path, Choice], tmp_path: Path) -> Path:
    return Path(shutil.copytree(first[0], tmp_path / "yard"))


MORE_PIE = ("amount: 25 kg/season", "amount: 40 kg/season")


def test_another_amount_begins_with_what_was_learnt_and_is_as_good_as_from_nothing(yard: Path) -> None:
    begun = planned(changed(yard, MORE_PIE))[1]
    kept = learnt(yard)
    assert kept is not None
    assert kept.answered_as != kept.asked
    assert kept.all.halves is not None
    anew = planned(yard, fresh=True)[1]
    kept = learnt(yard)
    assert kept is not None
    assert kept.answered_as == kept.asked
    # Both bounds are true, so that none lies above the other's plan; and both plans are within their gaps.
    assert begun.bound <= anew.objective * (1 + 1e-9)
    assert anew.bound <= begun.objective * (1 + 1e-9)
    assert begun.objective <= anew.objective * (1 + 2 * GAP)
    assert begun.proof is not None
    assert anew.proof is not None
    assert [line.way for line in begun.proof.rivals] == [line.way for line in anew.proof.rivals]
    assert all(line.loss_after is not None for line in begun.chosen)


def test_where_the_years_stood_is_kept(yard: Path) -> None:
    kept = learnt(yard)
    assert kept is not None
    bases = kept.to_begin_with.bases
    assert len(bases) == len(set(kept.all.cuts.year.tolist()))
    assert all((one.columns != OUT).any() and (one.rows != OUT).any() for one in bases)


def test_the_same_folder_begins_alike(yard: Path, tmp_path: Path) -> None:
    twin = Path(shutil.copytree(yard, tmp_path / "twin"))
    assert as_json(planned(changed(yard, MORE_PIE))[1]) == as_json(planned(changed(twin, MORE_PIE))[1])


def test_what_was_begun_stands_until_its_question_changes(yard: Path) -> None:
    begun = planned(changed(yard, MORE_PIE))[1]
    again, same = planned(yard)
    assert not ran(again)
    assert as_json(same) == as_json(begun)
    elsewhere, same = planned(
        changed(yard, ("skill: beginner", "skill: practised"))
    )  # no matter of the choice
    assert not ran(elsewhere)
    assert as_json(same) == as_json(begun)


def test_a_change_taken_back_has_the_first_plan_again(yard: Path, first: tuple[Path, Choice]) -> None:
    planned(changed(yard, MORE_PIE))
    back, same = planned(changed(yard, MORE_PIE[::-1]))
    assert not ran(back)
    assert as_json(same) == as_json(first[1])


def test_other_trees_and_taste_begin_with_it_too_and_other_weeks_do_not(yard: Path) -> None:
    planned(changed(yard, ("most_trees: 30", "most_trees: 25")))
    kept = learnt(yard)
    assert kept is not None
    assert kept.answered_as != kept.asked
    planned(
        changed(
            yard,
            ("from: 1 Sep, to: 30 Nov}\n    - {use: juice", "from: 1 Sep, to: 15 Nov}\n    - {use: juice"),
        )
    )
    kept = learnt(yard)
    assert kept is not None
    assert kept.answered_as == kept.asked


@pytest.mark.parametrize("content", [b"", b"no archive", None])
def test_what_was_learnt_may_be_damaged_or_gone(
    yard: Path, first: tuple[Path, Choice], content: bytes | None
) -> None:
    path = yard / ".topwire" / NAME
    if content is None:
        path.write_bytes(path.read_bytes()[:5000])
    else:
        path.write_bytes(content)
    again, same = planned(yard)
    assert not ran(again)
    assert as_json(same) == as_json(first[1])
    choice = planned(changed(yard, MORE_PIE))[1]
    kept = learnt(yard)
    assert kept is not None
    assert kept.answered_as == kept.asked
    assert choice.proof is not None


def test_a_handful_of_trees_is_sought_from_nothing(tmp_path: Path) -> None:
    folder = small.make(tmp_path / "yard")
    planned(folder)
    planned(changed(folder, ("amount: 25 kg/season", "amount: 20 kg/season")))
    kept = learnt(folder)
    assert kept is not None
    assert kept.answered_as == kept.asked
