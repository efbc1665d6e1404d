"""A run in the terminal: a bar a step with what it found, one line each, plain where nobody looks on."""

import re
from dataclasses import replace
from io import StringIO

import pytest
from faces import invented
from rich.console import Console

from topwire.cli.live import NAMES, DrawnRun, PlainRun, looked_on
from topwire.cli.showing import print_table
from topwire.engine.orchard import StepRun
from topwire.show.table import Table


def seen(width: int, steps: int, *, absent: str = "") -> str:
    """What stands on a terminal of this width after so many steps."""
    out = StringIO()
    console = Console(file=out, force_terminal=True, width=width, color_system=None)
    run = DrawnRun(console, refresh=False)
    orchard = invented.orchard()
    with run.progress:
        for number in range(steps):
            run.says(f"{number + 1}/{len(NAMES)} {NAMES[number]}: under way")
            ended = tuple(
                StepRun(name, "k", None if name == "place" else 1.0) for name in NAMES[: number + 1]
            )
            run.came(replace(orchard, steps=tuple(one for one in ended if one.name != absent)))
        if steps < len(NAMES):
            run.says("weighing cultivars")
        run.progress.refresh()
    return out.getvalue().rpartition("\x1b[2K")[2].replace("\x1b[?25h", "")  # as last drawn


@pytest.mark.parametrize("width", [60, 80, 140])
def test_each_step_has_its_line_with_its_state_and_what_it_found(width: int) -> None:
    lines = [line.rstrip() for line in seen(width, 3).splitlines()]
    last = [line for line in lines if line]
    assert [line.split()[0] for line in last] == list(NAMES)
    states = [line.split()[1] for line in last]
    assert states == ["unchanged", "done", "done", "working", *["waiting"] * (len(NAMES) - 4)]
    assert all(len(line) <= width for line in last)
    assert "weighing" in last[3]


def test_a_step_that_could_not_be_computed_says_so() -> None:
    assert "absent" in seen(120, 5, absent=NAMES[4])


def test_without_a_terminal_there_are_plain_lines(capsys: pytest.CaptureFixture[str]) -> None:
    with looked_on() as run:
        assert isinstance(run, PlainRun)
        run.says("1/11 place: bloom")
        run.came(invented.orchard())
    assert capsys.readouterr().err == "1/11 place: bloom\n"


def test_a_table_wider_than_the_window_is_turned(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    wide = Table("Wide", tuple(f"caption{n}" for n in range(8)), (tuple(f"word{n}" for n in range(8)),), "")
    for columns, turned in (("160", False), ("50", True)):
        monkeypatch.setenv("COLUMNS", columns)
        monkeypatch.setattr(Console, "is_terminal", property(lambda self: True))
        print_table(wide)
        said = re.sub(r"\x1b\[[\d;]*m", "", capsys.readouterr().out)
        lines = [line.rstrip() for line in said.splitlines()]
        assert ("  caption3  word3" in lines) is turned
        assert all(len(line) <= int(columns) for line in lines)
