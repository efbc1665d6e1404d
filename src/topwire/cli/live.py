"""A run as one looks on in a terminal: a bar a step, with what it found. Plain lines where nobody looks on."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from topwire.engine.orchard import Orchard
from topwire.engine.steps import STEPS
from topwire.show.summary import found_by
from topwire.tell.reader import Reader

if TYPE_CHECKING:
    from rich.console import Console

NAMES = tuple(step.name for step in STEPS)


class PlainRun:
    """A line as each step begins: for a file, another program, or a page that reads along."""

    def says(self, message: str) -> None:
        click.echo(message, err=True)

    def came(self, orchard: Orchard) -> None:
        """What was found stands in the summary."""


class DrawnRun:
    """A bar a step. Its state stands in words beside it: a colour says nothing that is not written."""

    def __init__(self, console: "Console", *, refresh: bool = True) -> None:
        from rich.progress import BarColumn, Progress, Task, TextColumn, TimeElapsedColumn
        from rich.table import Column
        from rich.text import Text

        class Took(TimeElapsedColumn):
            def render(self, task: Task) -> Text:
                return super().render(task) if task.started else Text(" " * 7)

        rest = Column(ratio=1, no_wrap=True, overflow="ellipsis")  # one line a step, whatever it has to say
        found = TextColumn("{task.fields[found]}", table_column=rest, markup=False)
        name, state = TextColumn("{task.description}", markup=False), TextColumn("{task.fields[state]:9}")
        self.progress = Progress(
            name, state, BarColumn(bar_width=12), Took(), found,
            console=console, expand=True, auto_refresh=refresh,
        )  # fmt: skip
        self._tasks = [
            self.progress.add_task(step.name, start=False, total=1, state="waiting", found=step.says)
            for step in STEPS
        ]
        self._at = 0
        self._work()

    def says(self, message: str) -> None:
        """What the step at work says of itself."""
        _, _, said = (
            message.rpartition(f"{NAMES[self._at]}: ") if self._at < len(NAMES) else ("", "", message)
        )
        if self._at < len(NAMES):
            self.progress.update(self._tasks[self._at], found=said)

    def came(self, orchard: Orchard) -> None:
        """The step at work has ended; the next one begins."""
        name, task = NAMES[self._at], self._tasks[self._at]
        run = next((one for one in orchard.steps if one.name == name), None)
        state = "absent" if run is None else "unchanged" if run.seconds is None else "done"
        told = found_by(orchard, Reader(orchard.origin.units)).get(name, STEPS[self._at].says)
        found = told if run is not None else "it could not be computed; why is told below"
        self.progress.update(task, total=1, completed=0 if run is None else 1, state=state, found=found)
        self.progress.stop_task(task)
        self._at += 1
        self._work()

    def _work(self) -> None:
        if self._at < len(self._tasks):
            self.progress.start_task(self._tasks[self._at])
            self.progress.update(self._tasks[self._at], total=None, state="working")


@contextmanager
def looked_on() -> Iterator[PlainRun | DrawnRun]:
    """What a run is told to: bars where standard error is a terminal that can draw, else lines."""
    if not sys.stderr.isatty():
        yield PlainRun()
        return
    from rich.console import Console

    console = Console(stderr=True, highlight=False)
    if console.is_dumb_terminal or console.width < 60:
        yield PlainRun()
        return
    run = DrawnRun(console)
    with run.progress:
        yield run
