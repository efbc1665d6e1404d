"""What if, in lines for a terminal: the changed choice beside the plan's own."""

from itertools import zip_longest

from topwire.choice.findings import served_in_the_worst_fifth
from topwire.engine.what_if import Compared
from topwire.tell.choice import both_near_the_best, need_label
from topwire.tell.reader import UNKNOWN, Reader, counted
from topwire.tell.speech import all_told
from topwire.values.units import Kind

WIDE = 64  # signs of the first column: a need with its amount and dates


def lines_of(found: Compared, reader: Reader) -> list[str]:
    """What changes, what it costs, and how sure that is."""
    ours, theirs = found.ours, found.theirs
    old, new = {line.name: line.trees for line in ours.chosen}, theirs.trees
    lines = [
        f"{'':{WIDE}}{'the plan':>14}{'what if':>14}",
        f"{'trees':{WIDE}}{ours.trees:>14,}{sum(new.values()):>14,}",
        f"{'cultivars':{WIDE}}{len(old):>14}{len(new):>14}",
    ]
    for says, value in (
        ("missing a year, weighted", (ours.shortfall, theirs.shortfall)),
        ("waste a year", (float(ours.waste.mean()), theirs.waste)),
    ):
        lines.append(f"{says:{WIDE}}" + "".join(f"{reader.text(mass, Kind.MASS):>14}" for mass in value))
    lines += _served(found, reader)
    for says, names in (("comes in", new.keys() - old.keys()), ("goes out", old.keys() - new.keys())):
        lines += [f"{says}: {name}, {counted(new.get(name) or old[name], 'tree')}" for name in sorted(names)]
    lines += [
        f"changes: {name}, {old[name]} to {counted(new[name], 'tree')}"
        for name in sorted(old.keys() & new.keys())
        if old[name] != new[name]
    ]
    told = [f"{notice.severity}: {notice}" for notice in all_told(theirs.warnings, reader)]
    return [*lines, both_near_the_best(ours.gap, theirs.gap), *told]


def _served(found: Compared, reader: Reader) -> list[str]:
    """Share of each need that is served in the mean year, and of all together in the worst fifth of years."""
    rows = [
        (f"served: {need_label(now or was, reader)}", was and was.share, now and now.share)
        for was, now in zip_longest(found.ours.needs, found.theirs.needs)
    ]
    worst = served_in_the_worst_fifth(found.theirs.needs)
    rows.append(("served in the worst fifth of years", found.ours.worst_fifth, worst))
    return [
        f"{says:{WIDE}}" + "".join(f"{UNKNOWN if share is None else f'{share:.0%}':>14}" for share in both)
        for says, *both in rows
    ]
