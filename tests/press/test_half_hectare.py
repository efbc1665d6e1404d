"""A newcomer's half-hectare for cider: what stands in two places agrees, and the mass of the season closes."""

import csv
import io
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from faces.two_places import Places, places_of
from press import half_hectare

from topwire.catalogue.tables import read_tables
from topwire.cellar.cider import fruit_for
from topwire.choice.plate import JuiceSide
from topwire.engine.inputs import read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.export.comma import blends
from topwire.ledger.findings import JobKind
from topwire.ledger.work import PRESSING
from topwire.press.findings import PressFindings
from topwire.show.tables import department_tables
from topwire.tell.ledger import job_words
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.calendar import WEEKS
from topwire.values.terms import CiderStyle
from topwire.values.units import UnitSystem

FULL_GROWN = 12  # year of the horizon


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return half_hectare.make(tmp_path_factory.mktemp("cider") / "field")


@pytest.fixture(scope="module")
def orchard(folder: Path) -> Orchard:
    return plan_orchard(read_inputs(folder))


@pytest.fixture(scope="module")
def places(orchard: Orchard, folder: Path) -> Iterator[Places]:
    with places_of(orchard, folder) as found:
        yield found


@pytest.fixture(scope="module")
def press(orchard: Orchard) -> PressFindings:
    assert orchard.press is not None
    return orchard.press


def test_every_style_is_made_and_its_fruit_is_that_of_its_litres(
    orchard: Orchard, press: PressFindings
) -> None:
    assert {drink.style for drink in press.drinks} == {
        CiderStyle.STILL_DRY, CiderStyle.BOTTLE_CONDITIONED, CiderStyle.KEEVED_SWEET, CiderStyle.VINEGAR
    }  # fmt: skip
    assert orchard.choice is not None
    for drink in press.drinks:
        need = orchard.choice.needs[drink.need]
        assert drink.wanted is not None
        assert need.amount == pytest.approx(
            fruit_for(drink.wanted, juice=press.juice_of_fruit[1], left=drink.left)
        )
        assert drink.made.low <= drink.made.middle <= drink.wanted * (1 + 1e-6)


def test_pressing_hours_are_the_kilograms_of_the_choice(orchard: Orchard, press: PressFindings) -> None:
    assert orchard.choice is not None
    assert orchard.ledger is not None
    task = next(task for task in orchard.ledger.tasks if task.name == PRESSING)
    hours = np.asarray(task.hours[FULL_GROWN])
    rate = sum(line.mean for line in press.weeks) / sum(line.hours for line in press.weeks)
    assert orchard.choice.pressed == pytest.approx(press.fruit_by_week)
    share = hours.sum() * rate / orchard.choice.pressed.sum()  # of a full crop
    assert 0.8 < share <= 1 + 1e-9
    assert hours * rate == pytest.approx(share * orchard.choice.pressed)
    for line in press.weeks:
        assert hours[line.week - 1] == pytest.approx(share * line.hours)


def test_litres_sugar_acid_and_tannin_close_over_the_season(orchard: Orchard, press: PressFindings) -> None:
    assert orchard.choice is not None
    assert press.balance is not None
    whole = press.balance
    assert sum(lot.fruit for lot in press.lots) == pytest.approx(whole.fruit, rel=1e-3)
    assert sum(lot.juice for lot in press.lots) == pytest.approx(whole.juice, rel=1e-3)
    assert whole.drinks + whole.lees == pytest.approx(whole.juice)
    assert whole.pomace + 1000 * whole.juice * 1.055 == pytest.approx(whole.fruit, rel=0.01)
    assert sum(lot.acid * lot.juice for lot in press.lots) == pytest.approx(whole.acid, rel=2e-3)
    assert sum(lot.tannin * lot.juice for lot in press.lots) == pytest.approx(whole.tannin, rel=2e-3)
    sugar = sum(
        week.kg * week.sugar for made in orchard.choice.blends for week in made.weeks
    )  # [kg deg Brix]; every kilogram of fruit gives as much juice
    season = sum(made.season.kg * made.season.sugar for made in orchard.choice.blends)
    assert sugar == pytest.approx(season, rel=2e-3)
    for lot in press.lots:
        assert sum(kg for _, kg in lot.of) == pytest.approx(lot.fruit, abs=2 + 0.01 * lot.fruit)
    held = sum(use.juice for use in press.vessels) + sum(press.lacking.values()) * 0.92
    assert held == pytest.approx(sum(lot.juice for lot in press.lots if lot.fermented), rel=2e-3)


