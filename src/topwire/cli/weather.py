"""topwire weather: the record and the forecast, kept current on request. Nothing else opens a connection outwards."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from topwire.cli.ending import Hindered, Said
from topwire.values.fault import Faults

if TYPE_CHECKING:
    from topwire.plan.model import Plan


@click.group()
def weather() -> None:
    """Find, fetch and keep current the weather of an orchard, and the forecast."""


@weather.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--file",
    "own",
    type=click.Path(path_type=Path),
    metavar="FORECAST",
    help="Keep this forecast of your own: a service's answer, or a plain table of the days ahead.",
)
@click.option("--kept", is_flag=True, help="Only show the one that is kept.")
def forecast(folder: Path, own: Path | None, kept: bool) -> None:
    """The days ahead for the orchard in FOLDER; kept in weather/forecast, apart from the record."""
    import numpy as np

    from topwire.cli.showing import print_table
    from topwire.show.sheet import printed
    from topwire.show.weather_sheets import forecast as forecast_sheet
    from topwire.tell.reader import Reader
    from topwire.weather.forecast_kept import keep_own, kept_forecast

    now = datetime.now(UTC).replace(tzinfo=None, microsecond=0)
    try:
        plan = _plan_of(folder)
        if own is not None:
            keep_own(folder, own, plan.place.latitude, plan.place.longitude, f"{now.isoformat()}Z")
        found = kept_forecast(folder)
    except Faults as faults:
        raise Said(faults.notices) from None
    except OSError as error:
        raise Hindered(f"{folder} cannot be written: {error.strerror or error}.") from None
    if found is None:
        raise Hindered(f"no forecast is kept in {folder}.")
    print_table(printed(forecast_sheet(found, np.datetime64(now, "s")), Reader(plan.unit_system)))


def _plan_of(folder: Path) -> "Plan":
    """The plan, whatever its weather files. Raises Faults."""
    from topwire.engine.inputs import PLAN_FILE
    from topwire.plan.read import parse_plan, read_plan_text

    return parse_plan(read_plan_text(folder / PLAN_FILE), PLAN_FILE)
