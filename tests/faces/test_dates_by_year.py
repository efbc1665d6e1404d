"""The dates of every year as a CSV: same as on standard output, empty where not reached."""

import csv
import io
from datetime import date

import numpy as np
from faces import invented

from topwire.export.dates import dates_by_year


def test_one_line_a_cultivar_and_year() -> None:
    orchard = invented.orchard()
    place = orchard.place
    assert place is not None
    rows = list(csv.DictReader(io.StringIO(dates_by_year(orchard).decode("utf-8-sig"))))
    assert len(rows) == place.full_bloom.size
    first = rows[0]
    assert (first["cultivar"], int(first["year"])) == (place.cultivars[0], place.years[0])
    seen = date.fromisoformat(first["full_bloom"])
    assert seen.timetuple().tm_yday == round(place.full_bloom[0, 0])
    assert seen.year == place.years[0]
    missing = [row for row in rows if row["full_bloom"] == ""]
    assert len(missing) == np.isnan(place.full_bloom).sum() > 0
    assert all(float(row["bloom_error_days"]) > 0 for row in rows)
