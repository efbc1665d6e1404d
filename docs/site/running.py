"""Code blocks that are run while the site is built: what stands below them is what they said just now.

A block fenced as {run} holds commands, a line each, run one after the other in one folder; {run-python} holds Python,
run in the same folder. Behind the kind, in the braces, may stand “lines=12” (of the answer, the rest is left out) and “quiet” (no answer).
A command that fails stops the build.
"""

import contextlib
import io
import os
import re
import shlex
from collections.abc import Iterator
from pathlib import Path

from click.testing import CliRunner

from topwire.cli import main

BLOCK = re.compile(r"^```\{(run(?:-python)?)([^}\n]*)\}\n(.*?)^```$", re.MULTILINE | re.DOTALL)
MOST = 400


class BlockFailed(Exception):
    """A block of the documentation does not run."""


def with_answers(text: str, folder: Path, page: str) -> str:
    """The page with each block followed by its answer."""
    return BLOCK.sub(lambda found: _answered(found, folder, page), text)


def _answered(found: re.Match[str], folder: Path, page: str) -> str:
    kind, said, code = found.groups()
    most = int(size[1]) if (size := re.search(r"lines=(\d+)", said)) else MOST
    with _within(folder):
        answer = _python(code, page) if kind == "run-python" else "".join(_commands(code, page))
    shown = f"```{'python' if kind == 'run-python' else 'console'}\n{code}```\n"
    if "quiet" in said or not answer.strip():
        return shown
    lines = answer.rstrip().splitlines()
    more = [f"… ({len(lines) - most} lines more)"] if len(lines) > most else []
    return f"{shown}\n```text\n" + "\n".join([*lines[:most], *more]) + "\n```\n"


def _commands(code: str, page: str) -> Iterator[str]:
    for line in code.replace("\\\n", " ").splitlines():
        words = shlex.split(line, comments=True)
        if not words:
            continue
        if words[0] != "topwire":
            raise BlockFailed(f"{page}: “{line}” is no command of topwire")
        answer = CliRunner().invoke(main, words[1:])
        if answer.exit_code != 0:
            raise BlockFailed(
                f"{page}: “{line}” ended with {answer.exit_code}: {answer.output[-800:]}"
            ) from answer.exception
        yield answer.output


def _python(code: str, page: str) -> str:
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        exec(compile(code, page, "exec"), {})
    return said.getvalue()


@contextlib.contextmanager
def _within(folder: Path) -> Iterator[None]:
    before, width = Path.cwd(), os.environ.get("COLUMNS")
    os.chdir(folder)
    os.environ["COLUMNS"] = "100"
    try:
        yield
    finally:
        os.chdir(before)
        os.environ.pop("COLUMNS") if width is None else os.environ.update(COLUMNS=width)