def test_the_fruit_pressed_was_grown(orchard: Orchard, press: PressFindings) -> None:
    assert orchard.choice is not None
    at = list(orchard.choice.years).index(press.year)
    grown = dict(zip((line.name for line in orchard.choice.chosen), orchard.choice.harvest[at], strict=True))
    for line in press.fruit:
        assert line.fruit <= grown[line.cultivar] + 1e-6


def test_each_style_is_within_its_bounds_or_it_is_told(orchard: Orchard) -> None:
    assert orchard.choice is not None
    told: set[str] = set()
    for notice in orchard.choice.notices:
        if notice.code == "choice.blend_outside":
            told.add(str(notice.facts["product"]))
        elif notice.code == "choice.blends_stray":
            products = notice.facts["products"]
            assert isinstance(products, tuple)
            told.update(map(str, products))
    for made in orchard.choice.blends:
        assert (made.within >= 0.9 and made.chance >= 0.9) or str(made.product) in told
        assert 0 <= made.chance <= made.within + 1e-9 or made.within < 1
    keeved = next(made for made in orchard.choice.blends if made.style is CiderStyle.KEEVED_SWEET)
    assert keeved.season.bitter >= 0.5 - 1e-6
    assert {side.side for side in keeved.sides} == set(JuiceSide)


def test_cider_fruit_sweats_outdoors_and_is_pressed_after_it(orchard: Orchard, press: PressFindings) -> None:
    assert orchard.choice is not None
    assert orchard.choice.stored.max() == 0  # nothing but cider is asked for
    first = {line.name: line.harvest_weeks[0] for line in orchard.choice.chosen}
    kinds = {line.cultivar: line for line in press.fruit}
    for line in press.fruit:
        assert line.ripe <= line.over <= line.by
        if line.cider_class is not None and line.by - line.over > 21:
            assert line.sweated >= line.ripe + 7
    for made in orchard.choice.blends:
        for week in made.weeks:
            for name, share in week.shares:
                if name in kinds and share * week.kg > 1 and kinds[name].cider_class is not None:
                    assert (week.week - first[name]) % WEEKS < 26


def test_no_cider_cultivar_is_picked_by_colour_or_thinned_to_a_number(orchard: Orchard) -> None:
    assert orchard.choice is not None
    assert orchard.ledger is not None
    reader = Reader(UnitSystem.METRIC)
    works = {row.item: row for row in orchard.ledger.works}
    pressed = {line.name for line in orchard.choice.chosen if line.for_cider}
    picks = [job for job in orchard.ledger.calendar if job.kind is JobKind.PICK]
    assert pressed
    assert {job.cultivar for job in picks} >= pressed
    for job in picks:
        said = job_words(job, works, reader)
        assert ("not by colour" in said.how) == (job.cultivar in pressed)
    for table in department_tables(orchard, "years"):
        if table.name in ("years.fruit", "years.gauge"):
            assert not {str(row[0]) for row in table.rows} & pressed


def test_what_stands_in_two_places_agrees(orchard: Orchard, press: PressFindings) -> None:
    """Pages, spreadsheet and ledger say the same of litres, fruit and money."""
    assert orchard.ledger is not None
    rows = list(csv.DictReader(io.StringIO(blends(orchard).decode("utf-8-sig"))))
    for drink in press.drinks:
        mine = [row for row in rows if row["product"] == str(drink.product)]
        season = next(row for row in mine if row["week or season"] == "season")
        assert float(season["juice_l"]) == pytest.approx(1000 * drink.juice, abs=0.1)
        assert float(season["finished_l"]) == pytest.approx(1000 * drink.juice * drink.left, abs=0.1)
        by_week = sum(float(row["juice_l"]) for row in mine if row is not season)
        assert by_week == pytest.approx(1000 * drink.juice, rel=2e-3)
    worth = sum(drink.value - drink.making for drink in press.drinks)
    assert orchard.ledger.value_by_use["cider"] == pytest.approx(worth, rel=0.02)
    weeks = {line.week for line in press.weeks}
    assert {lot.week for lot in press.lots} <= weeks
    for use in press.vessels:
        if use.full is not None:
            assert any(lot.week == use.full and use.name in lot.vessels for lot in press.lots)


