"""Disease as what it costs: sources side by side, unknown never resistant, trees lost, what is held to a few."""

from pathlib import Path

import numpy as np
import pytest
from choice.conftest import CATALOGUE
from layout.worlds import seasons

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.choice.asked import Barred
from topwire.choice.disease import (
    DEAD_AFTER_SEVEN,
    Disease,
    Rating,
    crop_lost,
    prior,
    rating_of,
    tree_loss,
)
from topwire.choice.disease_question import COLUMNS, RatingRow, barred_by, held_few, outlooks, ratings_of
from topwire.choice.planting import Limits
from topwire.choice.supply import Supply
from topwire.values.terms import Resistance
from topwire.values.traits import Grade, Susceptibility

RATINGS = ratings_of(CATALOGUE)
OUTLOOKS = outlooks(CATALOGUE, seasons(CATALOGUE))
R, S, VS = Susceptibility.RESISTANT, Susceptibility.SUSCEPTIBLE, Susceptibility.VERY_SUSCEPTIBLE


def test_what_was_read_counts_and_what_is_remembered_is_shown() -> None:
    rating = rating_of({"A": (S,), "B": (R,)}, VS)
    assert rating is not None
    assert (rating.middle, rating.low, rating.high) == (2.0, 1.0, 4.0)
    assert rating.disputed
    alone = rating_of({}, VS)
    assert alone is not None
    assert (alone.middle, alone.known) == (4.0, True)
    assert rating_of({}, None) is None


def test_no_unknown_rating_counts_as_resistant() -> None:
    for name, each in RATINGS.items():
        for disease in (Disease.SCAB, Disease.FIRE_BLIGHT):
            if not each[disease].known:
                assert each[disease].middle >= 2.0, (name, disease)
    assert prior([]).middle == 2.0
    assert prior([0.0, 4.0, 4.0]).middle == 4.0  # the median where it is the graver


def test_sources_that_differ_are_told() -> None:
    bramley = RATINGS["Bramley's Seedling"][Disease.FIRE_BLIGHT]
    assert bramley.disputed
    assert {key for key, _ in bramley.said} >= {"CLINE2023", "AAFC"}


def test_a_source_named_by_both_tables_says_one_thing() -> None:
    """A cell of cultivars.csv and a row of disease_ratings.csv that cite the same table give the same rating of it."""
    rows = {
        (row.cultivar, row.disease, row.source): row.rating
        for row in CATALOGUE.rows("disease_ratings", RatingRow)
    }
    both = {
        (row.name, disease, source): getattr(row, column)
        for row in CATALOGUE.cultivars
        for disease, column in COLUMNS.items()
        for source in row.evidence_of(column).sources
        if (row.name, disease, source) in rows
    }
    assert len(both) > 140
    assert {key: said for key, said in both.items() if rows[key] is not said} == {}


def test_an_own_cell_counts_beside_the_source_it_was_shipped_with(tmp_path: Path) -> None:
    (tmp_path / "cultivars.csv").write_text(
        "name,powdery_mildew\nPriscilla,very susceptible\n", encoding="utf-8"
    )
    own = ratings_of(Catalogue(read_tables(tmp_path)))["Priscilla"][Disease.MILDEW]
    assert VS in {rating for _, rating in own.said}
    assert own.middle > RATINGS["Priscilla"][Disease.MILDEW].middle


def test_more_blight_weather_worse_ratings_and_more_vigour_take_more_trees() -> None:
    rating = Rating(3.0, 3.0, 3.0, known=True)
    often = tree_loss(rating, wet_bloom=0.8, warm_bloom=0.9, vigour=Grade.MEDIUM)
    seldom = tree_loss(rating, wet_bloom=0.2, warm_bloom=0.4, vigour=Grade.MEDIUM)
    hard = tree_loss(rating, wet_bloom=0.8, warm_bloom=0.9, vigour=Grade.HIGH)
    worse = tree_loss(Rating(4.0, 4.0, 4.0, known=True), wet_bloom=0.8, warm_bloom=0.9, vigour=Grade.MEDIUM)
    assert 0 < often.low < often.middle < often.high < 1
    assert seldom.middle < often.middle < hard.middle
    assert often.middle < worse.middle


def test_seven_years_of_outbreak_lose_what_the_trial_lost() -> None:
    """Full outbreak every year, grown trees: the published share is dead after seven years."""
    for step, dead in enumerate(DEAD_AFTER_SEVEN):
        yearly = 1 - (1 - dead) ** (1 / 7)
        assert 1 - (1 - yearly) ** 7 == pytest.approx(dead)
        loss = tree_loss(
            Rating(float(step), step, step, known=True), wet_bloom=1.0, warm_bloom=1.0, vigour=Grade.MEDIUM
        )
        assert loss.yearly == pytest.approx(
            0.3 * yearly * 1.2
        )  # a third of the years; young trees a fifth more


def test_disease_takes_crop_and_more_in_wet_places() -> None:
    worst = {disease: Rating(4.0, 4.0, 4.0, known=True) for disease in Disease}
    best = {disease: Rating(0.0, 0.0, 0.0, known=True) for disease in Disease}
    loss = tree_loss(best[Disease.FIRE_BLIGHT], wet_bloom=0.0, warm_bloom=0.0, vigour=None)
    assert crop_lost(best, loss, wet_spring=22) == pytest.approx(4 * loss.yearly)
    assert crop_lost(best, loss, wet_spring=22) < 0.01
    assert crop_lost(worst, loss, wet_spring=5) < crop_lost(worst, loss, wet_spring=22) < 0.3


@pytest.mark.parametrize("name", ["Brown's Apple", "Ashmead's Kernel", "Medaille d'Or", "Sweet Alford"])
def test_the_published_group_is_held_to_a_few(name: str) -> None:
    """90 to 100 % of the trees dead after seven years (CLINE2023)."""
    assert OUTLOOKS[name].deadly
    for resistance in Resistance:
        assert held_few(OUTLOOKS[name], resistance)


def test_held_to_a_few_in_the_programme(supply: Supply, limits: Limits) -> None:
    from dataclasses import replace

    held = replace(limits, few=("GoldRush",))
    assert held.most(supply).tolist() == [60, 2, 60]
    assert replace(held, standing={"GoldRush": 9}).most(supply).tolist() == [60, 9, 60]


def test_strong_resistance_bounds_them_all() -> None:
    assert barred_by(RATINGS["Gala"], Resistance.STRONG) in (
        Barred.SCAB,
        Barred.FIRE_BLIGHT,
        Barred.SCAB_AND_FIRE_BLIGHT,
    )
    assert barred_by(RATINGS["Gala"], Resistance.SOME) is None
    barred = {name: barred_by(one, Resistance.STRONG) for name, one in RATINGS.items()}
    for name, why in barred.items():
        weak = [
            disease
            for disease in (Disease.SCAB, Disease.FIRE_BLIGHT)
            if OUTLOOKS[name].ratings[disease].middle >= 2.5
        ]
        if weak:
            assert why is not None, name
    assert Barred.RUST_OR_MILDEW in barred.values()
    assert any(why is None for why in barred.values())


def test_every_outlook_is_a_share() -> None:
    for outlook in OUTLOOKS.values():
        assert 0 <= outlook.trees.low <= outlook.trees.middle <= outlook.trees.high < 1
        assert 0 <= outlook.crop_lost < 0.8
    assert np.mean([one.crop_lost for one in OUTLOOKS.values()]) < 0.4
