"""How the figures of catalogue/data/bloom_shape.csv were got, and how far they can be trusted.

    OMP_NUM_THREADS=1 python benchmarks/fit_dates.py FOLDER [FORM ...]

FOLDER holds records of full bloom and the weather before them: Golden Delicious at Winchester and Rock Springs
(MUIR2023), at Meknes, and four cultivars of the Rhineland (published with Luedeling E. and others 2024,
10.60507/FK2/MZIELI). The last two may be fitted on and are not shipped; only figures are. A collection in six countries
(Jung M. and others 2020) serves for differences between cultivars.

Every form shares its shape over all places and cultivars. The need of a cultivar is free; a place's departure from it
is taken as normal with 3 days, a year's with 4. Each form is fitted to all, then with a place left out (its dates then
shifted by one number, as a grower's own dates would) and with a period left out. Errors are root mean squares in days.
Of the chosen form come figures with errors, stages, differences of two cultivars, how often low to high holds, harvest,
and a hindcast of warming. About six minutes on one core for all forms.
"""

import sys
import time
from pathlib import Path

import numpy as np
from dates import fitting, measures
from dates.collections_sites import collection
from dates.fitting import Held
from dates.forms import BEST, FIGURES, FORMS, SHAPED
from dates.harvest import harvest
from dates.records import CATALOGUE, LATITUDES, Dates, collections, read
from dates.warming import hindcast

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables


def chosen(records: list[Dates], values: list[float], left_out: dict[str, list[Held]]) -> None:
    """All that is printed of the form that is shipped."""
    spread = fitting.covariance(SHAPED, values, records)
    print("\nfigure        value     error   covariance")
    for index, name in enumerate(FIGURES):
        row = " ".join(f"{cell:9.2g}" for cell in spread[index])
        print(f"{name:<11}{values[index]:8.4g}{np.sqrt(spread[index, index]):10.2g}   {row}")
    heat = fitting.heats(SHAPED, values, records)
    measures.of_figures(heat, records)
    measures.stages(heat, records)
    for said, held in left_out.items():
        measures.coverage(said, held)
        measures.pairs(said, held)
        measures.shared_year(held)
    harvest(left_out["period left out"])


def main() -> None:
    folder, *wanted = sys.argv[1:]
    records = read(Path(folder))
    forms = [form for form in FORMS if not wanted or any(part in form.name for part in wanted)]
    print(f"{len(forms)} forms; root-mean-square errors [d]: " + ", ".join(LATITUDES))
    found: dict[str, dict[str, list[Held]]] = {}
    for form in forms:
        started = time.perf_counter()
        values = fitting.fitted(form, records, form.start, 300)
        print(f"\n{form.name}: " + " ".join(f"{value:.4g}" for value in values), flush=True)
        found[form.name] = {
            "place left out": fitting.place_left_out(form, values, records),
            "period left out": fitting.period_left_out(form, values, records),
        }
        for said, held in found[form.name].items():
            measures.by_place(said, held)
        if form is SHAPED:
            chosen(records, values, found[form.name])
        print(f"  {time.perf_counter() - started:.0f} s", flush=True)
    if all(form.name in found for form in BEST):
        print("\nmean of " + " and ".join(form.name for form in BEST))
        for said in ("place left out", "period left out"):
            measures.by_place(said, fitting.mean_of([found[form.name][said] for form in BEST]))
    hindcast(records)
    rows = Catalogue(read_tables()).cultivars
    offsets = {row.name: row.bloom_offset_days or 0.0 for row in rows}
    offsets |= {theirs: offsets[ours] for theirs, ours in CATALOGUE.items()}
    collection(collections(Path(folder)), offsets)


if __name__ == "__main__":
    main()
