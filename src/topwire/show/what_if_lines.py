"""What if, in lines for a terminal: the changed choice beside the plan's own."""

from topwire.engine.what_if import Compared
from topwire.tell.reader import Reader, counted
from topwire.values.units import Kind


def lines_of(found: Compared, reader: Reader) -> list[str]:
    """What changes, what it costs, and how sure that is."""
    ours, theirs = found.ours, found.theirs
    old, new = {line.name: line.trees for line in ours.chosen}, theirs.trees
    lines = [
        f"{'':28}{'the plan':>14}{'what if':>14}",
        f"{'trees':28}{ours.trees:>14,}{sum(new.values()):>14,}",
        f"{'cultivars':28}{len(old):>14}{len(new):>14}",
    ]
    for says, value in (
        ("missing a year, weighted", (ours.shortfall, theirs.shortfall)),
        ("waste a year", (float(ours.waste.mean()), theirs.waste)),
    ):
        lines.append(f"{says:28}" + "".join(f"{reader.text(mass, Kind.MASS):>14}" for mass in value))
    for says, names in (("comes in", new.keys() - old.keys()), ("goes out", old.keys() - new.keys())):
        lines += [f"{says}: {name}, {counted(new.get(name) or old[name], 'tree')}" for name in sorted(names)]
    lines += [
        f"changes: {name}, {old[name]} to {counted(new[name], 'tree')}"
        for name in sorted(old.keys() & new.keys())
        if old[name] != new[name]
    ]
    lines.append(
        f"Each is within {ours.gap:.2%} and {theirs.gap:.2%} of the best possible; smaller differences mean nothing."
    )
    return lines
