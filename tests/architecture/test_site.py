"""The site's texts: every block in them runs, every block in the other pages is of a kind some test runs."""

import re
import shlex
import sys
from pathlib import Path

import click
import pytest
from pydantic import TypeAdapter, ValidationError

from topwire.cli import main
from topwire.plan.model import Plan
from topwire.plan.read import parse_yaml

ROOT = Path(__file__).parents[2]
SITE = ROOT / "docs/site"
sys.path.insert(0, str(SITE))
import make  # noqa: E402
import running  # noqa: E402

PAGES = sorted(
    (*SITE.rglob("*.md"), *(ROOT / "docs").glob("*.md"), ROOT / "README.md", ROOT / "CONTRIBUTING.md")
)
FENCED = re.compile(r"^```([^\n]*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
INDENTED = re.compile(r"(?:(?<=\n\n)|\A)((?:    \S.*\n(?: {4,}.*\n|\n(?=    ))*)+)")
OTHER_PROGRAMS = ("make ", "pipx install ", "uvx ", "docker ")


@pytest.fixture(scope="module")
def staged(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site as Sphinx reads it: every block was run on the way."""
    room = tmp_path_factory.mktemp("site")
    (room / "orchards").mkdir()
    make.stage(room / "source", room / "orchards")
    return room / "source"


def test_every_block_of_the_site_was_run(staged: Path) -> None:
    for path in staged.rglob("*.md"):
        assert "```{run" not in path.read_text(encoding="utf-8"), path
    tutorial = (staged / "tutorial.md").read_text(encoding="utf-8")
    assert "Next: topwire plan garden" in tutorial
    assert "book.pdf" in tutorial


def test_every_page_is_in_the_contents_and_every_link_leads_somewhere(staged: Path) -> None:
    named = {"index"}
    for path in staged.rglob("*.md"):
        text = path.read_text(encoding="utf-8")
        for block in re.findall(r"```\{toctree\}\n(.*?)```", text, re.DOTALL):
            for line in block.splitlines():
                if line and not line.startswith(":"):
                    named.add(str((path.parent / line).relative_to(staged)))
                    assert (path.parent / f"{line}.md").is_file(), line
        for target in re.findall(
            r"\]\((?!https?:|#|mailto:)([^)#\s]+)", re.sub(r"```.*?```", "", text, flags=re.DOTALL)
        ):
            assert (path.parent / target).exists(), f"{path.name}: {target}"
    assert {str(path.relative_to(staged).with_suffix("")) for path in staged.rglob("*.md")} == named


def test_a_block_that_fails_stops_the_build(tmp_path: Path) -> None:
    for block in (
        "```{run}\ntopwire check nowhere\n```\n",
        "```{run}\nls\n```\n",
        "```{run}\ntopwire nonsense\n```\n",
    ):
        with pytest.raises(running.BlockFailed):
            running.with_answers(block, tmp_path, "page.md")
    said = running.with_answers("```{run lines=1}\ntopwire new x --example list\n```\n", tmp_path, "page.md")
    assert "lines more)" in said


def blocks(path: Path) -> list[str]:
    """Every block of commands, code or data of a page that is not run where it stands."""
    text = path.read_text(encoding="utf-8")
    fenced = [body for kind, body in FENCED.findall(text) if not kind.startswith("{")]
    return fenced + [
        re.sub("^    ", "", one, flags=re.MULTILINE) for one in INDENTED.findall(FENCED.sub("", text))
    ]


def is_command(line: str) -> bool:
    """A line of the terminal. A command of topwire has to be one, with options that are there."""
    words = shlex.split(line, comments=True)
    if not words or line.startswith(OTHER_PROGRAMS):
        return True
    if words[0] != "topwire":
        return False
    command: click.Command = main
    words = words[1:]
    while isinstance(command, click.Group):
        command = command.commands[words.pop(0)]
    options = {name for one in command.params for name in (*one.opts, *one.secondary_opts)}
    wrong = [word for word in words if word.startswith("--") and word.partition("=")[0] not in options]
    assert not wrong, f"{line}: {wrong}"
    return True


def is_of_a_plan(block: str) -> bool:
    """Sections of a plan, as far as they are shown: no setting that is none, no value that does not fit."""
    if not re.match(rf"(#.*\n)*({'|'.join(Plan.model_fields)}):", block):
        return False
    for name, said in parse_yaml(block, "plan.yaml").items():
        try:
            TypeAdapter(Plan.model_fields[name].annotation).validate_python(said)
        except ValidationError as wrong:
            amiss = [one for one in wrong.errors() if one["type"] != "missing"]
            assert not amiss, amiss
    return True


# Blocks that are neither commands nor notes, by how they begin, and the test that runs them.
RUN_ELSEWHERE = {
    "weather.md": ("weather:", "date,", "# temperature", "time,"),  # test_docs.py
    "phenology.md": ("h = ", "needed = ", "entry,", "weather:"),  # test_docs.py
    "trees.md": ("growth of the leader", "P(good"),  # test_docs.py, tests/nursery/test_spares.py
    "ledger.md": ("NPV",),  # test_docs.py
    "protection.md": ("D ≥",),  # test_docs.py
    "water.md": ("Dr(today)",),  # tests/water/test_balance.py: the balance closes
    "guests.md": ("guests:",),  # test_docs.py
    "python.md": ("import topwire",),  # tests/test_interface.py
    "records.md": ("soil test",),  # tests/records/test_note.py: every form's own example
}


@pytest.mark.parametrize("path", PAGES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_block_is_of_a_kind_that_is_run(path: Path) -> None:
    for block in blocks(path):
        if block.startswith(RUN_ELSEWHERE.get(path.name, ("\0",))):
            continue
        if is_of_a_plan(block):
            continue
        for line in block.splitlines():
            assert is_command(line), f"{path.name}: {line}"
