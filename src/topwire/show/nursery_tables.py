"""Tables of the Nursery department: what to graft, buy and order, and when."""

from collections import Counter

from topwire.engine.orchard import Orchard
from topwire.nursery.result import NurseryOrder
from topwire.show.reader import Reader, date_words, percent
from topwire.show.table import Cell, Table, figure
from topwire.units import Kind


def nursery_tables(orchard: Orchard) -> list[Table]:
    nursery = orchard.nursery
    if nursery is None:
        return []
    reader = Reader(orchard.origin.units)
    found = [grafts(nursery), stocks(nursery), outlook(nursery, reader)]
    if nursery.policies:
        found.append(policies(nursery, orchard.ledger.currency if orchard.ledger else ""))
    if nursery.topworking:
        found.append(topworking(nursery, reader))
    if nursery.dates:
        found.append(dates(nursery))
    return found


def grafts(nursery: NurseryOrder) -> Table:
    """A remark that many lines share stands once, under the table."""
    counted = Counter(line.reason for line in nursery.lines if line.reason)
    shared = {
        reason: f"see {number}"
        for number, reason in enumerate((r for r, n in counted.items() if n > 2), start=1)
    }
    return Table(
        "What to graft and what to buy",
        (
            "cultivar", "rootstock", "trees wanted", "grafts to make", "trees to buy", "chance of enough, %",
            "scion sticks", "stands in", "remark",
        ),
        tuple(
            (
                line.cultivar, line.rootstock, line.trees, line.grafts, line.bought_trees, percent(line.chance, 1),
                line.scion_sticks, line.stool_rows_note, shared.get(line.reason, line.reason),
            )
            for line in nursery.lines
        ),
        f"About {nursery.chain:.0%} of grafts end as good trees; with these numbers all cultivars together reach "
        f"theirs with a chance of {nursery.joint_chance:.0%}.",
        tuple(f"{said.removeprefix('see ')}: {reason}." for reason, said in shared.items()),
        (1.5, 0.8, 0.65, 0.65, 0.6, 0.75, 0.6, 1.4, 1.7),
    )  # fmt: skip


def stocks(nursery: NurseryOrder) -> Table:
    return Table(
        "Rootstocks to order",
        ("rootstock", "number", "remark"),
        tuple((line.rootstock, line.number, line.note) for line in nursery.stocks),
        widths=(1, 0.6, 2.4),
    )


def outlook(nursery: NurseryOrder, reader: Reader) -> Table:
    rows: list[tuple[Cell, ...]] = [(what, f"{share:.0%}") for what, share in nursery.chain_steps]
    if nursery.take_range is not None:
        low, high = nursery.take_range
        rows.append(("take, learnt from your own lots", f"{low:.0%} to {high:.0%}"))
    rows.append(("nursery ground", f"{reader.square(nursery.nursery_area):,.0f} {reader.ground}"))
    rows.append(("nursery rows together", reader.text(nursery.nursery_row_metres, Kind.LENGTH)))
    if nursery.bench_hours:
        rows.append(("grafting", f"{nursery.bench_hours:,.0f} hours"))
    if nursery.care_hours:
        rows.append(("lining out, weeding, lifting", f"{nursery.care_hours:,.0f} hours"))
    rows.append(("cost", f"{nursery.cost:,.0f}"))
    return Table(
        "The nursery in figures", ("what", "figure"), tuple(rows), nursery.spares_policy, widths=(1.4, 1)
    )


def policies(nursery: NurseryOrder, currency: str) -> Table:
    return Table(
        "Ways to be sure of the trees",
        (
            "way", "grafts", "spare stocks", "August buds", "chance for all, %", "late trees",
            f"cost, {currency}".rstrip(", "), "this plan",
        ),
        tuple(
            (
                line.name, line.grafts, line.spare_stocks, figure(line.august_buds), percent(line.joint_chance),
                figure(line.late_trees, 1), figure(line.cost), "yes" if line.chosen else "",
            )
            for line in nursery.policies
        ),
        nursery.spares_policy,
        widths=(2.2, 0.7, 0.7, 0.8, 0.8, 0.7, 0.7, 0.6),
    )  # fmt: skip


def topworking(nursery: NurseryOrder, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    return Table(
        "Standing trees: grafted over, or pulled out and planted anew",
        (
            "cultivar now", "rootstock", "trees", "scions", "hours", "chance a tree takes, %",
            f"crop lost in ten years, grafted over, {mass} a tree", f"planted anew, {mass} a tree",
        ),
        tuple(
            (
                line.cultivar, line.rootstock, line.trees, line.scions, figure(line.hours),
                percent(line.chance_per_tree),
                reader.figure(line.crop_lost, Kind.MASS), reader.figure(line.crop_lost_replanted, Kind.MASS),
            )
            for line in nursery.topworking
        ),
        "Against a tree left alone.",
    )  # fmt: skip


def dates(nursery: NurseryOrder) -> Table:
    return Table(
        "The nursery's dates",
        ("from", "to", "what", "how"),
        tuple((date_words(line.day), date_words(line.until), line.what, line.how) for line in nursery.dates),
        widths=(0.9, 0.9, 1.4, 3),
    )
