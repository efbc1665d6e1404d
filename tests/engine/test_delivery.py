"""out/ as one transaction: at every moment wholly the old one or wholly the new one; the grower loses nothing."""

import json
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from topwire.engine import delivery, exchange
from topwire.engine.at_work import Busy, at_work
from topwire.engine.delivery import MANIFEST, NotWritten, changed_by_hand, deliver, read_manifest
from topwire.engine.exchange import recover
from topwire.engine.store import FOLDER, keep
from topwire.nursery.findings import StockLine

KILLS = int(os.environ.get("TOPWIRE_KILLS", "12"))  # the long run: TOPWIRE_KILLS=200
NAMES = ("book.pdf", "sheets/planting.pdf", "trees.csv")


def writers(word: str, size: int = 50) -> dict[str, Callable[[], bytes | None]]:
    def make(name: str) -> Callable[[], bytes]:
        return lambda: f"{word} {name} ".encode() * size

    return {name: make(name) for name in NAMES}


def put(folder: Path, word: str) -> delivery.Delivery:
    return deliver(folder, writers(word), version="1", plan=word, key=word)


def stands(folder: Path) -> str:
    """The one plan that every file of out/ belongs to."""
    manifest = read_manifest(folder / "out")
    assert manifest is not None
    assert changed_by_hand(folder / "out", manifest) == ()
    assert set(manifest.files) == set(NAMES)
    for name in NAMES:
        assert (folder / "out" / name).read_text().startswith(manifest.key)
    return manifest.key


def test_written_once_and_again_only_for_another_plan(tmp_path: Path) -> None:
    assert put(tmp_path, "a").written
    assert not put(tmp_path, "a").written
    assert put(tmp_path, "b").written
    assert stands(tmp_path) == "b"
    assert list((tmp_path / FOLDER).iterdir()) == []


def test_an_emptied_or_missing_file_is_made_anew(tmp_path: Path) -> None:
    put(tmp_path, "a")
    (tmp_path / "out" / "book.pdf").write_bytes(b"")
    (tmp_path / "out" / "trees.csv").unlink()
    done = put(tmp_path, "a")
    assert done.written
    assert done.set_aside == ()
    assert stands(tmp_path) == "a"


def test_what_the_grower_changed_or_added_is_kept(tmp_path: Path) -> None:
    put(tmp_path, "a")
    (tmp_path / "out" / "trees.csv").write_text("my notes")
    (tmp_path / "out" / "letters").mkdir()
    (tmp_path / "out" / "letters" / "mine.txt").write_text("mine")
    done = put(tmp_path, "b")
    (kept,) = done.set_aside
    assert Path(kept).read_text() == "my notes"
    assert (tmp_path / "out" / "letters" / "mine.txt").read_text() == "mine"
    assert stands(tmp_path) == "b"


def test_a_file_of_a_department_that_is_gone_goes(tmp_path: Path) -> None:
    put(tmp_path, "a")
    fewer = writers("b") | {"trees.csv": lambda: None}
    deliver(tmp_path, fewer, version="1", plan="b", key="b")
    assert not (tmp_path / "out" / "trees.csv").exists()


@pytest.mark.parametrize(
    ("error", "ours"),
    [(ZeroDivisionError("division by zero"), True), (OSError(28, "No space left on device"), False)],
)
def test_a_failed_file_leaves_out_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception, ours: bool
) -> None:
    put(tmp_path, "a")
    broken = writers("b")
    if ours:

        def make() -> bytes:
            raise error

        broken["trees.csv"] = make
    else:
        write = delivery._write

        def full(path: Path, content: bytes) -> None:
            if path.name == "trees.csv":
                raise error
            write(path, content)

        monkeypatch.setattr(delivery, "_write", full)
    with pytest.raises(NotWritten, match=r"trees\.csv") as failed:
        deliver(tmp_path, broken, version="1", plan="b", key="b")
    assert failed.value.ours is ours
    assert stands(tmp_path) == "a"
    assert list((tmp_path / FOLDER).iterdir()) == []


def test_a_folder_in_the_way_is_told(tmp_path: Path) -> None:
    (tmp_path / FOLDER).write_text("in the way")
    with pytest.raises(NotWritten, match="out"):
        put(tmp_path, "a")


def test_a_folder_that_was_taken_away_is_told_and_not_made_again(tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    with pytest.raises(NotWritten, match="out"):
        put(gone, "a")
    with pytest.raises(OSError, match=r"."), at_work(gone):
        pass
    keep(gone, "stock", "key", StockLine("G.41", 3, False))
    assert not gone.exists()


def test_a_manifest_of_something_else_is_none(tmp_path: Path) -> None:
    for text in (
        "",
        "[]",
        '{"files": []}',
        json.dumps({"version": 1, "plan": 2, "key": 3, "files": {"a": 1}}),
    ):
        (tmp_path / MANIFEST).write_text(text)
        manifest = read_manifest(tmp_path)
        assert manifest is None or changed_by_hand(tmp_path, manifest) == ("a",)


def test_without_a_call_for_exchanging_two_renames_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(exchange, "_swapped", lambda one, other: False)
    put(tmp_path, "a")
    put(tmp_path, "b")
    assert stands(tmp_path) == "b"
    assert list((tmp_path / FOLDER).iterdir()) == []


def test_a_crash_between_two_renames_is_mended(tmp_path: Path) -> None:
    put(tmp_path, "a")
    (tmp_path / "out").rename(tmp_path / FOLDER / "out-xyz-before")
    recover(tmp_path / FOLDER, tmp_path / "out")
    assert stands(tmp_path) == "a"


def test_the_second_run_is_told_who_is_at_work(tmp_path: Path) -> None:
    code = (
        "import sys, time; from pathlib import Path; from topwire.engine.at_work import at_work\n"
        "with at_work(Path(sys.argv[1])):\n    print('in', flush=True); time.sleep(30)"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path)], stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline().strip() == "in"
        with pytest.raises(Busy, match=f"process {other.pid}"), at_work(tmp_path):
            pass
        other.kill()
    with at_work(tmp_path):
        put(tmp_path, "a")  # a lock dies with its process


WRITER = """
import sys
from pathlib import Path
from topwire.engine.at_work import at_work
from topwire.engine.delivery import deliver
folder, names = Path(sys.argv[1]), sys.argv[2].split("|")
print("ready", flush=True)
number = 0
while True:
    word = "ab"[number % 2]
    make = {name: (lambda name=name, word=word: f"{word} {name} ".encode() * 20000) for name in names}
    with at_work(folder):
        deliver(folder, make, version="1", plan=word, key=word)
    number += 1
"""


def test_killed_at_any_moment_out_is_whole(tmp_path: Path) -> None:
    put(tmp_path, "a")
    (tmp_path / "out" / "mine.txt").write_text("mine")
    chance = random.Random(7)
    for _ in range(KILLS):
        command = [sys.executable, "-c", WRITER, str(tmp_path), "|".join(NAMES)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None
            process.stdout.readline()
            time.sleep(chance.uniform(0.0, 0.12))
            process.send_signal(signal.SIGKILL)
        assert stands(tmp_path) in ("a", "b")
        assert (tmp_path / "out" / "mine.txt").read_text() == "mine"
    with at_work(tmp_path):
        put(tmp_path, "c")
    assert stands(tmp_path) == "c"
    assert [path.name for path in (tmp_path / FOLDER).iterdir() if path.is_dir()] == []
