"""How long many places take: `topwire many --until place` over invented daily weather of forty years, 249 cultivars.

    python benchmarks/bench_many.py                      1,000, 3,000 and 10,000 places; the first also with one worker
    python benchmarks/bench_many.py 200 500 --warming 2  other numbers, and with the warmer climate of a plan
    python benchmarks/bench_many.py --orchards 200       so many whole small orchards, each set beside a single run

Prints wall clock and processor time (on a machine with other work only the second says something), memory of the
largest worker, the share of time that is not spent in places, and what a place takes on disk. Bars: 10,000 places in
under ten minutes on two cores and 2 GB a worker; two workers 1.7 times as fast as one.
"""

import argparse
import resource
import shutil
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from invented_grid import write_grid

from topwire.export.many_files import write_region
from topwire.many.cluster import Workers, client_of
from topwire.many.kept import WORK, KeptAnswers, read_answer
from topwire.many.listed import read_places
from topwire.many.run import ManyWanted, run_places, to_do
from topwire.many.template import read_template


def prepared(folder: Path, places: int, warming: float) -> ManyWanted:
    """The table, the shared plan and the grid of so many places."""
    from many.invented import PLAN

    cells = write_grid(folder / "daily.nc", places)
    rows = [f"P{at},{north},{east},{high:.0f} m,{at}" for at, (north, east, high) in enumerate(cells)]
    table = folder / "places.csv"
    table.write_text("id,latitude,longitude,elevation,cell\n" + "\n".join(rows) + "\n", encoding="utf-8")
    text = PLAN.replace("warming: 0 K", f"warming: {warming:g} K")
    (folder / "template.yaml").write_text(text, encoding="utf-8")
    template = read_template(folder / "template.yaml")
    return ManyWanted(read_places(table), template, str(folder / "daily.nc"), "place", folder / "out")


def peak() -> float:
    """[MB] a process of the worker's has taken at most."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000.0


def run(wanted: ManyWanted, workers: int) -> float:
    """One run from nothing to its tables; [s] of the wall clock that the places took."""
    shutil.rmtree(wanted.out, ignore_errors=True)
    wanted.out.mkdir()
    kept = KeptAnswers(wanted.out)
    began, own = time.monotonic(), time.process_time()
    todo, already = to_do(wanted, kept)
    with client_of(Workers(number=workers), wanted.out / WORK) as client:
        ready = time.monotonic()
        tally = run_places(wanted, todo, already, kept, client, lambda _: None)
        took = time.monotonic() - ready
        memory: dict[str, Any] = client.run(peak)
    parent = time.process_time() - own
    assert not tally.wrong, tally.wrong[:3]
    told, written = time.process_time(), time.monotonic()
    for line in write_region(wanted, kept, [], 0.9, 3):
        print(f"    {line}")
    size = sum(path.stat().st_size for path in wanted.out.rglob("*") if path.is_file()) / len(todo)
    each, share = tally.seconds / len(todo), parent / max(tally.seconds, 1e-9)
    print(
        f"  {len(todo):,} places, {workers} worker(s): {time.monotonic() - began:,.0f} s in all (start "
        f"{ready - began:.0f}, places {took:,.0f}, tables {time.monotonic() - written:,.0f})\n"
        f"    processor: {each:.3f} s a place, {parent:,.1f} s of the run's own ({share:.1%}), "
        f"{time.process_time() - told:.1f} s of the tables\n"
        f"    memory: largest worker {max(memory.values()):,.0f} MB, the run itself {peak():,.0f} MB; "
        f"{size / 1000:,.0f} kB a place on disk"
    )
    return took


def places(numbers: list[int], warming: float) -> None:
    for number in numbers:
        with tempfile.TemporaryDirectory() as room:
            wanted = prepared(Path(room), number, warming)
            print(f"{number:,} places, forty years, warming {warming:g} K")
            two = run(wanted, 2)
            if number == numbers[0]:
                print(f"  two workers are {run(wanted, 1) / two:.2f} times as fast as one")


def orchards(number: int) -> None:
    """Whole small orchards in one run, and each of them by itself in a folder of its own."""
    from many.invented import write_places

    from topwire.engine.inputs import read_inputs
    from topwire.engine.recall import recall
    from topwire.engine.run import plan_orchard
    from topwire.engine.store import as_json

    with tempfile.TemporaryDirectory() as room:
        folder = Path(room)
        table = write_places(folder, number)
        wanted = ManyWanted(
            read_places(table), read_template(folder / "template.yaml"), "", "", folder / "out"
        )
        wanted.out.mkdir()
        kept = KeptAnswers(wanted.out)
        todo, already = to_do(wanted, kept)
        began = time.monotonic()
        with client_of(Workers(number=2), wanted.out / WORK) as client:
            tally = run_places(wanted, todo, already, kept, client, print)
        print(f"{number} whole orchards: {time.monotonic() - began:,.0f} s, processor {tally.seconds:,.0f} s")
        differ = 0
        for made in sorted((wanted.out / "orchards").iterdir()):
            alone = folder / "alone" / made.name
            shutil.copytree(made, alone, ignore=shutil.ignore_patterns(".topwire", "out"))
            single, among = plan_orchard(read_inputs(alone)), recall(made)
            differ += among is None or any(
                as_json(found) != as_json(among.departments[name])
                for name, found in single.departments.items()
            )
        ids = [place.id for place in wanted.listed.places if place.id not in {one.id for one in tally.wrong}]
        assert all(read_answer(kept.body(id)).planned for id in ids)
        print(
            f"  {len(ids)} answered, {len(tally.wrong)} with a reason; {differ} differ from their single runs"
        )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("numbers", nargs="*", type=int)
    parser.add_argument("--warming", type=float, default=0.0)
    parser.add_argument("--orchards", type=int)
    given = parser.parse_args()
    if given.orchards:
        orchards(given.orchards)
    else:
        places(given.numbers or [1000, 3000, 10_000], given.warming)