def test_litres_hours_and_money_are_the_same_on_every_face(places: Places, press: PressFindings) -> None:
    """First page, chapter, web page, spreadsheet, CSV and JSON."""
    orchard = places.orchard
    assert orchard.ledger is not None
    front = " ".join(" ".join(places.book[:2]).split())
    page = places.pages["press"]
    drinks, kept = places.sheet("press.drinks"), places.data["press"]["drinks"]
    worth = {row[0]: row for row in places.sheet("press.worth")}
    for drink, row, line in zip(press.drinks, drinks, kept, strict=True):
        litres = f"{1000 * drink.mean_made:,.0f}"
        assert f"{litres} L of {drink.product}" in front
        assert line["mean_made"] == pytest.approx(drink.mean_made)
        made = row[list(places.tables["press.drinks"].columns).index("middle year, L")]
        assert made == pytest.approx(1000 * drink.made.middle, abs=0.5)
        assert worth[row[0]][1] == pytest.approx(1000 * drink.mean_made, abs=0.5)
        assert litres in page
    weeks = places.sheet("press.weeks")
    assert sum(row[1] for row in weeks) == pytest.approx(press.fruit_by_week.sum(), abs=len(weeks))
    assert f"pressed in {sum(line.mean > 0 for line in press.weeks)} weeks" in front
    total = orchard.ledger.cost_to_establish
    assert f"{total:,.0f} EUR to establish" in front
    assert places.sheet("ledger.establishment")[-1][-1] == pytest.approx(total)
    assert f"together {total:,.0f}" in places.pages["ledger"]
    planted = sum(at >= 0 for at in places.data["layout"]["cultivar"])
    assert f"{planted:,} trees of" in front
    assert sum(bool(row["cultivar"]) for row in places.trees) == planted


def test_metric_euro_and_what_a_short_record_cannot_say(places: Places) -> None:
    chapters = [page for page in places.book if not re.search(r"\bSources\b", page)]  # works stand as printed
    words = " ".join(" ".join([*chapters, *places.pages.values()]).split())
    assert re.findall(r".{30}\d\s?(?:lb|ft|gal|°F|psi|mph)\b.{9}|.{30}\bacres?\b.{9}", words) == []
    money = re.findall(r"USD.{30}", words)
    assert [one for one in money if "in the money of that" not in one] == []  # published budgets
    told = re.findall(r".{40}(?:one year in ten|in a dry year).{40}", words)
    said = ("too few to say", "limited in a dry year")  # the second of rights to water
    assert [one for one in told if not any(words in one for words in said)] == []


def test_every_cultivar_is_to_be_had_in_europe(orchard: Orchard) -> None:
    assert orchard.choice is not None
    sold = read_tables()["sold_in_europe"].rows
    assert {line.name for line in orchard.choice.chosen} <= set(sold)


def test_the_pages_speak_of_dangers_and_of_litres(orchard: Orchard, press: PressFindings) -> None:
    told = " ".join(one.says for one in all_told(press.notices, Reader(UnitSystem.METRIC))).lower()
    for danger in ("carbon dioxide", "burst", "sulphite", "licence", "patulin"):
        assert danger in told
    us = " ".join(one.says for one in all_told(press.notices, Reader(UnitSystem.US)))
    assert " L " not in us.replace("mg/L", "")
    assert "gal" in us
    tables = {table.name: table for table in department_tables(orchard, "press")}
    assert {"press.drinks", "press.weeks", "press.lots", "press.vessels", "press.fruit", "press.ways", "press.sulphite",
            "press.worth", "press.balance", "press.bottles", "press.log"} <= set(tables)  # fmt: skip
    assert all(table.rows for table in tables.values())


def test_dates_of_the_press_are_in_its_season(orchard: Orchard, press: PressFindings) -> None:
    assert orchard.ledger is not None
    first, last = date(2030, 9, 15).isocalendar().week - 1, date(2030, 12, 20).isocalendar().week + 1
    assert all(first <= line.week <= last for line in press.weeks)


def test_old_ways_of_asking_stay(tmp_path: Path) -> None:
    from topwire.plan.read import parse_plan

    old = half_hectare.PLAN[: half_hectare.PLAN.index("  cider:")] + (
        "  needs:\n    - {use: cider, cider_class: sharp, amount: 500 kg/season, from: 15 Sep, to: 20 Dec}\n"
    ) + half_hectare.PLAN[half_hectare.PLAN.index("taste:") :]  # fmt: skip
    assert parse_plan(old).kitchen.needs[0].cider_class is not None
