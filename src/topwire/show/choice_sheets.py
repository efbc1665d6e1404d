"""Sheets of the Choice department: who was chosen and why, service by need, near misses, how sure we are."""

from topwire.choice.findings import Batches, Choice, NearMiss, NeedLine, Proof, Rivalry
from topwire.show import blend_sheets, disease_sheets, scarce_sheets
from topwire.show.kitchen_weeks import kitchen_weeks
from topwire.show.sheet import Column, LinkKind, Sheet, StandsIn, Value, cultivar, setting, sheet_of, table
from topwire.tell.choice import MARK_CAUTION, RIVALS, advice, miss, need_label, no_better, reason, worst_years
from topwire.tell.reader import UNKNOWN, Reader, counted
from topwire.tell.scarce import more
from topwire.values.calendar import WEEKS, week_label
from topwire.values.estimate import estimate
from topwire.values.quantities import Plain
from topwire.values.terms import Risk
from topwire.values.units import Kind

DONORS_NAMED = 4
SEASON_ONLY = (
    "(season): known by its season only and reckoned with all of its weeks; calendar and map take the middle."
)
WEAK = 0.9  # share served below which a need's weakest week is told
_NEEDS = setting("kitchen.needs")


def sheets(choice: Choice, reader: Reader) -> list[Sheet]:
    found = [chosen(choice), reasons(choice), service(choice, reader), kitchen_weeks(choice, reader)]
    found += scarce_sheets.sheets(choice, reader)
    if any(need.portion for need in choice.needs):
        found.append(guests(choice))
    found += blend_sheets.sheets(choice)
    found += disease_sheets.sheets(choice, reader)
    if choice.batches is not None:
        found.append(batches(choice.batches, reader))
    if choice.standing:
        found.append(standing(choice))
    if choice.near_misses:
        found.append(near_misses(choice))
    if choice.alternatives:
        found.append(alternatives(choice))
    if choice.worth:
        found.append(worth(choice, reader))
    if choice.proof is not None and choice.proof.rivals:
        found.append(proof(choice.proof, choice.risk))
    return found


def basis(choice: Choice) -> str:
    years, harder = len(choice.years), len(choice.harder_springs)
    more_springs = f" and {harder} of their springs with harder frost" if harder else ""
    whole, avoidable = no_better(choice.gap), no_better(choice.gap_of_avoidable)
    changed = "" if whole == avoidable else f", and leaving aside what no planting could serve {avoidable}"
    return f"Solved over {years} weather years together{more_springs}; {whole}{changed}."


def chosen(choice: Choice) -> Sheet:
    marked = any(line.trade_marks for line in choice.chosen)
    by_season = {
        name
        for notice in choice.notices
        if notice.code == "choice.known_by_season"
        for name in notice.concerns
    }
    rows = []
    pairs = zip(choice.chosen, choice.yield_per_tree, strict=True)
    for line, tree in sorted(pairs, key=lambda pair: (pair[0].harvest_weeks, pair[0].name)):
        uses = ", ".join(use for use, kg in sorted(line.uses.items(), key=lambda item: -item[1]) if kg > 0.5)
        first, last = line.harvest_weeks
        weeks = f"{week_label(first)} to {week_label(last)}" if last != first else week_label(first)
        rows.append(
            (
                cultivar(line.name),
                line.trees,
                line.standing,
                line.rootstock,
                f"{weeks} (season)" if line.name in by_season else weeks,
                float(tree),
                uses or UNKNOWN,
                "graft" if line.own_graft else "buy",
                *([", ".join(line.trade_marks)] if marked else []),
            )
        )
    return Sheet(
        "choice.cultivars",
        "The cultivars",
        (
            Column("cultivar", "cultivar", width=1.8),
            Column("trees", "trees", width=0.6, links=setting("trees.total")),
            Column("standing", "of these standing", width=0.8, links=setting("trees.standing")),
            Column("rootstock", "rootstock", width=0.9, links=setting("trees.rootstock")),
            Column("picked", "picked in the weeks from", width=1.7),
            Column("full_crop", "full crop of a tree", Kind.MASS, width=0.9, links=table("crop_load")),
            Column("uses", "goes to", width=1.9, links=_NEEDS),
            Column("how", "how to get it", width=0.9),
            *([Column("trade_marks", "sold under the mark", width=1)] if marked else []),
        ),
        tuple(rows),
        basis(choice),
        (
            f"{counted(choice.trees, 'tree')} of {counted(len(choice.chosen), 'cultivar')}, in the order they ripen.",
            *([SEASON_ONLY] if by_season else []),
            *([MARK_CAUTION] if marked else []),
        ),
    )


