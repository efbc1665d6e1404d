"""What to run this week: the stored plan of the water asked again with this year's weather and a forecast."""

from datetime import date
from pathlib import Path

from topwire.engine.department import Earlier
from topwire.engine.inputs import Inputs
from topwire.engine.orchard import Orchard
from topwire.engine.steps import WATER
from topwire.values.fault import Faults, fault
from topwire.water.week import WeekAdvice, this_week
from topwire.weather.read import read_days


def water_this_week(inputs: Inputs, orchard: Orchard, forecast: Path, today: date) -> WeekAdvice:
    """Advice for the days from `today` on.

    Parameters
    ----------
    forecast : a weather file in any format a record may have: days of this year so far, where the record of the plan
        lacks them, and the days ahead

    Raises
    ------
    CannotAnswer
        Where the forecast does not begin today or the trees are not planted yet.
    Faults
        When the file cannot be read or the water is not planned.
    """
    if orchard.water is None:
        raise Faults(
            [fault("water", "is not planned, so nothing can be said of a week.", "Mend that first.")]
        )
    days = read_days(forecast)
    known = {name: found for name, found in orchard.departments.items() if found is not None}
    asked = WATER.ask(inputs, Earlier(known))
    return this_week(asked, orchard.water, today=today, records=(inputs.weather, days))
