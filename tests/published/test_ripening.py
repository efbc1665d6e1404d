"""Ripening against the published rule, trends and lists of dates.

No record of harvest dates of one tree over many years is at hand, so no error of a year left out can be given for
dates. What can be left out is a list: offsets of cultivars from other places forecast the dates of one place.
"""

import csv

import numpy as np
import numpy.typing as npt
import pytest
from phenology_support import DATA, catalogue, seasons_of

from topwire.phenology import ripening
from topwire.phenology.forecast import forecast
from topwire.phenology.question import traits_of


def root_mean_square(errors: npt.ArrayLike) -> float:
    return float(np.sqrt(np.mean(np.square(errors))))


def test_the_rule_for_delicious() -> None:
    """BEAUDRY1993: bloom 23 April 2013, nights 8.0 F under 50: the arithmetic gives 21 September (the page says 19)."""
    date = float(ripening.rule_date(113, (42 - 32) / 1.8, days_from_bloom=143))
    assert date == pytest.approx(113 + 151)


@pytest.mark.parametrize(("name", "low", "high"), [("brussels", 255, 285), ("cambridge", 255, 290)])
def test_golden_delicious_in_the_north_west(name: str, low: float, high: float) -> None:
    """Common practice, no source: picked from the middle of September to the middle of October."""
    found = forecast(seasons_of(name), traits_of(catalogue()))
    assert low < found.harvest_first[:, 0].mean() < high


def test_harvest_moves_about_half_as_far_as_bloom() -> None:
    """KUNZ2022 (abstract read): bloom 11 to 14 d earlier, harvest 4 to 12 d; AGRON2025: bloom explains little."""
    traits = traits_of(catalogue())
    found = forecast(seasons_of("brussels"), traits)
    slopes = {
        name: np.polyfit(found.full_bloom[:, column], found.harvest_first[:, column], 1)[0]
        for column, name in enumerate(traits.names)
        if name in ("Golden Delicious", "Jonagold", "Gala", "Yellow Transparent")
    }
    assert 0.25 < slopes["Golden Delicious"] < 0.7
    assert 0.25 < slopes["Jonagold"] < 0.7
    assert slopes["Yellow Transparent"] > slopes["Golden Delicious"]


def test_a_list_left_out() -> None:
    """Dates of one place from the offsets of the others, beside the naive forecast: the mean date elsewhere.

    Lists of MSU-DATES (one office, three years, counted as one place), and of growers in other states.
    """
    with (DATA / "harvest_lists.csv").open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    places = sorted({row["place"] for row in rows})
    dates = {
        place: {
            name: np.mean(
                [float(row["day"]) for row in rows if row["place"] == place and row["cultivar"] == name]
            )
            for name in {row["cultivar"] for row in rows if row["place"] == place}
        }
        for place in places
    }
    ours, naive = [], []
    for place in places:
        others = [other for other in places if other != place]
        for name, day in dates[place].items():
            elsewhere = [dates[other] for other in others if name in dates[other]]
            if name == "Delicious" or not elsewhere:
                continue
            offset = np.mean([found[name] - found["Delicious"] for found in elsewhere])
            ours.append(dates[place]["Delicious"] + offset - day)
            naive.append(np.mean([found[name] for found in elsewhere]) - day)
    assert len(ours) > 30
    assert root_mean_square(ours) < 9.0
    assert root_mean_square(ours) < 0.6 * root_mean_square(naive)


def test_offsets_of_the_catalogue_agree_with_the_lists_as_well_as_lists_do() -> None:
    """Catalogue notes: two lists disagree by 6 to 19 d; here catalogue against the mean of MSU-DATES and the others."""
    with (DATA / "harvest_lists.csv").open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    reference = {
        row["place"] + row["year"]: float(row["day"]) for row in rows if row["cultivar"] == "Golden Delicious"
    }
    ours, listed = [], []
    for row in rows:
        name = {"Rome": "Rome Beauty", "Delicious": "Red Delicious"}.get(row["cultivar"], row["cultivar"])
        known = catalogue().cultivar.get(name)
        key = row["place"] + row["year"]
        if known is not None and known.harvest_offset_days is not None and key in reference:
            ours.append(known.harvest_offset_days)
            listed.append(float(row["day"]) - reference[key])
    assert len(ours) > 60
    assert root_mean_square(np.array(ours) - np.array(listed)) < 12.0
