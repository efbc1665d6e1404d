"""Cards, board and walk for guests as data for their template."""

from topwire.book.sheets import code_svg
from topwire.guests.findings import CultivarCard, GuestsFindings
from topwire.tell import guests as words
from topwire.tell.reader import Reader, listed
from topwire.values.units import UnitSystem

# [mm] width, height; [pt] of the text, which a full page sets smaller, to 9 pt on the smallest.
SIZES = {
    "a4": (210.0, 297.0, 21.0),
    "a5": (148.0, 210.0, 16.0),
    "a6": (105.0, 148.0, 12.5),
    "letter": (215.9, 279.4, 21.0),
    "half-letter": (139.7, 215.9, 16.0),
    "quarter-letter": (107.95, 139.7, 12.5),
}
_USUAL = {  # of cards, and of board and walk, by the units of the plan
    UnitSystem.US: ("quarter-letter", "letter"),
    UnitSystem.METRIC: ("a6", "a4"),
}


def guest_data(found: GuestsFindings, part: str, size: str | None) -> dict[str, object]:
    """Everything that `part` (cards, board or walk) prints."""
    usual = _USUAL[found.units][part != "cards"]
    width, height, text = SIZES[size or usual]
    reader = Reader(found.units)
    return {
        "title": found.name,
        "part": part,
        "width": width,
        "height": height,
        "size": text,
        "day": reader.date(found.day),
        "cards": [_card(found, card) for card in found.cards] if part == "cards" else [],
        "board": _board(found) if part == "board" else None,
        "walk": _walk(found) if part == "walk" else [],
        "next": next_words(found),
        "mind": words.WALK_CAUTION,
        "code": _code(found, {"cards": "", "board": "index.html", "walk": "walk.html"}[part]),
    }


def _card(found: GuestsFindings, card: CultivarCard) -> dict[str, object]:
    return words.card_words(card) | {
        "name": card.name,
        "home": words.home(card),
        "age": words.age(card),
        "season": words.season_words(card.season),
        "code": _code(found, f"apples/{card.page}.html"),
    }


def _board(found: GuestsFindings) -> dict[str, object]:
    cards = {card.name: card for card in found.cards}
    board = found.board
    return {
        "raw": [[name, words.short_words(cards[name])] for name in board.raw],
        "dishes": [[words.dish_words(dish.use, dish.dish), listed(dish.fruit)] for dish in board.dishes],
        "picked": listed(board.picked),
        "blooms": listed(board.blooms),
        "closed": words.nothing_words(found),
        "cautions": words.cautions(board),
        "rests": words.rests_words(found.recorded),
    }


def _walk(found: GuestsFindings) -> list[dict[str, object]]:
    """Stops by row."""
    rows: dict[str, list[list[str]]] = {}
    for stop in found.walk:
        trees = words.place_words("", stop.first, stop.last).removeprefix(", ")
        rows.setdefault(stop.row, []).append([stop.cultivar, trees, words.seen_words(stop)])
    return [{"row": row, "stops": stops} for row, stops in rows.items()]


def next_words(found: GuestsFindings) -> str:
    return words.next_words(found.next) if not found.walk else ""


def _code(found: GuestsFindings, page: str) -> str:
    """The square code of a page; empty where the plan states no address."""
    return code_svg(f"{found.web_address}/{page}") if found.web_address and page else ""
