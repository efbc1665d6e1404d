"""Tables of the Choice department: who was chosen and why, service by need, near misses, how sure we are."""

from topwire.choice.result import Batches, Choice, NearMiss, NeedLine, Proof
from topwire.engine.orchard import Orchard
from topwire.show.reader import Reader, percent
from topwire.show.table import UNKNOWN, Cell, Table, figure
from topwire.values.calendar import WEEKS, week_label
from topwire.values.estimate import estimate
from topwire.values.units import Kind

DONORS_NAMED = 4


def tables(orchard: Orchard) -> list[Table]:
    choice = orchard.choice
    if choice is None:
        return []
    reader = Reader(orchard.origin.units)
    found = [chosen(choice, reader), reasons(choice, reader), service(choice, reader)]
    if choice.young:
        found.append(young(choice, reader))
    if choice.batches is not None:
        found.append(batches(choice.batches, reader))
    if choice.standing:
        found.append(standing(choice, reader))
    if choice.near_misses:
        found.append(near_misses(choice, reader))
    if choice.alternatives:
        found.append(alternatives(choice, reader))
    if choice.worth:
        found.append(worth(choice, reader))
    if choice.proof is not None:
        found.append(proof(choice.proof, reader))
    return found


def basis(choice: Choice) -> str:
    years, harder = len(choice.years), len(choice.harder_springs)
    more = f" and {harder} of their springs with harder frost" if harder else ""
    return (
        f"Solved over {years} weather years together{more}; at most {choice.gap:.2%} from the best possible."
    )


