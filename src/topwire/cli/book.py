"""topwire book: the book, or the parts of it that one reader wants, from the last plan."""

from pathlib import Path

import click

from topwire.cli.ending import Said, ended
from topwire.values.fault import fault


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--part", "parts", multiple=True, metavar="PART", help="This part alone; may be given often.")
@click.option(
    "--for",
    "reader",
    type=click.Choice(["owner", "crew", "builder", "banker"]),
    help="What one reader wants.",
)
@click.option(
    "--labels",
    type=click.Choice(["tree", "run"]),
    help="In place of the book: a label for each tree, or for each run of a cultivar.",
)
@click.option(
    "--list", "listed", is_flag=True, help="Name the parts, and who reads which; nothing is written."
)
@click.option(
    "--to", type=click.Path(path_type=Path, dir_okay=False), help="File to write, instead of one in out/."
)
def book(
    folder: Path,
    parts: tuple[str, ...],
    reader: str | None,
    labels: str | None,
    listed: bool,
    to: Path | None,
) -> None:
    """Print the book of the orchard in FOLDER, or parts of it: from the last plan, nothing is computed."""
    from topwire.book.build import book_pdf, labels_pdf
    from topwire.book.parts import PARTS, READERS, NoSuchPart, parts_wanted
    from topwire.engine.recall import last_plan, orchard_of
    from topwire.files.safely import write_where_asked

    if listed:
        for key, title in PARTS.items():
            click.echo(
                f"{key:13} {title:20} {', '.join(name for name, (_, keys) in READERS.items() if key in keys)}"
            )
        return
    try:
        wanted = parts_wanted(parts, reader or "")
    except NoSuchPart as wrong:
        raise Said(
            [fault("book", f"{wrong}.", "`topwire book FOLDER --list` says who reads which.")]
        ) from None
    last = last_plan(folder) if folder.is_dir() else None
    orchard = None if last is None else orchard_of(folder, last)
    if orchard is None:
        raise Said([fault("book", f"nothing is planned in {folder} yet.", f"Run: topwire plan {folder}")])
    named = "-".join((*(() if reader is None else (reader,)), *parts))
    name = f"labels-{labels}" if labels else f"book-{named}" if named else "book"
    path = to or folder / "out" / f"{name}.pdf"
    with ended(path):
        write_where_asked(path, labels_pdf(orchard, labels) if labels else book_pdf(orchard, wanted))
    click.echo(f"Open {path}")
