"""Whatever stands in a grower's files, it is read or refused in words: no traceback, no hang."""

import shutil
from pathlib import Path
from random import Random

import pytest
from fuzz.kinds import KINDS, Case, make, prepare, read

CASES = Path(__file__).parent / "cases"
SEED, EACH = 20, {"whole plan": 10}
KEPT = sorted(path for path in CASES.iterdir() if path.is_file())


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    base = tmp_path_factory.mktemp("fuzz")
    whole = prepare(base / "whole")
    shutil.copytree(whole, base / "work")
    return whole, base / "work"


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_spoiled_files_are_told_or_read(folders: tuple[Path, Path], kind: str) -> None:
    draw = Random(f"{SEED} {kind}")
    for _ in range(EACH.get(kind, 60)):
        read(make(kind, draw), *folders)


@pytest.mark.parametrize("path", KEPT, ids=lambda path: str(path.name))
def test_what_once_failed_is_told(folders: tuple[Path, Path], path: Path) -> None:
    kind, _, name = path.name.split("--", 2)
    case = Case(kind.replace("-", " "), name.replace("~", "/"), path.read_bytes())
    read(case, *folders)
