"""Entries of every kind, and a PostgreSQL of the tests' own where its programs are installed."""

import atexit
import os
import shutil
import subprocess
import tempfile
from datetime import date
from functools import cache
from pathlib import Path
from uuid import uuid4

import pytest

from topwire.records.entries import (
    BatchNoted,
    CellarMoved,
    CellarRead,
    Counted,
    Entry,
    FruitCounted,
    FruitGrade,
    FruitPicked,
    FruitPressed,
    FruitServed,
    FruitSized,
    FruitSold,
    FruitTested,
    HeightMeasured,
    LabFigure,
    LotChecked,
    LotFate,
    PestSeen,
    PhMeasured,
    SampleTested,
    SeenStage,
    StageSeen,
    TakeCounted,
    TreeChanged,
    TreeEvent,
    TrunkMeasured,
    Watered,
    WeatherRead,
    Withdrawn,
    WorkDone,
)  # fmt: skip

DAY = date(2031, 9, 14)
_PROGRAMS = sorted(Path("/usr/lib/postgresql").glob("*/bin"))


def every_kind() -> list[Entry]:
    """One entry of each kind, all its fields filled."""
    picked = FruitPicked(
        day=DAY, cultivar="Wealthy", mass=54.4, block="Meadow", row=2, lot="crate 14", grade=FruitGrade.KITCHEN,
        crates=3, stored="cellar", who="Ann", remark="dry",
    )  # fmt: skip
    return [
        picked,
        TreeChanged(
            day=DAY, block="South", row=3, place=41, event=TreeEvent.REPLACED, cultivar="Gala", rootstock="G.41"
        ),
        StageSeen(day=date(2031, 4, 28), cultivar="Golden Delicious", stage=SeenStage.FULL_BLOOM),
        TrunkMeasured(day=DAY, block="South", row=3, place=41, diameter=0.031, above_union=0.3),
        HeightMeasured(day=DAY, block="South", row=3, place=41, height=2.4),
        FruitCounted(day=DAY, block="South", row=3, counted=Counted.FRUITLETS, count=240, trees=3),
        FruitSized(
            day=DAY, cultivar="Gala", diameters=(0.0121, 0.0133), tag="7", cluster="2", leaf=5, clusters_per_tree=88.0
        ),
        FruitTested(
            day=DAY, cultivar="Gala", fruits=10, starch=4.5, firmness=71.0, brix=12.5, acid=5.1, mass=0.18
        ),
        PestSeen(day=DAY, what="scab", on="leaves", count=12, share=0.05, block="South", row=2),
        SampleTested(
            day=DAY, of="soil", figures=(LabFigure("pH", 6.4), LabFigure("potassium", 120.0, "ppm")), depth=0.2
        ),
        PhMeasured(day=DAY, of="juice", ph=3.55, batch="3"),
        WeatherRead(day=DAY, at="hollow", low=-1.5, high=12.0, rain=4.2),
        WorkDone(day=DAY, job="pruning", hours=6.5, hands=2, trees=80, block="South", row=3),
        Watered(day=DAY, hours=2.0, volume=3.1, block="South"),
        TakeCounted(day=DAY, cultivar="Gala", started=25, good=22, lot="2031 a"),
        CellarMoved(day=DAY, lot="crate 14", mass=4.0, fate=LotFate.MOVED, stored="pantry"),
        LotChecked(day=DAY, lot="crate 14", sound=0.9, stored="cellar"),
        CellarRead(day=DAY, temperature=2.5, humidity=0.9, stored="cellar"),
        FruitPressed(day=DAY, cultivar="Dabinett", mass=90.0, volume=0.053, batch="3", brix=13.1, ph=3.8),
        BatchNoted(day=DAY, batch="3", product="cider", step="racked", volume=0.05, temperature=12.0, ph=3.7),
        FruitSold(day=DAY, what="fruit", cultivar="Gala", mass=9.0, pieces=4, money=24.0),
        FruitServed(day=DAY, dish="apple pie", portions=24, mass=5.4, cultivar="Wealthy"),
        Withdrawn(day=DAY, corrects=picked.identity),
    ]  # fmt: skip


@cache
def _server() -> Path:
    """The socket folder of a server of this run; stopped and cleared away at its end."""
    home = Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp"))
    programs = _PROGRAMS[-1]
    as_user: list[str] = []
    if os.geteuid() == 0:  # the server refuses to run as root
        shutil.chown(home, "postgres", "postgres")
        as_user = ["runuser", "-u", "postgres", "--"]

    def run(*words: str) -> None:
        subprocess.run([*as_user, *words], check=True, capture_output=True, cwd="/")

    data = str(home / "data")
    run(str(programs / "initdb"), "-D", data, "-U", "postgres", "-A", "trust", "--no-sync")
    options = f"-c listen_addresses='' -c unix_socket_directories={home} -c fsync=off"
    run(str(programs / "pg_ctl"), "-D", data, "-w", "-l", str(home / "log"), "-o", options, "start")

    def stop() -> None:
        run(str(programs / "pg_ctl"), "-D", data, "-m", "immediate", "stop")
        shutil.rmtree(home, ignore_errors=True)

    atexit.register(stop)
    return home


def postgres_url() -> str:
    """A database nobody else has, in a server of the tests' own (.ci/run installs Debian's packages)."""
    if not _PROGRAMS:
        pytest.skip("no PostgreSQL server is installed: apt-get install postgresql")
    import psycopg

    home, name = _server(), f"t{uuid4().hex}"
    with psycopg.connect(host=str(home), user="postgres", dbname="postgres", autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")  # type: ignore[call-overload]
    return f"postgresql://postgres@/{name}?host={home}"