def reasons(choice: Choice) -> Sheet:
    known = any(line.loss_without is not None for line in choice.chosen)
    after = any(line.loss_after is not None for line in choice.chosen)
    rows: list[tuple[Value, ...]] = [
        (
            cultivar(line.name),
            "; ".join(reason(one) for one in line.reasons) or UNKNOWN,
            _donors(line.donors),
            *([line.loss_without] if known else []),
            *([line.loss_after] if after else []),
        )
        for line in choice.chosen
    ]
    loss = Column("loss_without", "lost at least without it, weighted, a year", Kind.MASS, width=0.8)
    lost = setting("taste.most_lost")
    dead = Column(
        "loss_after", "lost with its planted trees, weighted, a year", Kind.MASS, width=0.8, links=lost
    )
    return Sheet(
        "choice.reasons",
        "Why these",
        (
            Column("cultivar", "cultivar", width=1),
            Column("reasons", "why it is here", width=2.2),
            Column("donors", "pollen comes from", width=1.8),
            *([loss] if known else []),
            *([dead] if after else []),
        ),
        tuple(rows),
        basis(choice),
        _losses_said(choice),
    )


def _losses_said(choice: Choice) -> tuple[str, ...]:
    """Whose loss would cost most, and what the plan says of it."""
    lines = [line for line in choice.chosen if line.loss_after is not None]
    if not lines or not choice.wanted:
        return ()
    worst = max(lines, key=lambda line: line.loss_after or 0.0)
    share = (worst.loss_after or 0.0) / choice.wanted
    limit = (
        "Write most_lost under taste to limit it."
        if choice.most_lost is None
        else f"The plan allows {choice.most_lost:.0%} beside the best plan without that limit."
    )
    return (
        f"Most would be lost with the trees of {worst.name}: {share:.1%} of all the kitchen wants, each need times its "
        f"weight, until others bear in their place. {limit}",
    )


def _donors(names: tuple[str, ...]) -> str:
    """The first few by name, the others counted."""
    if not names:
        return UNKNOWN
    more = len(names) - DONORS_NAMED
    return ", ".join(names[:DONORS_NAMED]) + (f" and {more} more" if more > 0 else "")


def service(choice: Choice, reader: Reader) -> Sheet:
    rows: list[tuple[Value, ...]] = []
    for need in choice.needs:
        wanted = float(need.wanted.sum())
        got = estimate(need.served.sum(axis=1))
        rows.append(
            (
                need_label(need, reader),
                made_and_eaten(need),
                need.weight,
                wanted,
                got.low if got else None,
                got.middle if got else None,
                got.high if got else None,
                need.share if wanted else None,
            )
        )
    waste = estimate(choice.waste)
    notes = [f"Fruit left over in the middle year: {reader.text(waste.middle, Kind.MASS)}."] if waste else []
    short = reader.text(choice.shortfall, Kind.MASS)
    none_could = reader.text(choice.unavoidable, Kind.MASS)
    notes.append(
        f"Short in the mean year, each need times its weight: {short}; {none_could} of it no planting here could serve."
    )
    for need in choice.needs:
        weakest = need.weakest
        if weakest is not None and weakest[1] < WEAK:
            week, mean, worst = weakest
            notes.append(
                f"Weakest for {need.use}: the week from {week_label(week)}, served {mean:.0%} in the mean year and "
                f"{worst:.0%} in its worst."
            )
    notes.append(
        f"In {worst_years(len(choice.years))} {choice.worst_fifth:.0%} of all that is wanted is served."
    )
    return Sheet(
        "choice.service",
        "What the kitchen wants and what it gets in a year of full crop",
        (
            Column("need", "need", width=1.8, links=_NEEDS),
            Column("weeks", "weeks from, to", width=1.4),
            Column("weight", "weight", Plain.RATIO, 1, width=0.6, links=_NEEDS),
            Column("wanted", "wanted", Kind.MASS, width=0.9),
            Column("low", "served, low year", Kind.MASS, width=1),
            Column("middle", "middle", Kind.MASS, width=0.9),
            Column("high", "high", Kind.MASS, width=0.9),
            Column("share", "served, mean year", Plain.SHARE, width=0.8),
        ),
        tuple(rows),
        basis(choice),
        tuple(notes),
        ("service", "seasons", "board", "cellar"),
    )


