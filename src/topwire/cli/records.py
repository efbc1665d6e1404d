"""`topwire records`: what was noted, how it changed, and bringing it in and out."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from topwire.cli.ending import Hindered, Said
from topwire.values.fault import Faults, fault

if TYPE_CHECKING:
    from topwire.engine.noted import NotedOrchard
    from topwire.records.store import RecordStore

_ENTRIES = ("entry", "entries")


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--last", type=click.IntRange(1, 10**7), default=40, show_default=True, help="So many entries.")
@click.option("--kind", metavar="KIND", help="Only entries of this kind: pick, stage, work, ...")
@click.option("--tree", metavar="ADDRESS", help="One tree's life: “South 3, tree 41”.")
@click.option("--history", is_flag=True, help="With what each correction changed.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, one entry a line, in SI.")
@click.option("--undo", "taken_back", metavar="ENTRY", help="Take back what begins so; many: a,b,c.")
@click.option(
    "--csv-out", type=click.Path(path_type=Path), metavar="TO", help="Write a CSV of each kind into TO."
)
@click.option(
    "--csv-in", type=click.Path(path_type=Path), metavar="FROM", help="Bring in a CSV of a kind, or a folder."
)
@click.option(
    "--backup", "copy_to", type=click.Path(path_type=Path), metavar="COPY", help="Write a whole copy."
)
@click.option(
    "--restore",
    "copy_from",
    type=click.Path(path_type=Path),
    metavar="COPY",
    help="Bring in what it has more.",
)
def records(
    folder: Path,
    last: int,
    kind: str | None,
    tree: str | None,
    history: bool,
    as_json: bool,
    taken_back: str | None,
    csv_out: Path | None,
    csv_in: Path | None,
    copy_to: Path | None,
    copy_from: Path | None,
) -> None:
    """List what was noted in the orchard of FOLDER, the newest at the end; take back, bring in and out."""
    from topwire.engine.noted import noted_orchard
    from topwire.records.place_kept import has_store
    from topwire.records.store import open_store

    with _ended():
        orchard = noted_orchard(folder)
        writes = taken_back is not None or csv_in or copy_from or not has_store(folder)
        with open_store(folder, make=bool(writes)) as store:
            if taken_back is not None:
                _take_back(store, orchard, taken_back)
            elif csv_out:
                _write_csv(store, csv_out)
            elif csv_in:
                _read_csv(store, orchard, csv_in)
            elif copy_to or copy_from:
                _copy(store, copy_to, copy_from)
            else:
                _list(store, orchard, last=last, kind=kind, tree=tree, history=history, as_json=as_json)


@contextmanager
def _ended() -> Iterator[None]:
    from topwire.records.form import NotAnEntry
    from topwire.records.opening import NotSaved
    from topwire.records.words_left import NotUnderstood

    try:
        yield
    except Faults as faults:
        raise Said(faults.notices) from None
    except NotUnderstood as missed:
        raise Said([fault("records", missed.says, missed.remedy)]) from None
    except NotAnEntry as wrong:
        raise Said([fault(f"records, {name}", f"{says}.") for name, says in wrong.wrong]) from None
    except FileExistsError as there:
        raise Said(
            [fault(str(there), "is there already and was left as it is.", "Name another file.")]
        ) from None
    except FileNotFoundError as missing:
        raise Said([fault(str(missing), "is not there.", "Name a copy made with --backup.")]) from None
    except (NotSaved, OSError) as hindered:
        raise Hindered(str(hindered)) from None


def _list(
    store: "RecordStore",
    orchard: "NotedOrchard",
    *,
    last: int,
    kind: str | None,
    tree: str | None,
    history: bool,
    as_json: bool,
) -> None:
    from topwire.records.form import to_plain
    from topwire.records.note import address_of, kind_named
    from topwire.records.store import Standing
    from topwire.tell.reader import Reader
    from topwire.tell.recorded import changed, said

    reader = Reader(orchard.units)
    at = address_of(tree, orchard.words) if tree else None
    lines = store.history(
        kind=kind_named(kind) if kind else None,
        block=at.block if at else None,
        row=at.row if at else None,
        place=at.place if at else None,
        last=last,
    )
    if at is not None and orchard.trees.get(at):
        click.echo(f"{at}: planned with {orchard.trees[at]}")
    for line in lines:
        if as_json:
            click.echo(json.dumps(to_plain(line.entry), ensure_ascii=False))
            continue
        after = "" if line.standing is Standing.HOLDS else f"  [{line.standing} by {str(line.by)[:8]}]"
        click.echo(f"{line.entry.identity[:8]}  {said(line.entry, reader)}{after}")
        if history and line.entry.corrects:
            for before in store.find([line.entry.corrects]):
                for said_so in changed(before, line.entry, reader):
                    click.echo(f"          {said_so}")
    if not lines and not as_json:
        click.echo("Nothing was noted yet. Write for instance: topwire note FOLDER --forms")


def _take_back(store: "RecordStore", orchard: "NotedOrchard", beginnings: str) -> None:
    from topwire.records.store import undo
    from topwire.tell.reader import Reader
    from topwire.tell.recorded import said

    entries = [store.one(one.strip()) for one in beginnings.split(",")]
    undo(store, *entries, day=date.today())
    click.echo("\n".join(f"taken back: {said(entry, Reader(orchard.units))}" for entry in entries))


def _write_csv(store: "RecordStore", folder: Path) -> None:
    from topwire.files.safely import write_safely
    from topwire.records.csv_form import csv_of
    from topwire.records.entries import EntryKind
    from topwire.tell.reader import counted

    folder.mkdir(parents=True, exist_ok=True)
    for kind in EntryKind:
        entries = [line.entry for line in store.history(kind=kind)]
        if entries:
            path = folder / f"{kind}.csv"
            write_safely(path, csv_of(kind, entries).encode())
            click.echo(f"wrote {path}, {counted(len(entries), *_ENTRIES)}")


def _read_csv(store: "RecordStore", orchard: "NotedOrchard", source: Path) -> None:
    from topwire.engine.brought_in import bring_in
    from topwire.tell.reader import counted

    kept = bring_in(store, source, orchard.words.cultivars, blocks=orchard.words.blocks, today=date.today())
    click.echo(f"{counted(len(kept.saved), *_ENTRIES)} brought in, {len(kept.known):,} were there already.")
    if kept.differing:
        shown = ", ".join(identity[:8] for identity in kept.differing[:8])
        click.echo(f"{len(kept.differing):,} say something else than the entry there, which stays: {shown}.")


def _copy(store: "RecordStore", copy_to: Path | None, copy_from: Path | None) -> None:
    from topwire.records.backup import backup, restore
    from topwire.tell.reader import counted

    if copy_to is not None:
        click.echo(f"wrote {copy_to}, {counted(backup(store, copy_to), *_ENTRIES)}, read back whole.")
    elif copy_from is not None:
        kept = restore(store, copy_from)
        click.echo(f"{counted(len(kept.saved), *_ENTRIES)} brought back, {len(kept.known):,} were there.")
