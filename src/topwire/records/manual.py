"""The reference of the records, made from their schemas: `python -m topwire.records.manual` writes docs/records.md."""

from pathlib import Path

from topwire.catalogue.manual import manual
from topwire.catalogue.names import NO_NAMES
from topwire.records.csv_form import column_of
from topwire.records.entries import ENTRY_TYPES, EntryKind
from topwire.records.form import COMMON, EntryField, fields_of, own_fields
from topwire.records.note import NoteWords, examples
from topwire.records.schemas import RECORDS

_INTRODUCTION = """# The records

What really happened in your orchard: trees that died and were replaced, dates seen, trunks and fruit measured, work
done, fruit picked, kept, pressed, sold and served. Nothing noted is ever changed or erased: a correction is a new entry
that stands in the old one's place, and both stay in the list.

    topwire note my-orchard "12 May: Golden Delicious full bloom"
    topwire note my-orchard "South 3, tree 41 dead (voles)"
    topwire records my-orchard --tree "South 3, tree 41"
    topwire records my-orchard --undo 3fa2c1d0

The entries stand in `records.db` beside `plan.yaml`, one SQLite file; or in the database whose URL stands alone in
`records.url` (PostgreSQL, `pip install 'topwire[postgres]'`; of an SQLite file, a path as seen from the orchard).
Copy them with `topwire records my-orchard --backup copy.db`, never by copying `records.db` while somebody writes;
`--restore copy.db` appends what the copy has more. Where nothing can be written, on a stick or a full disk, they are
read all the same.

## How to say it

A date may stand in front (`12 May`, `2031-05-12`, `yesterday`), a remark in brackets at the end. Places are written as
on the map, cultivars by any of their names, figures with their units. No way in takes a day before 1900 or one yet to
come (from files and phones tomorrow passes, for other clocks), and a note of bloom more than 60 days from the plan's
middle year is asked about instead of kept. Each line is a kind of entry:

"""
_COMMON = """
A note is refused where it cannot be: a cultivar in a row where by plan and records none stands, out of a crate into
which only others were picked, or more juice than fruit. More out of a crate than was picked into it, or a crate nobody
picked into, may only be noted in another order: that is kept, with a word of doubt. Files and phones are not asked, for
they bring what was written down elsewhere in any order; the cellar's page tells what does not add up.

## Columns of every file

`topwire records my-orchard --csv-out folder` writes a file of each kind, `--csv-in` reads one (named after its kind) or
a folder of them; a file has at most 100,000 lines and 20 MB. A figure stands in the unit its column names, or with a
unit of its own in the cell (`120 lb`). The same file brought in twice changes
nothing; two lines alike in it are two entries. Every file has these columns:

"""
_OLDER = """
# Tables read from the folder `records`

These files are read where they stand in the folder `records` beside `plan.yaml`, each of them optional; `topwire
check` types every cell by what stands here. `--csv-in records/bloom.csv` and `takes.csv` makes entries of their lines,
and a line that is an entry counts once. A file has at most 100,000 lines and 20 MB.
"""
_HEAD = "| column | what it is | written as | may be empty |\n|---|---|---|---|\n"


def records_manual() -> str:
    """The reference as Markdown."""
    said = "".join(f"    {example}\n" for example in examples(NoteWords(NO_NAMES, ("South",), 2028)))
    common = fields_of(EntryKind.UNDO)
    made = [_INTRODUCTION, said, _COMMON, _HEAD, *(_line(common[name]) for name in COMMON)]
    for kind, entry_type in ENTRY_TYPES.items():
        own = own_fields(kind)
        if own:
            words = " ".join((entry_type.__doc__ or "").split())
            says = f"{words}\n\n" if words and not words.startswith(entry_type.__name__) else ""
            made += [f"\n## {kind}.csv\n\n{says}", _HEAD, *(_line(field) for field in own.values())]
    made.append("\n## undo.csv\n\nTakes back the entry named in `corrects`; the common columns only.\n")
    return "".join(made) + manual(RECORDS.values(), _OLDER)


def _line(field: EntryField) -> str:
    empty = "no" if field.needed else "yes"
    return f"| `{column_of(field)}` | {field.fact.says} | {_written(field)} | {empty} |\n"


def _written(field: EntryField) -> str:
    many = ", several with \\| between" if field.many else ""
    if hasattr(field.sort, "__members__"):
        return f"{', '.join(str(one) for one in field.sort)}{many}"
    sort = {
        "str": "text",
        "int": "whole number",
        "float": "number",
        "datetime": "time",
        "LabFigure": "name=figure unit",
    }
    bounds = f", {field.bounds}" if field.bounds else ""
    return f"{sort.get(field.sort.__name__, field.sort.__name__)}{bounds}{many}"


if __name__ == "__main__":
    Path("docs/records.md").write_text(records_manual(), encoding="utf-8")
