"""What a note needs to know of an orchard's folder: names, units, which trees stand where."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.engine.inputs import PLAN_FILE
from topwire.engine.last_layout import last_bloom, last_layout
from topwire.engine.names import at, number_at
from topwire.plan.read import parse_yaml, read_plan_text
from topwire.records.entries import Entry, How, SeenStage, StageSeen, TreeChanged, TreeEvent
from topwire.records.note import NoteWords, read_note
from topwire.records.store import RecordStore
from topwire.records.words_left import NotUnderstood
from topwire.values.address import TreeAddress
from topwire.values.calendar import day_label
from topwire.values.units import UnitSystem

FARTHEST_BLOOM = 60.0  # [d] from the middle year's: no year and no cultivar is so early or late
_BLOOM = (SeenStage.FIRST_BLOOM, SeenStage.FULL_BLOOM, SeenStage.PETAL_FALL)
_YEAR = 365.25  # [d]


@dataclass(frozen=True)
class NotedOrchard:
    """The folder as a note sees it; a plan with faults elsewhere takes notes all the same.

    Attributes
    ----------
    trees : cultivar planned at each tree's place; empty where nothing was planned yet
    """

    folder: Path
    words: NoteWords
    units: UnitSystem
    trees: Mapping[TreeAddress, str]


def noted_orchard(folder: Path) -> NotedOrchard:
    """Raises Faults where there is no plan, or the catalogue cannot be read."""
    tree = parse_yaml(read_plan_text(folder / PLAN_FILE), PLAN_FILE)
    blocks = at(tree, ("ground", "blocks"))
    named = [at(block, ("name",)) for block in (blocks if isinstance(blocks, list) else [])]
    planting = number_at(tree, ("years", "planting"))
    names = Catalogue(read_tables(folder / "catalogue")).names
    words = NoteWords(
        names,
        tuple(str(name) for name in named if isinstance(name, str)),
        planting if isinstance(planting, int) else date.today().year,
    )
    units = UnitSystem.METRIC if at(tree, ("units",)) == "metric" else UnitSystem.US
    last = last_layout(folder, names.catalogue_name)
    trees = {}
    if last is not None:
        places = zip(last.block, last.row.tolist(), last.place.tolist(), last.cultivar, strict=True)
        trees = {TreeAddress(block, row, place): name for block, row, place, name in places}
    return NotedOrchard(folder, words, units, trees)


def noted(
    orchard: NotedOrchard,
    store: RecordStore,
    text: str,
    *,
    today: date,
    who: str = "",
    how: How = How.DESK,
    instead_of: str | None = None,
) -> tuple[Entry, ...]:
    """Understand a note and keep its entries; what was kept.

    Parameters
    ----------
    instead_of : identity of the entry it corrects

    Raises
    ------
    NotUnderstood, NotAnEntry, NotSaved
    """
    entries = read_note(text, orchard.words, today=today, who=who, how=how)
    if instead_of is not None:
        if len(entries) > 1:
            raise NotUnderstood("a correction is of one entry.", "Correct each with a note of its own.")
        entries = (replace(entries[0], corrects=instead_of),)
    entries = tuple(_placed(entry, orchard, store) for entry in entries)
    _hold_against_bloom(entries, orchard.folder)
    store.append(entries)
    return entries


def _hold_against_bloom(entries: tuple[Entry, ...], folder: Path) -> None:
    """Nothing where a bloom noted can be the one the plan reckons with. Raises NotUnderstood.

    The year turns round: late December is near January, wherever winter is.
    """
    blooms = [entry for entry in entries if isinstance(entry, StageSeen) and entry.stage in _BLOOM]
    usual = last_bloom(folder) if blooms else {}
    for entry in blooms:
        away = abs(entry.day.timetuple().tm_yday - usual.get(entry.cultivar, np.nan)) % _YEAR
        if min(away, _YEAR - away) > FARTHEST_BLOOM:
            usually, then = day_label(usual[entry.cultivar]), f"{entry.day.day} {entry.day:%b}"
            says = f"{entry.cultivar} is in full bloom about {usually} here, and the note says {entry.stage} on {then}."
            raise NotUnderstood(
                says, "Is the day right? Flowers out of season: “saw autumn flowers on Wealthy”."
            )


def _placed(entry: Entry, orchard: NotedOrchard, store: RecordStore) -> Entry:
    """The entry with the cultivar of its tree, where it names one; a tree there is not is told."""
    if not orchard.trees or entry.row is None:
        return entry
    places = [tree.place for tree in orchard.trees if (tree.block, tree.row) == (entry.block, entry.row)]
    if not places:
        rows = sorted({tree.row for tree in orchard.trees if tree.block == entry.block})
        said = f"Its rows are {rows[0]} to {rows[-1]}." if rows else "Nothing is planned in it."
        raise NotUnderstood(f"{entry.block} has no row {entry.row}.", said)
    if entry.place is None:
        return entry
    if entry.place > max(places):
        raise NotUnderstood(
            f"{entry.block} {entry.row} has no tree {entry.place}.", f"Its trees are 1 to {max(places)}."
        )
    address = entry.address
    if (
        entry.cultivar
        or address is None
        or (isinstance(entry, TreeChanged) and entry.event is not TreeEvent.DIED)
    ):
        return entry
    return replace(entry, cultivar=stands(address, orchard.trees, store, entry.day))


def stands(tree: TreeAddress, planned: Mapping[TreeAddress, str], store: RecordStore, day: date) -> str:
    """The cultivar at an address on a day: the last the records say, else the planned one."""
    changes = store.entries(TreeChanged, block=tree.block, row=tree.row, place=tree.place, until=day)
    named = [change.cultivar for change in changes if change.cultivar and change.event is not TreeEvent.DIED]
    return named[-1] if named else planned.get(tree, "")
