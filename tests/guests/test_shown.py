"""What guests are shown, of an invented planting."""

import json
import re
from dataclasses import replace
from datetime import date
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from topwire.book.build import guests_pdf
from topwire.book.guest_cards import SIZES
from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.cli import main
from topwire.export.guest_files import guest_files, pages, put
from topwire.guests.answer import answer, manners, page_name, season_of
from topwire.guests.asked import DishNow, FactTells, GuestCultivar, GuestsQuestion, Hand
from topwire.guests.findings import GuestsFindings, InSeason, SeenInRow
from topwire.guests.question import StoryTables, told_of
from topwire.season.asked import RowTrees
from topwire.show.guests_sheets import sheets
from topwire.tell import guests as words
from topwire.values.fault import Faults
from topwire.values.terms import Use
from topwire.values.units import UnitSystem

DAY = date(2034, 10, 10)  # day 283
CATALOGUE = Catalogue(read_tables())
TABLES = StoryTables.of(CATALOGUE)


def cultivar(name: str, **changed: object) -> GuestCultivar:
    plain = GuestCultivar(
        **told_of(CATALOGUE.cultivar[name], TABLES),
        pressed_only=False,
        rows=(RowTrees("Meadow 2", 8, 1, 8),),
        bears=True,
        bloom=(110.0, 115.0, 122.0),
        ripe=(250.0, 260.0),
        keeps=10.0,
        mellow=0.0,
        hand=(),
    )
    return replace(plain, **changed)  # type: ignore[arg-type]


def asked(*cultivars: GuestCultivar, **changed: object) -> GuestsQuestion:
    plain = GuestsQuestion(
        name="Inn & <Orchard>",
        units=UnitSystem.US,
        day=DAY.isoformat(),
        web_address=None,
        recorded=True,
        closed=False,
        blocks=("Meadow", "Lane"),
        cultivars=cultivars,
        dishes=(DishNow(Use.FRESH, "", ()), DishNow(Use.PIE, "slice of pie", ("Wealthy",)), DishNow(Use.JUICE, "", ())),
    )  # fmt: skip
    return replace(plain, **changed)  # type: ignore[arg-type]


HAND = (Hand("2034-09-12", 5.0, 9.0, 0.0),)
EVERY = asked(
    cultivar("Wealthy", hand=HAND),
    cultivar("GoldRush", ripe=(282.0, 290.0), mellow=4.0, rows=(RowTrees("Lane 1", 5, 1, 5),)),
    cultivar("Smokehouse", hand=HAND, rows=(RowTrees("Meadow 10", 4, 1, 4), RowTrees("Meadow 9", 2, 1, 2))),
    cultivar("Kermerrien", pressed_only=True, ripe=(280.0, 290.0), rows=(RowTrees("Meadow 9", 6, 3, 8),)),
    cultivar("D'Arcy Spice"),
)


@pytest.fixture(scope="module")
def found() -> GuestsFindings:
    return answer(EVERY)


@pytest.mark.parametrize(
    ("changed", "state"),
    [
        ({"hand": HAND}, InSeason.TABLE),
        ({"hand": (Hand("2034-09-01", 0.0, 3.0, 0.0),)}, InSeason.COOK),
        ({"hand": (Hand("2034-10-01", 20.0, 30.0, 5.0),)}, InSeason.MELLOWS),
        ({"hand": (Hand("2034-10-01", 20.0, 30.0, 5.0),), "ripe": (280.0, 290.0)}, InSeason.FOR_LATER),
        ({"hand": HAND, "uses": (Use.PIE,)}, InSeason.COOK),  # none to eat as it is
        ({"ripe": (280.0, 290.0)}, InSeason.PICKED),
        ({"ripe": (280.0, 290.0), "pressed_only": True}, InSeason.PRESS),
        ({"bloom": (280.0, 283.0, 290.0), "ripe": None}, InSeason.BLOOMS),
        ({"ripe": (300.0, 310.0)}, InSeason.COMES),
        ({}, InSeason.OVER),
        ({"bears": False, "ripe": (280.0, 290.0)}, InSeason.YOUNG),
    ],
)
def test_where_a_cultivar_is_in_its_year(changed: dict[str, object], state: InSeason) -> None:
    season = season_of(cultivar("Wealthy", **changed), DAY)
    assert season.state is state
    assert words.season_words(season)