def guests(choice: Choice) -> Sheet:
    """Weekly needs both ways: in whole fruit, and in guests and portions."""
    return sheet_of(
        "choice.guests",
        "From guests to fruit, both ways",
        (
            Column("use", "use", width=0.8, links=_NEEDS),
            Column("amount", "whole fruit a week", Kind.MASS, width=1, links=_NEEDS),
            Column("dish", "as portions of", width=1.4, links=table("kitchen_dishes")),
            Column("portion", "whole fruit in a portion", Kind.MASS, (2, 2), width=1),
            Column("portions", "portions a week", Plain.COUNT, width=0.9),
            Column("guests", "guests a week, as the plan says", Plain.COUNT, width=1.1),
            Column("taken_by", "share of them that take it", Plain.SHARE, width=1),
        ),
        [need for need in choice.needs if need.portion and need.a_week],
        "Guests are seats times services a week times how full they are; portions have their source in the kitchen "
        "table. State a need in either way: dishes or amount.",
    )


def made_and_eaten(need: NeedLine) -> str:
    """Weeks it is wanted in; of a product with a period of use also those it is made in."""
    wanted = _first_and_last([index + 1 for index, kg in enumerate(need.wanted) if kg > 0])
    return f"{wanted}; made {_first_and_last(list(need.made))}" if need.made else wanted


def _first_and_last(weeks: list[int]) -> str:
    if not weeks:
        return UNKNOWN
    if len(weeks) == WEEKS:
        return "all year"
    # A season that runs over New Year starts after its widest pause.
    pauses = [
        (after - before, after) for before, after in zip([weeks[-1] - WEEKS, *weeks], weeks, strict=False)
    ]
    start = max(pauses)[1]
    end = max((week for week in weeks if week < start), default=weeks[-1])
    return f"{week_label(start)}, {week_label(end)}"


def batches(found: Batches, reader: Reader) -> Sheet:
    """Which trees go into which autumn."""
    loses, gains = (reader.text(max(0.0, kg), Kind.MASS) for kg in (found.loses, found.gains))
    years = f"the {counted(found.young_years, 'year')} until all are full grown"
    notes = [
        f"Beside planting all of them in the first autumn it loses {loses} over {years}; "
        f"beside an equal part of every cultivar in each autumn it gains {gains} (each need times its weight)."
    ]
    if not found.planned:
        notes.insert(0, "Planned is one autumn. This is how two would best be filled, to share out the work.")
    if any(batch.no_donor_yet for batch in found.autumns):
        notes.append(
            "Where no donor is planted yet, flowers stay without useful pollen until the next batch blooms: "
            "a tree hardly bears before, or hang cut blossom of a donor into the row."
        )
    autumns = setting("years.autumns", "years.trees_per_year")
    return sheet_of(
        "choice.batches",
        "Early and late planted batches" if found.planned else "If the trees were planted in two autumns",
        (
            Column("autumn", "autumn", Plain.YEAR, width=0.6, links=autumns),
            Column("trees", "trees", width=0.6, of="total"),
            Column("bought", "of these bought", width=0.7),
            Column(
                "which",
                "which",
                width=3.2,
                of=lambda batch: tuple(f"{name} {count}" for name, count in batch.trees),
            ),
            Column("no_donor", "no pollen donor planted yet for", width=1.6, of="no_donor_yet"),
        ),
        found.autumns,
        "Service by calendar year, the crop by leaf, in a good and a bad weather year.",
        tuple(notes),
    )


