"""Sheets of what guests are shown: the cards, the board of a day, the walk through the rows."""

from topwire.guests.findings import CultivarCard, GuestsFindings, WalkStop
from topwire.show.sheet import Column, LinkKind, Sheet, sheet_of, table
from topwire.tell import guests as told
from topwire.tell.reader import listed
from topwire.values.quantities import Plain


def sheets(found: GuestsFindings) -> list[Sheet]:
    """Every sheet that has a line."""
    return [sheet for sheet in (board(found), walk(found), cards(found)) if sheet.rows]


def cards(found: GuestsFindings) -> Sheet:
    return sheet_of(
        "guests.cards",
        "A card for each cultivar",
        (
            Column("cultivar", "cultivar", of="name", width=2, leads=LinkKind.CULTIVAR),
            Column("home", "comes from", of=told.home, width=2, links=table("cultivar_stories")),
            Column("age", "age", of=told.age),
            Column("season", "in season now", of=lambda card: told.season_words(card.season), width=2),
            Column("cook", "for the kitchen", of=told.cook_words, width=4, links=table("cultivar_kitchen")),
            Column("facts", "known from sources", of=_read),
            Column("doubts", "true to its name?", of=lambda card: listed([one.says for one in card.doubts]) or None,
                   width=2, links=table("cultivar_doubts")),
            Column("rows", "rows", of=lambda card: told.row_words(card.rows), width=2),
        ),
        found.cards,
    )  # fmt: skip


def _read(card: CultivarCard) -> int:
    return sum(fact.read for fact in card.facts)


def board(found: GuestsFindings) -> Sheet:
    of_day = found.board
    lines = [("to eat as they are", of_day.raw)] if of_day.raw else []
    lines += [(told.dish_words(dish.use, dish.dish), dish.fruit) for dish in of_day.dishes]
    lines += [("ripe on the trees", of_day.picked)] if of_day.picked else []
    lines += [("in bloom", of_day.blooms)] if of_day.blooms else []
    return sheet_of(
        "guests.board",
        "What is on the table",
        (
            Column("what", "what", of=lambda line: line[0], width=2),
            Column("fruit", "of", of=lambda line: listed(line[1]) or None, width=4),
        ),
        lines,
        "By the cellar and the picks written down."
        if found.recorded
        else "By the plan: no pick is written down.",
    )


def walk(found: GuestsFindings) -> Sheet:
    return sheet_of(
        "guests.walk",
        "A walk through the rows",
        (
            Column("row", "row", of=_place, width=2, leads=LinkKind.TREE),
            Column("trees", "trees"),
            Column("cultivar", "cultivar", width=2, leads=LinkKind.CULTIVAR),
            Column("seen", "this week", words=told.SEEN),
            Column("day", "middle day", Plain.DAY_OF_YEAR),
        ),
        found.walk,
        "Rows that bloom or are ripe this week, in walking order. The day is that of full bloom, of the first flower "
        "where it opens, or of the first pick.",
    )


def _place(stop: WalkStop) -> str:
    return told.place_words(stop.row, stop.first, stop.last)
