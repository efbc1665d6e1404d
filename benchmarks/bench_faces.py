"""How the time to write out/ grows with the orchard: invented orchards of 500 to 8,000 trees, one core.

Ratios are against the smallest orchard. Run by `make bench`.
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from faces import invented

from topwire.export.files import FILES


def main() -> None:
    names = tuple(f"Cultivar {number}" for number in range(30))
    totals: list[float] = []
    shown = (
        "book.pdf",
        "sheets/planting.pdf",
        "labels.pdf",
        "orchard.xlsx",
        "ground.geojson",
        "orchard.json",
    )
    print("trees   " + "".join(f"{name:>21}" for name in shown) + f"{'all files, s':>16}{'ratio':>8}")
    for rows in (5, 10, 20, 40, 80):
        orchard = invented.orchard(names=names, rows=rows, places=101)
        seconds = {}
        for name, make in FILES.items():
            began = time.perf_counter()
            make(orchard)
            seconds[name] = time.perf_counter() - began
        totals.append(sum(seconds.values()))
        cells = "".join(f"{seconds[name]:21.2f}" for name in shown)
        print(f"{rows * 100:<8}{cells}{totals[-1]:16.2f}{totals[-1] / totals[0]:8.1f}")


if __name__ == "__main__":
    main()
