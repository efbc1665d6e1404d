"""What the choice learnt of the weather years, kept beside the plan: a what-if need not learn it again, and the next
choice for the same years begins with it.
"""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

import numpy as np

from topwire.choice.amounts import KitchenAmounts
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.learnt import Learnt, OfHalves, Settled
from topwire.choice.master import Cuts
from topwire.choice.model import Index
from topwire.choice.solver import Basis
from topwire.choice.what_if import key_of_years
from topwire.engine.keys import question_key
from topwire.engine.store import FOLDER
from topwire.files.safely import write_safely

NAME = "choice-learnt.npz"


@dataclass(frozen=True)
class KeptLearnt:
    """What is kept.

    Attributes
    ----------
    years : key of the years it was learnt of
    asked, answered_as : keys of the question without what it began with, and of the question as it was answered
    all : what was learnt for it
    searched : how many of its first cuts are the search's own
    lasting : those that the next choice begins with
    settled : what the proof begins with; its cuts are the first of all
    digest : of the file
    """

    years: str
    asked: str
    answered_as: str
    all: Learnt
    searched: int
    lasting: Index
    settled: Settled
    digest: str = ""

    @property
    def of_search(self) -> Cuts:
        return self.all.cuts.some(np.arange(self.searched))

    @property
    def to_begin_with(self) -> Learnt:
        return replace(self.all, cuts=self.all.cuts.some(self.lasting))


def keep_learnt(folder: Path, kept: KeptLearnt) -> None:
    """A folder that cannot be written is no fault: it will be learnt again."""
    amounts, halves = kept.all.amounts, kept.all.halves
    held = BytesIO()
    np.savez(
        held,
        keys=np.array([kept.years, kept.asked, kept.answered_as]),
        of_parts=amounts.of_parts,
        capped=amounts.capped,
        pressed=amounts.pressed,
        planting=kept.all.planting,
        searched=np.array(kept.searched),
        lasting=kept.lasting,
        settled=np.array(kept.settled.cuts.year.size),
        settled_at=np.array(kept.settled.point),
        **_stood("settled_", kept.settled.bases),
        **_stood("", kept.all.bases),
        **_arrays("", kept.all.cuts),
        **({} if halves is None else _of_halves(halves)),
    )
    try:
        write_safely(folder / FOLDER / NAME, held.getvalue())
    except OSError:
        return


def learnt(folder: Path) -> KeptLearnt | None:
    """None where nothing is kept, or it is damaged."""
    try:
        content = (folder / FOLDER / NAME).read_bytes()
        with np.load(BytesIO(content), allow_pickle=False) as held:
            years, asked, answered_as = held["keys"].tolist()
            amounts = KitchenAmounts(held["of_parts"], held["capped"], held["pressed"])
            halves = None
            if "plantings" in held:
                halves = OfHalves(_cuts("halves_", held), held["plantings"], held["mean_year"])
            cuts = _cuts("", held)
            all_ = Learnt(amounts, cuts, held["planting"], halves, _bases("", held))
            known, (trees, planted) = cuts.some(np.arange(int(held["settled"]))), held["settled_at"]
            settled = Settled(known, (trees, planted), _bases("settled_", held))
            digest = sha256(content).hexdigest()
            searched = int(held["searched"])
            return KeptLearnt(years, asked, answered_as, all_, searched, held["lasting"], settled, digest)
    except (OSError, EOFError, KeyError, ValueError, BadZipFile):
        return None


def learnt_of(folder: Path, asked: ChoiceQuestion) -> Learnt | None:
    """What was learnt of the years of this question, for whatever amounts."""
    kept = learnt(folder)
    return kept.all if kept is not None and kept.years == years_asked(asked) else None


def years_asked(asked: ChoiceQuestion) -> str:
    """Key of the years, and of the program: cuts of another one may be wrong by this one."""
    return question_key("years", key_of_years(asked))


def forget(folder: Path) -> None:
    """Nothing was learnt. What cannot be taken away stays: a folder that cannot be written is no fault."""
    with suppress(OSError):
        (folder / FOLDER / NAME).unlink(missing_ok=True)


def _of_halves(halves: OfHalves) -> dict[str, Any]:
    plans = {"plantings": halves.plantings, "mean_year": halves.mean_year}
    return _arrays("halves_", halves.cuts) | plans


def _arrays(before: str, cuts: Cuts) -> dict[str, Any]:
    planted = cuts.by_need
    return {
        f"{before}year": cuts.year,
        f"{before}parts": cuts.parts,
        f"{before}of_trees": cuts.of_trees,
        f"{before}shape": np.array(planted.shape),
        f"{before}data": planted.data,
        f"{before}indices": planted.indices,
        f"{before}indptr": planted.indptr,
    }


def _stood(before: str, bases: Sequence[Basis]) -> dict[str, Any]:
    """The statuses of all years one behind the other, and how many each year has."""
    if not bases:
        return {}
    return {
        f"{before}stood": np.concatenate([part for one in bases for part in (one.columns, one.rows)]),
        f"{before}stood_of": np.array([(one.columns.size, one.rows.size) for one in bases]),
    }


def _bases(before: str, held: Any) -> tuple[Basis, ...]:
    if f"{before}stood" not in held:
        return ()
    parts = np.split(held[f"{before}stood"], np.cumsum(held[f"{before}stood_of"].ravel())[:-1])
    return tuple(Basis(columns, rows) for columns, rows in zip(parts[::2], parts[1::2], strict=True))


def _cuts(before: str, held: Any) -> Cuts:
    from scipy.sparse import csr_array

    parts = [held[f"{before}{part}"] for part in ("data", "indices", "indptr")]
    planted = csr_array(tuple(parts), shape=tuple(held[f"{before}shape"]))
    return Cuts.of_needs(held[f"{before}year"], held[f"{before}parts"], held[f"{before}of_trees"], planted)