def test_the_board_names_what_is_at_hand_and_nothing_else(found: GuestsFindings) -> None:
    board = found.board
    assert board.raw == ("Smokehouse", "Wealthy")
    pie = next(dish for dish in board.dishes if dish.use is Use.PIE)
    assert pie.fruit == ("Wealthy",)  # as the cellar shared it out, though Smokehouse lies there too
    assert board.picked == ("GoldRush", "Kermerrien")
    assert "D'Arcy Spice" not in str(board)


def test_by_the_plan_a_dish_is_of_the_apples_the_plan_gives_it() -> None:
    grown = (
        cultivar(
            "Enterprise", hand=(Hand("2034-10-01", 20.0, 30.0, 3.0),)
        ),  # still to mellow, and good for pies
        cultivar("Wealthy", hand=HAND),
        cultivar("Smokehouse", hand=HAND),
        cultivar("Winesap", ripe=(290.0, 300.0)),
        cultivar("Douce Moen", hand=HAND),
    )
    pie = DishNow(Use.PIE, "", ("Winesap", "Enterprise", "Wealthy"))
    plan = answer(asked(*grown, recorded=False, dishes=(pie,)))
    assert plan.board.dishes[0].fruit == (
        "Enterprise",
        "Wealthy",
    )  # most first, and none that still hangs green
    none = replace(pie, fruit=("Winesap", "Douce Moen"))
    assert not answer(asked(*grown, recorded=False, dishes=(none,))).board.dishes
    noted = answer(asked(*grown, dishes=(none,))).board.dishes[0].fruit
    assert noted == ("Smokehouse", "Wealthy")  # what is there and fit for it: cider fruit is not


def test_what_is_not_mellow_yet_is_not_on_the_table() -> None:
    late = cultivar("Harrison", ripe=(270.0, 280.0), hand=(Hand("2034-10-02", 18.0, 24.0, 15.0),))
    shown = answer(asked(late, recorded=False, dishes=()))
    assert shown.board.raw == ()
    assert words.season_words(shown.cards[0].season).startswith(
        "In the cellar, mellowing; at its best from about 23"
    )


@pytest.mark.parametrize(
    ("name", "home", "age"),
    [
        ("Black Limbertwig", "USA (S. Appalachia), we believe", "perhaps the 1800s"),  # shown in Georgia in 1914
        ("Harrison", "USA (New Jersey), we believe", "perhaps the 1770s"),  # celebrated in 1817
        ("Summer Rose", "USA (New Jersey)", "before 1806"),  # on a nursery's list of 1823
        ("Rambo", "USA (Pennsylvania or Delaware)", "the 1700s"),
        ("Yellow Bellflower", "Burlington County, New Jersey, USA", "known by 1817"),
        ("Stoke Red", "England (Somerset), we believe", "known in the 1920s"),
        ("Smith Seedling", "Stokes County, North Carolina, USA", "known before 1861"),
        ("Catshead", "England", "known in the seventeenth century"),
        ("Golden Harvey", "England (Hereford)", "the 1600s"),  # read there; the story's time is remembered
        ("Yellow June", "England, naturalised in the South", "the 1600s"),  # its year is a guess
        ("King David", "Washington County, Arkansas, USA", "nineteenth century"),  # found in 1893
    ],
)  # fmt: skip
def test_a_notice_or_a_show_is_neither_home_nor_age(name: str, home: str, age: str) -> None:
    card = answer(asked(cultivar(name))).cards[0]
    assert (words.home(card), words.age(card)) == (home, age)


def test_no_age_of_a_card_is_later_than_a_notice_that_was_read() -> None:
    for card in answer(asked(*(cultivar(name) for name in CATALOGUE.cultivar))).cards:
        told = [
            fact for fact in card.facts if fact.read and fact.dated and fact.tells is not FactTells.TRADITION
        ]
        oldest = min((fact.dated.ends for fact in told if fact.dated), default=None)
        time = card.since or card.known
        if oldest is not None and time is not None:
            assert time.year <= oldest, card.name
        if card.since is None and card.known is None and told:
            assert card.era, card.name


def test_juice_has_its_caution_wherever_the_board_is_read(found: GuestsFindings) -> None:
    said = words.JUICE_CAUTION
    assert said in words.cautions(found.board)
    assert said in pages(found)["index.html"].replace("&#39;", "’")
    assert "pasteurised" in text_of(guests_pdf(found, "board", None))
    dry = answer(replace(EVERY, dishes=EVERY.dishes[:2]))
    assert said not in words.cautions(dry.board)


