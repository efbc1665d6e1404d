"""How a command ends that cannot do what it was asked: told one a line, with the exit code of who is at fault."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from topwire.values.fault import Hindrance

if TYPE_CHECKING:
    from topwire.values.fault import FileNotice
    from topwire.values.notice import Notice
    from topwire.values.units import UnitSystem


class Said(click.ClickException):
    """Faults told one a line: exit code 2; 1 where the program or the machine is what stands in the way."""

    def __init__(self, said: Iterable[object], *, ours: bool = False) -> None:
        super().__init__("faults")
        self.said = tuple(said)
        hindered = ours or any(isinstance(one, Hindrance) for one in self.said)
        self.exit_code = 1 if hindered else 2  # type: ignore[misc]  # click takes it off the instance

    def show(self, file: object = None) -> None:
        for line in self.said:
            click.echo(str(line), err=True)
        count = len(self.said)
        click.echo(f"{count} fault{'s' if count != 1 else ''}; nothing was written.", err=True)


class Hindered(click.ClickException):
    """The machine or the program is at fault: exit code 1."""

    exit_code = 1

    def show(self, file: object = None) -> None:
        click.echo(self.message, err=True)


@contextmanager
def ended(where: object) -> Iterator[None]:
    """What stands in a command's way, told: faults of the grower's, and what the machine does not let it do."""
    from topwire.values.fault import Faults

    try:
        yield
    except Faults as found:
        raise Said(found.notices) from None
    except OSError as error:
        says = f"{error.filename or where} cannot be read or written: {error.strerror or error}."
        raise Hindered(says) from None


def refused(system: "UnitSystem", notices: "Iterable[Notice | FileNotice]") -> Said:
    """Why a department is absent: the grower's plan, or a failure of ours."""
    from topwire.engine.run import FAILED
    from topwire.tell.reader import Reader
    from topwire.tell.speech import all_told

    found = tuple(notices)
    ours = any(isinstance(one, Hindrance) or getattr(one, "code", "") == FAILED for one in found)
    return Said(all_told(found, Reader(system)), ours=ours)
