"""`topwire records`: what was noted."""

import json
from datetime import date
from pathlib import Path

import click

from topwire.cli.ending import Hindered, Said
from topwire.values.fault import Faults, fault


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--last", type=click.IntRange(1), default=40, show_default=True, help="So many entries.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, one entry a line, in SI.")
@click.option("--undo", "taken_back", metavar="ENTRY", help="Take back the entry whose identity begins so.")
def records(folder: Path, last: int, as_json: bool, taken_back: str | None) -> None:
    """List what was noted in the orchard of FOLDER, the newest at the end."""
    from topwire.plan.read import parse_plan, read_plan_text
    from topwire.records.form import to_plain
    from topwire.records.opening import NotSaved
    from topwire.records.store import Standing, open_store, undo
    from topwire.tell.reader import Reader
    from topwire.tell.recorded import said

    try:
        reader = Reader(parse_plan(read_plan_text(folder / "plan.yaml")).unit_system)
        with open_store(folder) as store:
            if taken_back:
                found = store.beginning(taken_back)
                if len(found) != 1:
                    says = "no entry begins so" if not found else f"{len(found)} entries begin so"
                    raise Faults(
                        [fault(f"--undo {taken_back}", f"{says}.", "The list shows the identities.")]
                    )
                undo(store, found[0], day=date.today())
                click.echo(f"taken back: {said(found[0], reader)}")
                return
            for line in store.history(last=last):
                if as_json:
                    click.echo(json.dumps(to_plain(line.entry), ensure_ascii=False))
                    continue
                after = (
                    "" if line.standing is Standing.HOLDS else f"  [{line.standing} by {str(line.by)[:8]}]"
                )
                click.echo(f"{line.entry.identity[:8]}  {said(line.entry, reader)}{after}")
    except Faults as faults:
        raise Said(faults.notices) from None
    except NotSaved as hindered:
        raise Hindered(str(hindered)) from None