def test_a_closed_kitchen_serves_nothing_and_the_cards_say_where_it_lies() -> None:
    lies = cultivar("Wealthy", hand=HAND)
    shut = answer(asked(lies, replace(lies, name="Freedom", ripe=(280.0, 290.0)), dishes=(), closed=True))
    assert not shut.board.raw
    assert [card.season.state for card in shut.cards] == [InSeason.PICKED, InSeason.KEPT]
    assert words.season_words(shut.cards[1].season).startswith("In the cellar, good to eat to")
    assert "On the table now" not in json.dumps(pages(shut))


def test_what_a_card_says_of_the_kitchen_stands_on_the_board() -> None:
    old = (Hand("2034-09-01", 0.0, 3.0, 0.0),)
    grown = [cultivar(name, hand=old) for name in ("Freedom", "Smokehouse", "Wealthy")]
    grown[0] = replace(grown[0], ripe=(280.0, 290.0))
    shown = answer(asked(*grown, recorded=False, dishes=(DishNow(Use.PIE, "", ("Wealthy",)),)))
    assert shown.board.dishes[0].fruit == ("Wealthy",)
    assert [card.season.state for card in shown.cards] == [
        InSeason.PICKED, InSeason.KEPT_TO_COOK, InSeason.COOK,
    ]  # fmt: skip
    bare = replace(grown[1], uses=(Use.PIE,), hand=HAND)
    assert answer(asked(bare, recorded=False, dishes=())).board.raw == ()


def test_an_empty_board_says_so() -> None:
    bare = answer(asked(cultivar("Wealthy"), dishes=()))
    assert words.EMPTY in pages(bare)["index.html"]
    assert words.EMPTY.split(".")[0] in text_of(guests_pdf(bare, "board", "a5")).replace("\n", " ")
    assert words.CLOSED in pages(answer(asked(cultivar("Wealthy"), dishes=(), closed=True)))["index.html"]


def test_the_walk_goes_block_by_block_and_row_by_row(found: GuestsFindings) -> None:
    assert [(stop.row, stop.cultivar) for stop in found.walk] == [
        ("Meadow 9", "Kermerrien"),
        ("Lane 1", "GoldRush"),
    ]
    spring = answer(replace(EVERY, day="2034-04-18"))  # day 108
    assert {stop.seen for stop in spring.walk} == {SeenInRow.OPENS}
    rows = [stop.row for stop in spring.walk]
    assert rows == ["Meadow 2", "Meadow 2", "Meadow 9", "Meadow 9", "Meadow 10", "Lane 1"]


def test_where_nothing_is_to_be_seen_the_walk_says_what_comes_next() -> None:
    winter = answer(replace(EVERY, day="2034-01-20"))
    assert not winter.walk
    assert winter.next is not None
    assert winter.next.blooms
    assert "Nothing blooms" in pages(winter)["walk.html"]


def test_no_three_cards_side_by_side_sound_alike() -> None:
    names = sorted(CATALOGUE.cultivar)
    spoken = manners(names)
    assert all(len(set(spoken[at : at + 3])) == 3 for at in range(len(spoken) - 2))
    every = answer(asked(*(cultivar(name) for name in names)))
    told = [words.cook_words(card) for card in every.cards]
    shapes = [re.sub(r"\W+", " ", said).split()[:2] for said in told]
    assert sum(before == after for before, after in pairwise(shapes)) <= 1
    assert all(before != after for before, after in pairwise(told))


def test_no_card_has_the_kitchen_keep_fruit_for_the_kitchen_and_no_doubt_hangs_on_the_story() -> None:
    grown = [cultivar(name) for name in sorted(CATALOGUE.cultivar)]
    for card in answer(asked(*grown)).cards:
        for manner in range(5):
            said = words.cook_words(replace(card, manner=manner))
            assert not re.search(r"The (kitchen|cook) (keeps|takes) it for [^.]*(kitchen|keeping)", said), (
                said
            )
        assert not [doubt for doubt in card.doubts if doubt.says.startswith(("So ", "Which ", "Ours "))]