def standing(choice: Choice) -> Sheet:
    notes = [
        "The plan keeps all standing trees. The gain is net of the crops lost until a tree grafted over bears again, "
        "spread over the plan's horizon."
    ]
    if any(line.graft_over or line.take_out for line in choice.standing):
        notes.append(
            "To plan it so: in the list of standing trees (trees, standing) write the new cultivar and the year of "
            "grafting for trees grafted over, delete the lines of those taken out, and run the plan again."
        )
    return sheet_of(
        "choice.standing",
        "The trees that stand already",
        (
            Column(
                "cultivar", "cultivar", width=1.4, links=setting("trees.standing"), leads=LinkKind.CULTIVAR
            ),
            Column("trees", "trees", width=0.6, of="standing"),
            Column("advice", "advice", width=2.4, of=advice),
            Column("add", "new trees beside", width=0.8),
            Column("gains", "gains, weighted, a year", Kind.MASS, width=1, of="saves"),
        ),
        choice.standing,
        basis(choice),
        tuple(notes),
    )


def near_misses(choice: Choice) -> Sheet:
    """Cultivars kept out by the same reason at the same cost stand in one line."""
    groups: dict[tuple[str, int | None], list[NearMiss]] = {}
    for line in choice.near_misses:
        cost = None if line.cost_to_include is None else round(line.cost_to_include)
        groups.setdefault((miss(line), cost), []).append(line)
    return Sheet(
        "choice.near_misses",
        "Near misses: left out, and why",
        (
            Column("cultivar", "cultivar", width=2),
            Column("why", "why not", width=2),
            Column("cost", "each would cost, weighted, a year", Kind.MASS, width=0.7),
        ),
        tuple(
            (", ".join(line.name for line in lines), why, lines[0].cost_to_include)
            for (why, _), lines in groups.items()
        ),
        basis(choice),
    )


def alternatives(choice: Choice) -> Sheet:
    return sheet_of(
        "choice.alternatives",
        "Plans nearly as good",
        (
            Column("out", "would go", width=2, of=lambda line: ", ".join(line.out) or UNKNOWN),
            Column("come", "would come", width=2, of=lambda line: ", ".join(line.come) or UNKNOWN),
            Column("cost", "would cost, weighted, a year", Kind.MASS, width=1),
        ),
        choice.alternatives,
        f"{basis(choice)} A cost within that means nothing: take the one you like better.",
    )


def worth(choice: Choice, reader: Reader) -> Sheet:
    return sheet_of(
        "choice.worth",
        "What a little more would bring",
        (
            Column("more", "more of", width=2.6, of=lambda line: more(line, reader)),
            Column("gain", "gain, weighted, a year", Kind.MASS, width=1),
        ),
        choice.worth,
        "The chosen cultivars kept, their numbers found anew.",
    )


def _paid(found: Proof, risk: Risk) -> tuple[str, ...]:
    """Where ours is not the best in the mean, what it is better at instead."""
    by_way = {rival.way: rival for rival in found.rivals}
    ours = by_way[Rivalry.OURS]
    better = [
        rival
        for rival in found.rivals
        if rival.way not in (Rivalry.OURS, Rivalry.FORESIGHT) and rival.shortfall < ours.shortfall
    ]
    if not better or risk is Risk.EVEN:
        return ()
    best = min(better, key=lambda rival: rival.shortfall)
    what = "which is better" if best.worst_fifth > ours.worst_fifth else "which is no better here"
    return (
        f"In the mean of years “{RIVALS[best.way]}” leaves less missing; this plan pays in the mean for the worst "
        f"fifth of years, {what}. If the mean matters more to you, write risk: even under kitchen.",
    )


def proof(found: Proof, risk: Risk) -> Sheet:
    return Sheet(
        "choice.proof",
        "How sure are we",
        (
            Column("plan", "plan", width=2),
            Column("trees", "trees", Plain.COUNT, width=0.6),
            Column("short", "avoidably short in a year not seen, weighted", Kind.MASS, width=1),
            Column("least", "least of the splits", Kind.MASS, width=0.8),
            Column("most", "most", Kind.MASS, width=0.8),
            Column("worst", "short in the worst fifth of years, weighted", Kind.MASS, width=1),
            Column("measure", "mean, worst fifth, trees and waste together, weighted", Kind.MASS, width=1.1),
        ),
        tuple(
            (RIVALS[rival.way], rival.trees, rival.shortfall, *rival.spread, rival.worst_fifth, rival.measure)
            for rival in found.rivals
        ),
        f"Each plan was chosen on half of {found.years} weather years and served in the other half, which it had not "
        f"seen, and the other way round, for {found.splits} ways to halve them. All have as many trees as ours.",
        _paid(found, risk),
        charts=("rivals",),
        stands_in=StandsIn.SURENESS,
    )
