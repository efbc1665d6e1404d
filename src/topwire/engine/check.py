"""Everything a plan will read, read and held against itself: every fault of every group at once; then every department
asked, so that a plan found good ends with all of them there.
"""

from dataclasses import dataclass
from pathlib import Path

from topwire.engine.department import Earlier
from topwire.engine.inputs import Gathered, Inputs, gather
from topwire.engine.steps import GROUND
from topwire.values.fault import Faults, FileNotice
from topwire.values.notice import CannotAnswer, Notice, Severity
from topwire.values.progress import Progress, silent
from topwire.values.units import UnitSystem


@dataclass(frozen=True)
class Checked:
    """What a check found.

    Attributes
    ----------
    inputs : None where there are faults
    faults : of all groups; where there are none the departments can be asked
    notices : what the reading of plan and weather has to tell
    units : of the plan, where it could be read
    """

    inputs: Inputs | None
    faults: tuple[FileNotice | Notice, ...]
    notices: tuple[FileNotice, ...] = ()
    units: UnitSystem = UnitSystem.METRIC


def check_folder(folder: Path) -> Checked:
    """The orchard in `folder`: plan, tables, records, outlines, standing trees, weather, the survey."""
    try:
        found = gather(folder)
    except Faults as unreadable:
        return Checked(None, unreadable.notices)
    inputs = found.inputs
    if inputs is None:
        return Checked(None, (*found.faults, *_weather_alone(found)))
    faults: list[FileNotice | Notice] = []
    faults += _weather(inputs)
    faults += _survey(inputs)
    if faults:
        return Checked(None, tuple(faults), units=inputs.plan.unit_system)
    return Checked(inputs, (), (*inputs.notices, *inputs.weather.notices), inputs.plan.unit_system)


def rehearse(inputs: Inputs, progress: Progress = silent) -> tuple[FileNotice | Notice, ...]:
    """Why a department cannot answer; nothing where `plan` ends with every department there.

    Whether posts can be found that hold, or pipes that water evenly, is known when they have been: so every department
    is asked as `plan` asks it. The answers are kept in the folder, and `plan` takes them from there.
    """
    from topwire.engine.run import plan_orchard

    orchard = plan_orchard(inputs, progress=progress)
    if not orchard.absent:
        return ()
    grave = tuple(one for one in orchard.notices if str(one.severity) == Severity.FAULT)
    return grave or orchard.notices


def _weather_alone(found: Gathered) -> tuple[FileNotice, ...]:
    """What is wrong with the weather files themselves, where the plan they belong to cannot be read yet."""
    from topwire.weather.read import read_weather

    if not found.weather:
        return ()
    try:
        read_weather([path for _, path in found.weather], labels=[name for name, _ in found.weather])
    except Faults as wrong:
        return wrong.notices
    return ()


def _weather(inputs: Inputs) -> list[FileNotice]:
    from topwire.phenology.question import stated_climates

    faults: list[FileNotice] = []
    for read in (
        lambda: inputs.weather,
        lambda: inputs.weather_credits,
        lambda: inputs.changes,
        lambda: stated_climates(inputs.catalogue),
    ):
        try:
            read()
        except Faults as found:
            faults += found.notices
    return faults


def _survey(inputs: Inputs) -> tuple[FileNotice | Notice, ...]:
    try:
        GROUND.pose(inputs, Earlier({})).answer(silent)
    except Faults as found:
        return found.notices
    except CannotAnswer as reasons:
        return reasons.notices
    return ()
