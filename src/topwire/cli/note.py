"""`topwire note`: what happened, in plain words."""

from datetime import date
from pathlib import Path

import click

from topwire.cli.ending import Hindered, Said
from topwire.values.fault import Faults, fault


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.argument("text", nargs=-1)
@click.option("--who", default="", help="Who saw or did it.")
@click.option("--instead-of", metavar="ENTRY", help="Correct the entry whose identity begins so.")
@click.option("--forms", is_flag=True, help="Show a note of every kind that is understood.")
def note(folder: Path, text: tuple[str, ...], who: str, instead_of: str | None, forms: bool) -> None:
    """Keep what happened in the orchard of FOLDER, said in plain words.

    topwire note my-orchard "12 May: Golden Delicious full bloom". What was understood is said back; a word
    that is not understood is told, and nothing is kept.
    """
    from topwire.engine.noted import doubts, noted, noted_orchard
    from topwire.records.form import NotAnEntry
    from topwire.records.note import examples
    from topwire.records.opening import NotSaved
    from topwire.records.store import open_store
    from topwire.records.words_left import NotUnderstood
    from topwire.tell.reader import Reader
    from topwire.tell.recorded import said

    try:
        orchard = noted_orchard(folder)
        if forms or not text:
            click.echo("\n".join(examples(orchard.words)))
            click.echo(
                "A date may stand in front (12 May, 2031-05-12, yesterday), a remark in brackets at the end."
            )
            return
        with open_store(folder) as store:
            target = None if instead_of is None else store.one(instead_of).identity
            made = noted(orchard, store, " ".join(text), today=date.today(), who=who, instead_of=target)
            reader = Reader(orchard.units)
            for entry in made:
                click.echo(f"noted {entry.identity[:8]}  {said(entry, reader)}")
            for doubt in doubts(made, orchard, store):
                click.echo(f"doubt: {doubt}")
            click.echo(f"Wrong? topwire records {folder} --undo {','.join(one.identity[:8] for one in made)}")
    except NotUnderstood as missed:
        raise Said([fault("note", missed.says, missed.remedy)]) from None
    except NotAnEntry as wrong:
        raise Said([fault(f"note, {name}", f"{says}.") for name, says in wrong.wrong]) from None
    except Faults as faults:
        raise Said(faults.notices) from None
    except NotSaved as hindered:
        raise Hindered(str(hindered)) from None