def test_what_nobody_has_read_is_never_told_as_certain() -> None:
    every = answer(asked(*(cultivar(name) for name in sorted(CATALOGUE.cultivar))))
    for card in every.cards:
        for fact in card.facts:
            said = words.fact_words(fact, card.manner)
            assert fact.read or said.startswith(words.HEARSAY), said
            assert fact.says == said or not fact.read
        if not any(fact.read for fact in card.facts):
            assert words.UNKNOWN_RAISER in words.unknown_words(card)
        if card.origin is not None and not card.origin_read:
            assert words.home(card).endswith("we believe")
        cook = card.cook
        if cook is not None and cook.flavour and not cook.flavour_read:
            assert "hearsay" in words.cook_words(card) or "repute" in words.cook_words(card)
    unknown = next(card for card in every.cards if card.name == "Braeburn")
    assert "1952" not in words.age(unknown) or words.age(unknown).startswith("perhaps")
    assert "MEMORY" not in json.dumps(pages(every))


def test_a_code_stands_only_where_the_plan_states_an_address(found: GuestsFindings) -> None:
    from topwire.book.guest_cards import guest_data

    assert not any(card["code"] for card in guest_data(found, "cards", None)["cards"])  # type: ignore[attr-defined]
    assert [notice.code for notice in found.notices if notice.code == "guests.no_address"]
    online = answer(replace(EVERY, web_address="https://www.example.org/apples"))
    data = guest_data(online, "cards", "a5")
    assert all("<svg" in card["code"] for card in data["cards"])  # type: ignore[attr-defined]
    assert not [notice for notice in online.notices if notice.code == "guests.no_address"]


@pytest.mark.parametrize("size", SIZES)
def test_each_size_is_its_paper_and_every_card_has_a_page(found: GuestsFindings, size: str) -> None:
    read = PdfReader(BytesIO(guests_pdf(found, "cards", size)))
    width, height = (float(side) / 72 * 25.4 for side in read.pages[0].mediabox[2:])
    assert (width, height) == pytest.approx(SIZES[size][:2], abs=0.1)
    assert len(read.pages) == len(found.cards)
    assert "true to its name?" in read.pages[0].extract_text().lower().replace("\n", " ")


def test_pages_lead_only_to_one_another_and_escape_names(found: GuestsFindings) -> None:
    made = pages(found)
    for name, text in made.items():
        if not name.endswith(".html"):
            continue
        assert "<script" not in text
        assert "<Orchard>" not in text
        assert "Inn &amp; &lt;Orchard&gt;" in text
        for target in re.findall(r'(?:href|src)="([^"#]+)"', text):
            place = (Path(name).parent / target).as_posix()
            assert place.replace("apples/../", "") in made, (name, target)
    assert "apples/darcy-spice.html" in made
    assert not re.search(r"https?:|url\(|@import", made["style.css"])


def test_page_names_are_plain_and_differ() -> None:
    names = [page_name(name) for name in CATALOGUE.cultivar]
    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[a-z0-9-]+", name) for name in names)


def test_writing_again_takes_away_old_pages_and_nothing_of_the_growers(
    found: GuestsFindings, tmp_path: Path
) -> None:
    into = tmp_path / "site"
    put(guest_files(found, ["pages"], None), into)
    (into / "apples" / "mine.html").write_text("mine")
    fewer = answer(replace(EVERY, cultivars=EVERY.cultivars[:2]))
    put(guest_files(fewer, ["pages"], None), into)
    assert not (into / "apples" / "darcy-spice.html").exists()
    assert (into / "apples" / "wealthy.html").exists()
    assert (into / "apples" / "mine.html").read_text() == "mine"
    other = tmp_path / "other"
    other.mkdir()
    (other / "index.html").write_text("somebody's own")
    with pytest.raises(Faults, match=r"index\.html"):
        put(guest_files(fewer, ["pages"], None), other)
    assert (other / "index.html").read_text() == "somebody's own"
    assert not (other / "style.css").exists()


def test_sheets_hold_cards_board_and_walk(found: GuestsFindings) -> None:
    assert [sheet.name for sheet in sheets(found)] == ["guests.board", "guests.walk", "guests.cards"]


def test_a_folder_that_is_not_planned_is_told(tmp_path: Path) -> None:
    ended = CliRunner().invoke(main, ["guests", str(tmp_path)])
    assert ended.exit_code == 2
    assert "plan.yaml" in ended.output


def text_of(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
