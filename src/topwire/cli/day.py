"""The day a command is asked about, bounded alike wherever one is named."""

from collections.abc import Callable
from datetime import date
from typing import Any

import click

from topwire.values.days import day_named


def day(written: str | date) -> date:
    """The type of an option that names a day."""
    try:
        return written if isinstance(written, date) else day_named(written)
    except ValueError as wrong:
        raise click.BadParameter(str(wrong)) from None


def on(example: str) -> Callable[[Any], Any]:
    """The option --on, as `day`."""
    says = f"A day instead of today, as {example}; past ones too."
    return click.option("--on", "day", type=day, default=lambda: date.today(), help=says)
