"""Sheets of what the records teach beside dates: keeping, hours, crop."""

from collections.abc import Mapping, Sequence

from topwire.learning.figures import FigureLearnt, Taught
from topwire.show.sheet import Column, LinkKind, Sheet, sheet_of
from topwire.values.quantities import Plain

_TITLES: Mapping[Taught, str] = {
    Taught.KEEPING: "How long fruit keeps in your cellar",
    Taught.HOURS: "Hours a task takes you",
    Taught.YIELD: "What the whole orchard bears",
    Taught.GROWTH: "How thick trunks are, beside the forecast",
    Taught.CROP: "What a cultivar bears, beside the orchard",
}
# What a plan that follows the figure makes anew.
_MOVES: Mapping[Taught, str] = {
    Taught.KEEPING: "the weeks in which the choice counts on a cultivar",
    Taught.HOURS: "hours and money of the ledger",
    Taught.YIELD: "how many trees the choice plants, the crop by leaf, and what hangs on it",
}


def sheets(figures: Sequence[FigureLearnt], used: Sequence[Taught]) -> list[Sheet]:
    made = []
    for what, title in _TITLES.items():
        lines = [line for line in figures if line.what is what]
        if lines:
            moves = _MOVES.get(what)
            if moves is None:
                rests = "Told beside the plan, which has no such figure of a cultivar."
            elif what in used:
                rests = f"The plan follows it: {moves}."
            else:
                rests = f"The plan follows the catalogue. Used, it moves {moves}."
            made.append(sheet_of(f"learnt.{what}", title, _COLUMNS, lines, rests))
    return made


_COLUMNS = (
    Column("name", "of", width=2, leads=LinkKind.CULTIVAR),
    Column("unit", "unit"),
    Column("stated", "before", Plain.RATIO, 2),
    Column("now", "now", Plain.RATIO, 2),
    Column("low", "low", Plain.RATIO, 2),
    Column("high", "high", Plain.RATIO, 2),
    Column("seen", "seen"),
    Column("years", "years"),
    Column("missed_stated", "before missed by", Plain.SHARE, 0),
    Column("missed_learnt", "the years before missed by", Plain.SHARE, 0),
)