def chosen(choice: Choice, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    rows = []
    for line, tree in zip(choice.chosen, choice.yield_per_tree, strict=True):
        uses = ", ".join(use for use, kg in sorted(line.uses.items(), key=lambda item: -item[1]) if kg > 0.5)
        first, last = line.harvest_weeks
        rows.append(
            (
                line.name,
                line.trees,
                line.standing,
                line.rootstock,
                f"{week_label(first)} to {week_label(last)}" if last != first else week_label(first),
                reader.figure(float(tree), Kind.MASS),
                uses or UNKNOWN,
                "graft" if line.own_graft else "buy",
            )
        )
    return Table(
        "The cultivars",
        (
            "cultivar", "trees", "of these standing", "rootstock", "picked in the weeks from",
            f"full crop of a tree, {mass}", "goes to", "how to get it",
        ),
        tuple(rows),
        basis(choice),
        (f"{choice.trees:,} trees of {len(choice.chosen)} cultivars.",),
        (1.8, 0.6, 0.8, 0.9, 1.3, 0.9, 1.9, 0.9),
    )  # fmt: skip


def reasons(choice: Choice, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    known = any(line.loss_without is not None for line in choice.chosen)
    rows: list[tuple[Cell, ...]] = []
    for line in choice.chosen:
        cells: list[Cell] = [line.name, "; ".join(line.reasons) or UNKNOWN, _donors(line.donors)]
        if known:
            cells.append(reader.figure(line.loss_without, Kind.MASS))
        rows.append(tuple(cells))
    columns = ["cultivar", "why it is here", "pollen comes from"]
    if known:
        columns.append(f"lost without it, weighted {mass} a year")
    return Table(
        "Why these", tuple(columns), tuple(rows), basis(choice), widths=(1, 2.2, 1.8, 0.7)[: len(columns)]
    )


def _donors(names: tuple[str, ...]) -> str:
    """The first few by name, the others counted."""
    if not names:
        return UNKNOWN
    more = len(names) - DONORS_NAMED
    return ", ".join(names[:DONORS_NAMED]) + (f" and {more} more" if more > 0 else "")


def service(choice: Choice, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    rows = []
    for need in choice.needs:
        wanted = float(need.wanted.sum())
        got = estimate(need.served.sum(axis=1))
        rows.append(
            (
                need.label,
                _weeks(need),
                figure(need.weight, 1),
                reader.figure(wanted, Kind.MASS),
                reader.figure(got.low if got else None, Kind.MASS),
                reader.figure(got.middle if got else None, Kind.MASS),
                reader.figure(got.high if got else None, Kind.MASS),
                percent(got.middle / wanted if got and wanted else None),
            )
        )
    waste = estimate(choice.waste)
    notes = [f"Fruit left over in the middle year: {reader.text(waste.middle, Kind.MASS)}."] if waste else []
    short = reader.text(choice.shortfall, Kind.MASS)
    none_could = reader.text(choice.unavoidable, Kind.MASS)
    notes.append(
        f"Short in the mean year, each need times its weight: {short}; {none_could} of it no planting here could serve."
    )
    return Table(
        "What the kitchen wants and what it gets in a year of full crop",
        (
            "need", "weeks from, to", "weight", f"wanted, {mass}", f"served, low year, {mass}", "middle", "high",
            "served, middle, %",
        ),
        tuple(rows),
        basis(choice),
        tuple(notes),
        (1.8, 1.4, 0.6, 0.9, 1, 0.9, 0.9, 0.8),
        charts=("service", "seasons", "board", "cellar",),
    )  # fmt: skip


def _weeks(need: NeedLine) -> str:
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


def young(choice: Choice, reader: Reader) -> Table:
    """How service grows from the first crop on."""
    return Table(
        "Until the trees are full grown, % of each need served",
        ("leaf", "harvest of", f"crop, {reader.unit(Kind.MASS)}", *(need.label for need in choice.needs)),
        tuple(
            (
                year.leaf,
                year.year,
                reader.figure(year.harvest, Kind.MASS),
                *(percent(share) for share in year.served),
            )
            for year in choice.young
        ),
        "Means over a good, a middling and a bad weather year.",
        widths=(0.6, 0.8, 0.9, *(1.0,) * len(choice.needs)),
    )


def batches(found: Batches, reader: Reader) -> Table:
    """Which trees go into which autumn."""
    rows = tuple(
        (
            batch.autumn,
            batch.total,
            batch.bought,
            ", ".join(f"{name} {count}" for name, count in batch.trees),
            ", ".join(batch.no_donor_yet) or UNKNOWN,
        )
        for batch in found.autumns
    )
    loses, gains = (reader.text(max(0.0, kg), Kind.MASS) for kg in (found.loses, found.gains))
    years = f"the {found.young_years} years until all are full grown"
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
    return Table(
        "Early and late planted batches" if found.planned else "If the trees were planted in two autumns",
        ("autumn", "trees", "of these bought", "which", "no pollen donor planted yet for"),
        rows,
        "Service by calendar year, the crop by leaf, in a good and a bad weather year.",
        tuple(notes),
        (0.6, 0.6, 0.7, 3.2, 1.6),
    )


def standing(choice: Choice, reader: Reader) -> Table:
    notes = [
        "The plan keeps all standing trees. The gain is net of the crops lost until a tree grafted over bears again, "
        "spread over the plan's horizon."
    ]
    if any(line.graft_over or line.take_out for line in choice.standing):
        notes.append(
            "To plan it so: in the list of standing trees (trees, standing) write the new cultivar and the year of "
            "grafting for trees grafted over, delete the lines of those taken out, and run the plan again."
        )
    return Table(
        "The trees that stand already",
        (
            "cultivar",
            "trees",
            "advice",
            "new trees beside",
            f"gains, weighted {reader.unit(Kind.MASS)} a year",
        ),
        tuple(
            (line.cultivar, line.standing, line.advice, line.add, reader.figure(line.saves, Kind.MASS))
            for line in choice.standing
        ),
        basis(choice),
        tuple(notes),
        (1.4, 0.6, 2.4, 0.8, 1),
    )


def near_misses(choice: Choice, reader: Reader) -> Table:
    """Cultivars kept out by the same reason at the same cost stand in one line."""
    groups: dict[tuple[str, str], list[NearMiss]] = {}
    for line in choice.near_misses:
        cost = str(reader.figure(line.cost_to_include, Kind.MASS))
        groups.setdefault((line.reason, cost), []).append(line)
    return Table(
        "Near misses: left out, and why",
        ("cultivar", "why not", f"each would cost, weighted {reader.unit(Kind.MASS)} a year"),
        tuple(
            (
                ", ".join(line.name for line in lines),
                reason,
                reader.figure(lines[0].cost_to_include, Kind.MASS),
            )
            for (reason, _), lines in groups.items()
        ),
        basis(choice),
        widths=(2, 2, 0.7),
    )


def alternatives(choice: Choice, reader: Reader) -> Table:
    return Table(
        "Plans nearly as good",
        ("would go", "would come", f"would cost, weighted {reader.unit(Kind.MASS)} a year"),
        tuple(
            (
                ", ".join(line.out) or UNKNOWN,
                ", ".join(line.come) or UNKNOWN,
                reader.figure(line.cost, Kind.MASS),
            )
            for line in choice.alternatives
        ),
        f"{basis(choice)} A cost within that means nothing: take the one you like better.",
        widths=(2, 2, 1),
    )


def worth(choice: Choice, reader: Reader) -> Table:
    return Table(
        "What a little more would bring",
        ("more of", f"gain, weighted {reader.unit(Kind.MASS)} a year"),
        tuple((line.what, reader.figure(line.gain, Kind.MASS)) for line in choice.worth),
        "The chosen cultivars kept, their numbers found anew.",
        widths=(2.6, 1),
    )


def proof(found: Proof, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    return Table(
        "How sure are we",
        (
            "plan",
            f"avoidably short in a held-out year, weighted {mass}",
            f"in the worst fifth of years, weighted {mass}",
        ),
        tuple(
            (rival.name, reader.figure(rival.shortfall, Kind.MASS), reader.figure(rival.worst_fifth, Kind.MASS))
            for rival in found.rivals
        ),
        f"Each plan was chosen on {len(found.chosen_on)} weather years and served in {len(found.served_in)} others it "
        "had not seen, and the other way round.",
        charts=("rivals",),
    )  # fmt: skip
