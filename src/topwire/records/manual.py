"""The reference of the records, made from their schemas: `python -m topwire.records.manual` writes docs/records.md."""

from pathlib import Path

from topwire.catalogue.manual import manual
from topwire.records.schemas import RECORDS

_INTRODUCTION = """# The records

What you saw and counted in your own orchard stands in the folder `records` beside `plan.yaml`, one file of each kind,
all of them optional. `topwire check` types every cell by what stands here. A file has at most 100,000 lines and 20 MB.
"""


def records_manual() -> str:
    """The reference as Markdown."""
    return manual(RECORDS.values(), _INTRODUCTION)


if __name__ == "__main__":
    Path("docs/records.md").write_text(records_manual(), encoding="utf-8")
