"""Sheets of what the records teach beside dates: keeping, hours, crop."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from statistics import fmean

from topwire.learning.figures import FigureLearnt, NoteLeftOut, Taught
from topwire.show.sheet import Column, LinkKind, Sheet, sheet_of
from topwire.values.quantities import Plain

_TITLES: Mapping[Taught, str] = {
    Taught.KEEPING: "How long fruit keeps in your cellar",
    Taught.HOURS: "Hours a task takes you",
    Taught.YIELD: "What the whole orchard bears",
    Taught.GROWTH: "How thick trunks are, beside the forecast",
    Taught.WATER: "Hours you water, beside the plan's rule in that weather",
    Taught.FLOW: "What the meter says, beside the emitters",
    Taught.CROP: "What a cultivar bears, beside the orchard",
}
# What a plan that follows the figure makes anew.
_MOVES: Mapping[Taught, str] = {
    Taught.KEEPING: "the weeks in which the choice counts on a cultivar",
    Taught.HOURS: "hours and money of the ledger",
    Taught.YIELD: "how many trees the choice plants, the crop by leaf, and what hangs on it",
}
# What is told of a figure that the plan has not.
_BESIDE: Mapping[Taught, str] = {
    Taught.WATER: "Told beside the plan. Fewer hours than the rule's: the trees drew on the soil, or runs were not "
    "noted; more: water that sank. The week counts the hours you note.",
    Taught.FLOW: "Told beside the plan. Less than the emitters': look for clogging, a filter, pressure; more: a leak. "
    "Where a block has several zones, their mean.",
}


def sheets(
    figures: Sequence[FigureLearnt], used: Sequence[Taught], out: Sequence[NoteLeftOut]
) -> list[Sheet]:
    made = []
    for what, title in _TITLES.items():
        lines = [line for line in figures if line.what is what]
        if lines:
            moves = _MOVES.get(what)
            if moves is None:
                rests = _BESIDE.get(what, "Told beside the plan, which has no such figure of a cultivar.")
            elif what in used:
                rests = f"The plan follows it: {moves}."
            else:
                rests = f"The plan follows the catalogue. Used, it moves {moves}."
            made.append(sheet_of(f"learnt.{what}", title, _COLUMNS, lines, rests))
    return [*made, *(one for one in (scores(figures), beyond_belief(out)) if one.rows)]


def scores(figures: Sequence[FigureLearnt]) -> Sheet:
    """How the catalogue, and what was learnt by then, did in each year: means over all figures of one kind."""
    found: dict[tuple[Taught, int], list[tuple[float, float]]] = defaultdict(list)
    for line in figures:
        for one in line.scores:
            found[line.what, one.year].append((one.stated, one.learnt))
    order = list(_TITLES)
    return Sheet(
        "learnt.scores",
        "How the figures did, year by year",
        (
            Column("what", "what", width=3),
            Column("year", "year"),
            Column("figures", "figures"),
            Column("stated", "before missed by", Plain.SHARE, 0),
            Column("learnt", "the years before missed by", Plain.SHARE, 0),
        ),
        tuple(
            (_TITLES[what], str(year), len(missed), *map(fmean, zip(*missed, strict=True)))
            for (what, year), missed in sorted(
                found.items(), key=lambda one: (order.index(one[0][0]), one[0][1])
            )
        ),
        "Each year is foretold by the catalogue or the plan, and by what the years before it had taught.",
    )


def beyond_belief(left_out: Sequence[NoteLeftOut]) -> Sheet:
    """Notes that teach nothing, beside what they would have said."""
    return sheet_of(
        "learnt.left_out",
        "Left out, as beyond belief",
        (
            Column("day", "day"),
            Column("name", "of", width=2),
            Column("note", "which"),
            Column("said", "it would say", Plain.RATIO, 2),
            Column("stated", "before", Plain.RATIO, 2),
            Column("unit", "unit"),
        ),
        left_out,
        "More than twelve times what stood before, or less than a twelfth: taken for slips, they teach nothing. "
        "Put a wrong one right: topwire records FOLDER --undo ENTRY, and note it anew.",
    )


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
