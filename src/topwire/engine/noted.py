"""What a note needs to know of an orchard's folder: names, units, which trees stand where.

At the desk a note is held against plan and records. What cannot be is refused: a cultivar out of a row in which none
stands, or out of another's crate, more juice than fruit. What may only come in another order, fruit out of a crate
whose pick is not noted yet, is kept and said (`doubts`). Files and phones bring what was written down elsewhere, in
any order: they are not asked, and the cellar tells what does not add up.
"""

from collections.abc import Iterable, Mapping
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
from topwire.records.entries import (
    CellarMoved,
    Entry,
    FruitCounted,
    FruitPicked,
    FruitPressed,
    FruitServed,
    FruitSized,
    FruitSold,
    FruitTested,
    HeightMeasured,
    How,
    LotChecked,
    SeenStage,
    StageSeen,
    TreeChanged,
    TreeEvent,
    TrunkMeasured,
)
from topwire.records.lots import LIES, LotDrawn, drawn_lot
from topwire.records.note import NoteWords, read_note
from topwire.records.store import RecordStore
from topwire.records.words_left import NotUnderstood
from topwire.values.address import TreeAddress, row_name
from topwire.values.calendar import day_label
from topwire.values.units import Kind, UnitSystem, shown

_OF_LOTS = (CellarMoved, FruitPressed, FruitSold, FruitServed, LotChecked)
_OF_TREES = (
    FruitPicked, FruitCounted, FruitSized, FruitTested, StageSeen, TrunkMeasured, HeightMeasured,
    CellarMoved, FruitPressed, FruitSold, FruitServed,
)  # fmt: skip
_LIGHTEST = 1000.0  # [kg/m3] no juice weighs less
_PRESSED = 0.6e-3  # [m3/kg] of juice a hand press gives, about: for what is said only
_MOST_ROWS = 6  # named
_SIGNS = {"$": "dollars", "€": "euros", "£": "pounds"}
_SIGN_OF = {"USD": "$", "CAD": "$", "AUD": "$", "NZD": "$", "EUR": "€", "GBP": "£"}

FARTHEST_BLOOM = 60.0  # [d] from the middle year's: no year and no cultivar is so early or late
_BLOOM = (SeenStage.FIRST_BLOOM, SeenStage.FULL_BLOOM, SeenStage.PETAL_FALL)
_YEAR = 365.25  # [d]


@dataclass(frozen=True)
class NotedOrchard:
    """The folder as a note sees it; a plan with faults elsewhere takes notes all the same.

    Attributes
    ----------
    trees : cultivar planned at each tree's place; empty where nothing was planned yet
    currency : of the plan's prices, three letters
    """

    folder: Path
    words: NoteWords
    units: UnitSystem
    trees: Mapping[TreeAddress, str]
    currency: str


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
    currency = at(tree, ("money", "currency"))
    return NotedOrchard(folder, words, units, trees, currency if isinstance(currency, str) else "USD")


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
    for entry in entries:
        _in_own_money(entry, text, orchard.currency)
        _not_of_another_lot(entry, store)
        _no_more_than_fruit(entry, orchard.units)
    store.append(entries)
    return entries


def _in_own_money(entry: Entry, text: str, currency: str) -> None:
    """Nothing where money stands in the plan's currency or without a sign. Raises NotUnderstood: none is converted."""
    if not isinstance(entry, FruitSold) or entry.money is None:
        return
    for sign, meant in _SIGNS.items():
        if sign in text.replace(entry.remark, "") and currency in _SIGN_OF and _SIGN_OF[currency] != sign:
            raise NotUnderstood(
                f"the plan's money is {currency}, and the note says {meant}.", f"Write it in {currency}."
            )


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
                says,
                f"Is the day right? Flowers out of season: “scouted {entry.cultivar} (flowers in autumn)”.",
            )


def doubts(entries: Iterable[Entry], orchard: NotedOrchard, store: RecordStore) -> tuple[str, ...]:
    """Of entries that are kept, what does not add up: more out of a crate than was picked into it."""
    found: dict[str, None] = {}
    for entry in entries:
        if entry.lot and isinstance(entry, _OF_LOTS):
            for drawn in drawn_lot(store, entry.lot, entry.day - LIES):
                found[_doubt(drawn, orchard.units)] = None
    return tuple(found)


def _doubt(drawn: LotDrawn, units: UnitSystem) -> str:
    fruit = f" of {drawn.cultivar}" if drawn.cultivar else ""
    if not drawn.picked:
        return (
            f"No pick{fruit} into {drawn.lot} is noted. If there was one, note it too; if it is another crate, "
            "take this back."
        )
    picked, taken = (shown(mass, Kind.MASS, units) for mass in (drawn.picked, drawn.taken))
    return (
        f"{drawn.lot} has {picked}{fruit} by the picks noted, and {taken} is noted as taken out. If a pick is "
        "missing, note it too; else take this back."
    )


