"""Plans a farm kitchen's own apple orchard.

For a notebook or another program: `read` an orchard's folder, `check` it, `plan_orchard`, take its `tables`.
"""

from collections.abc import Mapping
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # everything heavy is imported when it is asked for
    from topwire.engine.inputs import Inputs
    from topwire.engine.orchard import Orchard
    from topwire.show.plain import PlainTable

__version__ = "0.2.0"
__all__ = ["__version__", "check", "plan_orchard", "read", "tables"]


def read(folder: str | PathLike[str]) -> "Inputs":
    """Everything in an orchard's folder that a plan reads.

    Raises
    ------
    topwire.values.fault.Faults
        With every mistake found, each with file, line and field.
    """
    from topwire.engine.inputs import read_inputs

    return read_inputs(Path(folder))


def check(folder: str | PathLike[str]) -> tuple[str, ...]:
    """Every mistake in an orchard's folder, in words; empty where `plan_orchard` ends with every department there.

    Where the files are in order every department is asked, which takes as long as the plan; the answers are kept.
    """
    from topwire.engine.check import check_folder, rehearse
    from topwire.tell.reader import Reader
    from topwire.tell.speech import all_told

    checked = check_folder(Path(folder))
    faults = checked.faults if checked.inputs is None else rehearse(checked.inputs)
    return tuple(str(told) for told in all_told(faults, Reader(checked.units)))


def plan_orchard(folder: "str | PathLike[str] | Inputs", *, until: str | None = None) -> "Orchard":
    """The whole plan, or its departments up to `until`; answers kept in the folder are used, out/ is not written.

    Raises
    ------
    topwire.values.fault.Faults
        As `read`. A department that cannot answer is None in the Orchard, and its notices say why.
    """
    from topwire.engine import run

    inputs = read(folder) if isinstance(folder, str | PathLike) else folder
    return run.plan_orchard(inputs, until=until)


def tables(orchard: "Orchard") -> Mapping[str, "PlainTable"]:
    """Every sheet of the plan by its name ("trellis.bill"): columns with what they measure, rows in SI units."""
    from topwire.show.plain import plain_tables

    return plain_tables(orchard)
