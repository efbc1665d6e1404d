"""A copy of a shipped example, its records with it."""

from pathlib import Path

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.engine.brought_in import bring_in
from topwire.plan.starter import ENTRIES, copy_example, shipped
from topwire.records.opening import NotSaved
from topwire.records.place_kept import DATABASE
from topwire.records.store import open_store


def new_example(name: str, folder: Path) -> list[Path]:
    """Copy the example into a new `folder`; files to look at.

    Raises
    ------
    Faults
        No such example, or the folder is used.
    OSError
        A file of it, or the records, cannot be written.
    """
    made = copy_example(name, folder)
    with shipped(name) as source:
        if (source / ENTRIES).is_dir():
            try:
                with open_store(folder) as store:
                    bring_in(store, source / ENTRIES, Catalogue(read_tables()).names)
            except NotSaved as hindered:
                raise OSError(str(hindered)) from None
            made.append(folder / DATABASE)
    return made
