"""How much colder the orchard's nights are, where its own thermometer was read."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from topwire.files.own_file import own_text
from topwire.plan.model import Plan
from topwire.values.fault import Faults, FileNotice, assumption, fault, warning

if TYPE_CHECKING:
    from topwire.weather.mornings import MorningSteps

LARGEST = 1_000_000  # bytes
LEAST, MOST = -5.0, 8.0  # [K] as the plan allows


@dataclass(frozen=True)
class MeasuredNights:
    """The plan with what the mornings measure, their steps by month (None where they are too few), and what to tell."""

    plan: Plan
    steps: "MorningSteps | None"
    notices: tuple[FileNotice, ...]


def measured_nights(folder: Path, plan: Plan, weather: Sequence[Path], where: str) -> MeasuredNights:
    """place.colder_than_station from the file of mornings the plan names.

    Parameters
    ----------
    weather : files of the record
    where : place of the setting, for messages

    Raises
    ------
    Faults
        The file or the record cannot be read, or the plan states the difference as well.
    """
    from topwire.weather.mornings import FEWEST, read_mornings, steps_of
    from topwire.weather.read import read_weather
    from topwire.weather.reading import degrees

    name = str(plan.weather.mornings)
    if plan.place.colder_than_station:
        says = "and place.colder_than_station are two ways to state one thing."
        raise Faults([fault(where, says, "Keep one: the mornings measure it.")])
    mornings = read_mornings(own_text(folder / name, where, name, LARGEST), name)
    record = read_weather(weather, labels=plan.weather.files)
    steps = steps_of(mornings, record.day, record.tmin, record.tmax)
    if steps is None:
        says = f"holds fewer than {FEWEST} clear mornings that the record has too; they are not used yet."
        remedy = "Read on, and bring the record up to date."
        return MeasuredNights(plan, None, (warning(name, says, remedy),))
    says = (
        f"{steps.clear} clear mornings of your own are {degrees(-steps.colder)} beside the record, one of them good to "
        f"{degrees(steps.spread).lstrip('+')}; place.colder_than_station is taken from them."
    )
    place = plan.place.model_copy(update={"colder_than_station": min(max(steps.colder, LEAST), MOST)})
    return MeasuredNights(plan.model_copy(update={"place": place}), steps, (assumption(name, says),))
