"""The files guests see: printed cards, board and walk, and plain pages that link only to one another."""

import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from topwire.book.guest_cards import next_words
from topwire.files.safely import write_safely
from topwire.guests.findings import CultivarCard, GuestsFindings
from topwire.tell import guests as words
from topwire.tell.reader import Reader, listed
from topwire.values.fault import Faults, fault

PARTS = ("cards", "board", "walk", "pages")
_LIST = (
    "guests.json"  # what we wrote, so that a page of a cultivar no longer grown goes and nothing else does
)
_SITE = "guest_site"


def guest_files(found: GuestsFindings, wanted: Sequence[str], size: str | None) -> dict[str, bytes]:
    """Content by name: `cards.pdf`, `board.pdf`, `walk.pdf` and the pages; all where `wanted` is empty."""
    from topwire.book.build import guests_pdf

    made: dict[str, bytes] = {}
    for part in wanted or PARTS:
        if part == "pages":
            made |= {name: text.encode() for name, text in pages(found).items()}
        elif part != "cards" or found.cards:
            made[f"{part}.pdf"] = guests_pdf(found, part, size)
    return made


def pages(found: GuestsFindings) -> dict[str, str]:
    """Every page by name; whatever a name or a story holds is escaped."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    site = Environment(
        loader=PackageLoader("topwire.export", _SITE),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
    )
    common = {"name": found.name, "day": Reader(found.units).date(found.day), "up": ""}
    cards = {card.name: card for card in found.cards}
    made = {
        "index.html": site.get_template("index.html").render(common, here="board", **_board(found, cards)),
        "apples.html": site.get_template("apples.html").render(
            common, here="apples", cards=[_line(card) for card in found.cards]
        ),
        "walk.html": site.get_template("walk.html").render(
            common, here="walk", rows=_rows(found, cards), next=next_words(found), mind=words.WALK_CAUTION
        ),
        "style.css": (Path(__file__).parent / _SITE / "style.css").read_text(encoding="utf-8"),
    }
    page = site.get_template("apple.html")
    for card in found.cards:
        made[_page(card)] = page.render(common | {"up": "../"}, here="", card=_apple(card))
    return made


def _page(card: CultivarCard) -> str:
    return f"apples/{card.page}.html"


def _linked(names: Iterable[str], cards: Mapping[str, CultivarCard]) -> list[dict[str, str]]:
    return [
        {"name": name, "page": _page(cards[name]), "says": words.short_words(cards[name])} for name in names
    ]


def _board(found: GuestsFindings, cards: Mapping[str, CultivarCard]) -> dict[str, object]:
    board = found.board
    trees = (("Ripe on the trees", board.picked), ("In bloom", board.blooms))
    return {
        "raw": _linked(board.raw, cards),
        "dishes": [
            {"name": words.dish_words(dish.use, dish.dish), "fruit": _linked(dish.fruit, cards)}
            for dish in board.dishes
        ],
        "trees": [{"title": title, "fruit": _linked(names, cards)} for title, names in trees if names],
        "closed": words.nothing_words(found),
        "cautions": words.cautions(board),
        "rests": words.rests_words(found.recorded),
    }


def _line(card: CultivarCard) -> dict[str, str]:
    return {
        "name": card.name,
        "page": _page(card),
        "home": words.home(card),
        "age": words.age(card),
        "season": words.season_words(card.season),
    }


def _rows(found: GuestsFindings, cards: Mapping[str, CultivarCard]) -> list[dict[str, object]]:
    rows: dict[str, list[dict[str, str]]] = {}
    for stop in found.walk:
        rows.setdefault(stop.row, []).append(
            {
                "name": stop.cultivar,
                "page": _page(cards[stop.cultivar]),
                "trees": words.place_words("", stop.first, stop.last).removeprefix(", "),
                "seen": words.seen_words(stop),
            }
        )
    return [{"row": row, "stops": stops} for row, stops in rows.items()]


def _apple(card: CultivarCard) -> dict[str, object]:
    keys = [key for fact in card.facts for key in fact.sources]
    keys += [key for doubt in card.doubts for key in doubt.sources]
    cited = [words.citation_words(key) for key in dict.fromkeys(keys)]
    return (
        _line(card)
        | words.card_words(card)
        | {"usual": words.usual_words(card.season), "other_names": listed(card.other_names), "sources": cited}
    )


def put(made: Mapping[str, bytes], folder: Path) -> list[Path]:
    """Write the files into `folder`; pages of an earlier run that are no longer made go.

    Raises
    ------
    Faults
        Where the folder holds a file of such a name that we did not write.
    """
    ours = _written(folder)
    strange = sorted(name for name in made if name not in ours and (folder / name).exists())
    if strange:
        raise Faults(
            [
                fault(
                    str(folder / strange[0]),
                    "was not written by topwire guests.",
                    "Name another folder with --to.",
                )
            ]
        )
    (folder / "apples").mkdir(parents=True, exist_ok=True)
    whole = "index.html" in made
    for name in ours - set(made) if whole else ():
        if name.startswith("apples/"):
            (folder / name).unlink(missing_ok=True)
    kept = {name for name in ours | set(made) if name in made or (folder / name).is_file()}
    write_safely(folder / _LIST, json.dumps(sorted(kept), indent=1).encode())
    for name, content in made.items():
        write_safely(folder / name, content)
    return [folder / name for name in made if "/" not in name]


def _written(folder: Path) -> set[str]:
    """Names of files an earlier run wrote here; only plain ones count, whoever edited the list."""
    try:
        names = json.loads((folder / _LIST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return set()
    found = {str(name) for name in names} if isinstance(names, list) else set()
    return {name for name in found if ".." not in name.split("/") and not name.startswith("/")}
