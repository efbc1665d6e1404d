"""Sixteen browsers at once: no error, no note lost or doubled, and pages that do not wait for each other's sums."""

import os
import re
import threading
import time
from pathlib import Path

from web.desk import Browser, Served, furnished

from topwire.records.store import open_store
from topwire.web.contents import PAGES

SECONDS = float(os.environ.get("TOPWIRE_LOAD_SECONDS", "3"))  # 60 by hand
BROWSERS = 16
LOOKED_AT = ["/", "/map.json", "/plan", "/tree", *(f"/{page.name}" for page in PAGES if page.departments)]


def test_sixteen_browsers_at_once_lose_nothing(tmp_path: Path) -> None:
    folder = furnished(tmp_path / "yard")
    wrong: list[str] = []
    noted: list[str] = []
    taken: list[float] = []

    def look(number: int, served: Served) -> None:
        with Browser(served) as browser:
            ends, count = time.monotonic() + SECONDS, 0
            while time.monotonic() < ends:
                for path in LOOKED_AT[number % 4 :: 4]:
                    began = time.monotonic()
                    answer = browser.get(path)
                    taken.append(time.monotonic() - began)
                    if answer.status_code != 200:
                        wrong.append(f"{path}: {answer.status_code}")
                if count < 5:
                    mark = f"browser {number} note {count}"
                    answer = browser.fill("/records/note", {"note": f"12 May 2026: Gala full bloom ({mark})"})
                    (noted if answer.status_code == 200 else wrong).append(mark)
                    count += 1

    with Served(folder) as served:
        threads = [threading.Thread(target=look, args=(number, served)) for number in range(BROWSERS)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert not wrong, wrong[:5]
    assert len(noted) >= BROWSERS
    with open_store(folder) as store:
        kept = [entry.remark for entry in store.entries()]
    assert sorted(kept) == sorted(noted)
    print(f"{len(taken)} pages, 95th percentile {sorted(taken)[int(0.95 * len(taken))] * 1000:.0f} ms")


def test_a_first_view_is_light(browser: Browser) -> None:
    for page in PAGES:
        text = browser.get(f"/{page.name}", headers={"accept-encoding": "identity"}).text
        total = 0
        for path in {f"/{page.name}", *re.findall(r'(?:src|href)="(/static/[^"]+)"', text)}:
            with browser.stream("GET", path, headers={"accept-encoding": "gzip"}) as answer:
                total += sum(len(chunk) for chunk in answer.iter_raw())
        assert total < 300_000, (page.name, total)
