"""Sheets of the Planting: who stands where, its pollen, its walk, and what it costs in hours a year."""

import numpy as np

from topwire.layout.findings import Gap, Ground, Layout
from topwire.layout.pollen import REACH
from topwire.show.sheet import (
    Column,
    Link,
    Linked,
    LinkKind,
    Sheet,
    StandsIn,
    Value,
    cultivar,
    setting,
    sheet_of,
)
from topwire.tell.layout import TERMS
from topwire.tell.reader import Reader, counted
from topwire.values.address import row_name
from topwire.values.quantities import Plain
from topwire.values.units import Kind

WORST = 5  # trees shown for their pollen


def sheets(ground: Ground, layout: Layout, reader: Reader) -> list[Sheet]:
    made = [planted(layout), pollen(ground, layout, reader), chances(layout)]
    if layout.mends:
        made.append(mends(layout))
    made.append(walk(layout))
    if layout.hours is not None:
        made.append(hours(layout))
    made.append(runs(layout))
    if layout.moved:
        made.append(moved(layout))
    return [*made, gaps(layout)] if layout.gaps else made


def planted(layout: Layout) -> Sheet:
    lines = []
    for index, name in enumerate(layout.cultivars):
        here = layout.cultivar == index
        if here.any():
            of_it = [run for run in layout.runs if run.cultivar == name]
            lines.append(
                (
                    cultivar(name),
                    layout.codes[index],
                    layout.rootstock[index] or None,
                    int(here.sum()),
                    int((here & layout.standing).sum()),
                    len(of_it),
                    ", ".join(dict.fromkeys(row_name(run.block, run.row) for run in of_it)),
                )
            )
    return Sheet(
        "layout.cultivars",
        "Where each cultivar stands",
        (
            Column("cultivar", "cultivar", width=1.5),
            Column("code", "code", width=0.5),
            Column("rootstock", "rootstock", width=0.8, links=setting("trees.rootstock")),
            Column("trees", "trees", width=0.6),
            Column("standing", "of these standing", width=0.8),
            Column("runs", "runs", width=0.5, links=setting("trees.shortest_run")),
            Column("rows", "rows", width=2.2),
        ),
        tuple(lines),
        f"{int((layout.cultivar >= 0).sum()):,} trees; {int((layout.cultivar < 0).sum())} places left empty.",
    )


def pollen(ground: Ground, layout: Layout, reader: Reader) -> Sheet:
    """The trees with least pollen, and the donors about them."""
    planted_ = np.flatnonzero(layout.cultivar >= 0)
    worst = planted_[np.argsort(layout.pollen[planted_], kind="stable")][:WORST]
    addresses = [str(ground.address(int(index))) for index in worst]
    tested = int(layout.known_donor[planted_].sum())
    notes = (
        "If bloom and alleles are as listed, every tree has enough in "
        + ("all" if layout.pollen_good_years >= 1 else f"at least {layout.pollen_good_years:.0%} of")
        + " weather years.",
        f"{tested:,} of {planted_.size:,} trees have a useful donor in reach where both are tested for their alleles.",
    )
    return Sheet(
        "layout.pollen",
        "The trees with the least useful pollen",
        (
            Column("tree", "tree"),
            Column("cultivar", "cultivar"),
            Column("pollen", "useful pollen, 1 = enough", Plain.RATIO, 2),
            Column("donors", "useful donor cultivars in reach"),
            Column("chance", "chance of enough", Plain.SHARE),
        ),
        tuple(
            (
                Linked(address, Link(LinkKind.TREE, address)),
                cultivar(layout.cultivars[layout.cultivar[index]]),
                float(layout.pollen[index]),
                int(layout.donors_in_reach[index]),
                float(layout.pollen_chance[index]),
            )
            for address, index in zip(addresses, worst, strict=True)
        ),
        f"Pollen in the worst weather year of ten; donors within {reader.text(REACH, Kind.LENGTH, 0)} that flower with "
        "the tree in nine of ten.",
        notes if planted_.size else (),
    )


def chances(layout: Layout) -> Sheet:
    """How sure the pollen is, by cultivar, the least sure first."""
    lines: list[tuple[float, tuple[Value, ...]]] = []
    for index, name in enumerate(layout.cultivars):
        here = layout.cultivar == index
        if here.any():
            chance = layout.pollen_chance[here]
            least, mean = float(chance.min()), float(chance.mean())
            tested = int((here & layout.known_donor).sum())
            spare = float((layout.pollen_without_best[here] >= 1.0).mean())
            bees = [float(value) for value in layout.bee_springs[index]] if layout.bee_springs.size else []
            line: tuple[Value, ...] = (
                cultivar(name),
                layout.codes[index],
                int(here.sum()),
                least,
                mean,
                spare,
                tested,
                *bees,
            )
            lines.append((least, line))
    bees_known = (
        (
            Column("bee_hours", "hours of bee weather in bloom, middle spring", Plain.HOURS, 0, width=1.0),
            Column("bee_hours_poor", "worst spring of ten", Plain.HOURS, 0, width=0.8),
            Column("flowers_found", "share of flowers found then", Plain.SHARE, width=0.8),
        )
        if layout.bee_springs.size
        else ()
    )
    return Sheet(
        "layout.chances",
        "How sure the pollen is",
        (
            Column("cultivar", "cultivar", width=1.6),
            Column("code", "code", width=0.5),
            Column("trees", "trees", width=0.6),
            Column("least", "chance of enough, worst tree", Plain.SHARE, width=1.1),
            Column("mean", "mean tree", Plain.SHARE, width=0.8),
            Column("spare", "trees with enough without their best donor", Plain.SHARE, width=1.1),
            Column("tested", "trees with a measured donor", width=0.9),
            *bees_known,
        ),
        tuple(line for _, line in sorted(lines, key=lambda found: found[0])),
        "Share of springs drawn: the weather year"
        + (", what bees could fly in it" if layout.bee_springs.size else "")
        + ", bloom within its error, untested alleles, donors that fail.",
    )