def _not_of_another_lot(entry: Entry, store: RecordStore) -> None:
    """Fruit comes out of a crate into which its cultivar was picked; one that nobody picked into may be noted later."""
    if not (entry.lot and entry.cultivar and isinstance(entry, _OF_LOTS)):
        return
    picks = store.entries(FruitPicked, since=entry.day - LIES, until=entry.day, lot=entry.lot)
    inside = sorted({pick.cultivar for pick in picks if pick.cultivar})
    if inside and entry.cultivar not in inside:
        raise NotUnderstood(
            f"{entry.lot} holds {' and '.join(inside)}, not {entry.cultivar}.",
            "Write its own cultivar, or the crate it came from; a pick into it that is missing comes first.",
        )


def _no_more_than_fruit(entry: Entry, units: UnitSystem) -> None:
    if not isinstance(entry, FruitPressed) or entry.volume is None:
        return
    if entry.volume * _LIGHTEST > entry.mass:
        volume, mass, usual = (
            shown(entry.volume, Kind.VOLUME, units),
            shown(entry.mass, Kind.MASS, units),
            shown(entry.mass * _PRESSED, Kind.VOLUME, units),
        )
        raise NotUnderstood(
            f"{volume} of juice weighs more than {mass} of fruit.",
            f"That much fruit gives some {usual}; of a blend, note each cultivar with its own juice.",
        )


def _placed(entry: Entry, orchard: NotedOrchard, store: RecordStore) -> Entry:
    """The entry with the cultivar of its tree, where it names one; a tree there is not is told."""
    if orchard.trees and entry.row is None:
        _stands_there(entry, orchard, store)
    if not orchard.trees or entry.row is None:
        return entry
    places = [tree.place for tree in orchard.trees if (tree.block, tree.row) == (entry.block, entry.row)]
    if not places:
        rows = sorted({tree.row for tree in orchard.trees if tree.block == entry.block})
        said = f"Its rows are {rows[0]} to {rows[-1]}." if rows else "Nothing is planned in it."
        raise NotUnderstood(f"{entry.block} has no row {entry.row}.", said)
    if entry.place is None:
        _stands_there(entry, orchard, store)
        return entry
    if entry.place > max(places):
        raise NotUnderstood(
            f"{entry.block} {entry.row} has no tree {entry.place}.", f"Its trees are 1 to {max(places)}."
        )
    _stands_there(entry, orchard, store)
    address = entry.address
    if (
        entry.cultivar
        or address is None
        or (isinstance(entry, TreeChanged) and entry.event is not TreeEvent.DIED)
    ):
        return entry
    return replace(entry, cultivar=stands(address, orchard.trees, store, entry.day))


def _stands_there(entry: Entry, orchard: NotedOrchard, store: RecordStore) -> None:
    """Fruit, flowers and trunks of a cultivar are where it stands by the plan, or was noted as planted."""
    if not (entry.block and entry.cultivar and isinstance(entry, _OF_TREES)):
        return

    def there(block: str, row: int | None, place: int | None) -> bool:
        return block == entry.block and entry.row in (None, row) and entry.place in (None, place)

    planned = [tree for tree, name in orchard.trees.items() if name == entry.cultivar]
    if any(there(tree.block, tree.row, tree.place) for tree in planned):
        return
    noted_so = store.entries(TreeChanged, cultivar=entry.cultivar)
    if any(there(tree.block, tree.row, tree.place) for tree in noted_so):
        return
    rows = {(tree.block, tree.row) for tree in planned}
    rows |= {(tree.block, tree.row) for tree in noted_so if tree.row is not None}
    named = [row_name(block, row) for block, row in sorted(rows)]
    named = [*named[:_MOST_ROWS], "…"] if len(named) > _MOST_ROWS else named
    stand = f"It stands in {', '.join(named)}." if named else "It is planned nowhere."
    tree = entry.where if entry.place else f"{row_name(entry.block, entry.row or 1)}, tree 5"
    raise NotUnderstood(
        f"no {entry.cultivar} stands in {entry.where}.",
        f"{stand} Where it was planted after all, note that first: “{tree} replaced by {entry.cultivar}”.",
    )


def stands(tree: TreeAddress, planned: Mapping[TreeAddress, str], store: RecordStore, day: date) -> str:
    """The cultivar at an address on a day: the last the records say, else the planned one."""
    changes = store.entries(TreeChanged, block=tree.block, row=tree.row, place=tree.place, until=day)
    named = [change.cultivar for change in changes if change.cultivar and change.event is not TreeEvent.DIED]
    return named[-1] if named else planned.get(tree, "")
