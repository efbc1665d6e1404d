"""Processor time of every page with the plan computed, 3,000 trees and 200,000 records, the size of a first view, and
the frames of a map of 30,000 trees under a moving hand.

    OMP_NUM_THREADS=1 python benchmarks/bench_pages.py FOLDER

FOLDER holds a planned orchard. The pages of its departments are those of an invented orchard of 3,000 trees and 30
cultivars; season, cellar and records those of FOLDER with 200,000 invented entries, its week laid out again to 3,000
trees. Each page is asked once to warm, then ten times; the processor time is that of the whole process, the asking
included. The map is moved forty times at each of three scales in a browser; told is the middle frame's time by the
browser's own clock.
"""

import re
import shutil
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
sys.path.insert(0, str(Path(__file__).parent))

from bench_season import AT_ONCE, ENTRIES, invented, laid_again
from faces import invented as faces_invented
from web.desk import Browser, Served, furnished
from web.wide_map import SCALES, moved, wide_map

from topwire.engine.store import keep
from topwire.records.store import open_store
from topwire.season.kept import BASIS, open_folder
from topwire.web.contents import PAGES

TIMES = 10
BAR = 0.100  # [s]
FRAME = 1000 / 30  # [ms]
OF_THE_SEASON = ("season", "cellar", "records")


def asked(browser: Browser, path: str) -> list[float]:
    """Processor seconds of each asking after the first."""
    assert browser.get(path).status_code == 200, path
    taken = []
    for _ in range(TIMES):
        began = time.process_time()
        assert browser.get(path).status_code == 200
        taken.append(time.process_time() - began)
    return taken


def size(browser: Browser, path: str) -> int:
    """Compressed bytes of a first view: the page with every script and style of it."""
    text, total = browser.get(path).text, 0
    for one in {path, *re.findall(r'(?:src|href)="(/static/[^"]+)"', text)}:
        with browser.stream("GET", one, headers={"accept-encoding": "gzip"}) as answer:
            total += sum(len(chunk) for chunk in answer.iter_raw())
    return total


def told(folder: Path, paths: list[str]) -> list[float]:
    every: list[float] = []
    with Served(folder) as served, Browser(served) as browser:
        for path in paths:
            taken = asked(browser, path)
            every += taken
            slowest = sorted(taken)[-1]
            print(f"  {path:12} {1e3 * slowest:5.0f} ms at most, {size(browser, path) / 1000:5.0f} kB")
    return every


def main() -> None:
    with TemporaryDirectory() as room:
        names = tuple(f"Cultivar {number}" for number in range(30))
        wide = furnished(Path(room) / "wide", faces_invented.orchard(names=names, rows=30, places=101))
        pages = [f"/{page.name}" for page in PAGES if page.name not in OF_THE_SEASON]
        every = told(wide, ["/", *pages, "/map.json", "/plan", "/trials"])
        folder = Path(room) / "long"
        shutil.copytree(sys.argv[1], folder, ignore=shutil.ignore_patterns("records.db*"))
        opened = open_folder(folder)
        basis = laid_again(opened.basis)
        keep(folder, BASIS, opened.key, basis)
        entries = invented(basis.names, basis.planting + 20, ENTRIES)
        with open_store(folder) as store:
            for start in range(0, ENTRIES, AT_ONCE):
                store.append(entries[start : start + AT_ONCE])
        day = f"{basis.planting + 20}-09-20"
        every += told(folder, ["/", f"/season?on={day}", f"/cellar?on={day}", "/records"])
        at = sorted(every)[int(0.95 * len(every))]
        print(f"95th percentile of {len(every)} answers: {1e3 * at:.0f} ms (bar {1e3 * BAR:.0f} ms)")
        with wide_map(Path(room) / "map") as page:
            for scale in SCALES:
                took = sorted(taken for _, taken in moved(page, scale)["frames"])
                middle, slowest = took[len(took) // 2], took[-1]
                told_of = f"{middle:.1f} ms a frame (bar {FRAME:.0f} ms), {slowest:.1f} at most"
                print(f"map at {scale:3} dots a metre: {told_of}")


if __name__ == "__main__":
    main()