def mends(layout: Layout) -> Sheet:
    """Donors to bring beside the trees whose pollen is least sure, in the order in which they help."""
    return Sheet(
        "layout.mends",
        "Donors to bring",
        (
            Column("donor", "donor", width=1.3),
            Column("place", "place", width=1.3),
            Column("tree", "for the tree", width=1.3),
            Column("cultivar", "cultivar", width=1.3),
            Column("before", "chance of enough", Plain.SHARE, width=0.8),
            Column("after", "with this donor", Plain.SHARE, width=0.8),
            Column("after_all", "with all", Plain.SHARE, width=0.7),
        ),
        tuple(
            (
                cultivar(one.donor),
                str(one.place) if one.beside is None else f"{one.place} to {one.beside}",
                Linked(str(one.tree), Link(LinkKind.TREE, str(one.tree))),
                cultivar(one.cultivar),
                one.before,
                one.after,
                one.after_all,
            )
            for one in layout.mends
        ),
        "Each is the one that helps its tree most, of the cultivars planted and the catalogue's crabs. Between two "
        "trees it is kept as a slender pole with half a tree's bloom, or grafted as a strong branch into one of them.",
    )


def walk(layout: Layout) -> Sheet:
    walks = layout.walks
    searched = f"Best of {counted(layout.tried, 'change')} of plantings looked at." if layout.tried else ""
    return Sheet(
        "layout.walk",
        "The pickers' walk over a season",
        (Column("planting", "planting"), Column("walk", "walk", Kind.LENGTH, 0)),
        (
            ("this planting", walks.here),
            ("planted in catalogue order", walks.catalogue_order),
            ("whole runs in random order", walks.random_runs),
            ("the same trees in random order", walks.random_trees),
            ("no planting of them could walk less than", walks.least),
        ),
        "Every order of runs was tried." if layout.exact and layout.tried else searched,
    )


def hours(layout: Layout) -> Sheet:
    """What the planting was weighed by."""
    terms = layout.hours
    assert terms is not None
    return Sheet(
        "layout.hours",
        "What this planting costs a year, in hours of work",
        (Column("what", "what for", width=3), Column("hours", "hours a year", Plain.HOURS, 1, width=0.8)),
        (*((TERMS[name], float(value)) for name, value in vars(terms).items()), ("together", terms.total)),
        "Money counts as the hours its wage would pay; what no planting can avoid is left out, but for the walk.",
    )


def runs(layout: Layout) -> Sheet:
    return sheet_of(
        "layout.runs",
        "Runs of one cultivar",
        (
            Column("row", "row", of=lambda run: row_name(run.block, run.row)),
            Column("first", "first tree"),
            Column("last", "last tree"),
            Column("number", "number", of=lambda run: run.last - run.first + 1),
            Column("cultivar", "cultivar", leads=LinkKind.CULTIVAR),
        ),
        layout.runs,
        "Counted from the end each row names.",
        stands_in=StandsIn.SPREADSHEET,
    )


def gaps(layout: Layout) -> Sheet:
    return sheet_of(
        "layout.gaps",
        "Gaps between standing trees",
        (
            Column("first", "from", width=1, of=lambda gap: str(gap.first)),
            Column("last", "to tree", width=0.5),
            Column("wanted", "should stand there", width=1.2, of=lambda gap: gap.wanted or "any"),
            Column("planted", "will stand there", width=1.2, of=_filled),
        ),
        layout.gaps,
        "Gaps too short for a run of their own are for their neighbours' cultivar.",
    )


def _filled(gap: Gap) -> str:
    return " and ".join(gap.planted) if gap.planted else "nothing: none is among the trees to plant"


def moved(layout: Layout) -> Sheet:
    """The labels to change."""
    return sheet_of(
        "layout.moved",
        "Trees that stand elsewhere than in the last layout",
        (
            Column("first", "from", width=1, of=lambda move: str(move.first), leads=LinkKind.TREE),
            Column("last", "to tree", width=0.5),
            Column("trees", "places", width=0.5, of="places"),
            Column("was", "stood there", width=1.2, of=lambda move: move.was or "none"),
            Column(
                "now", "stands there", width=1.2, of=lambda move: cultivar(move.now) if move.now else "none"
            ),
        ),
        layout.moved,
        "Against the layout in out/ when this plan was made.",
    )
