"""What if, in sheets: a changed choice beside the plan's own."""

from dataclasses import dataclass
from itertools import zip_longest

from topwire.choice.findings import served_in_the_worst_fifth
from topwire.engine.what_if import Compared
from topwire.show.sheet import Column, LinkKind, Sheet, sheet_of
from topwire.tell.choice import both_near_the_best, need_label
from topwire.tell.reader import Reader
from topwire.values.notice import Measured
from topwire.values.quantities import Plain
from topwire.values.units import Kind


@dataclass(frozen=True)
class Beside:
    """One figure of the plan, and of the trial."""

    what: str
    plan: Measured | float | None
    trial: Measured | float | None


@dataclass(frozen=True)
class TreesBeside:
    """Trees of one cultivar in the plan and in the trial."""

    cultivar: str
    plan: int
    trial: int

    @property
    def change(self) -> str:
        if not self.plan:
            return "comes in"
        if not self.trial:
            return "goes out"
        return f"{self.trial - self.plan:+,}"


def sheets(found: Compared, reader: Reader) -> list[Sheet]:
    return [totals(found), needs(found, reader), cultivars(found)]


def totals(found: Compared) -> Sheet:
    """What it brings and costs as a whole."""
    ours, theirs = found.ours, found.theirs
    old = {line.name: line.trees for line in ours.chosen}
    worst = served_in_the_worst_fifth(theirs.needs)
    lines = [
        Beside("trees", ours.trees, sum(theirs.trees.values())),
        Beside("cultivars", len(old), len(theirs.trees)),
        Beside("missing a year, weighted", _mass(ours.shortfall), _mass(theirs.shortfall)),
        Beside("waste a year", _mass(float(ours.waste.mean())), _mass(theirs.waste)),
        Beside("served in the worst fifth of years", _share(ours.worst_fifth), _share(worst)),
    ]
    columns = (Column("what", "what"), Column("plan", "the plan"), Column("trial", "the trial"))
    return sheet_of(
        "what_if.totals", "What it brings and costs", columns, lines,
        f"{both_near_the_best(ours.gap, theirs.gap)} "
        "Trellis, water, hours and money follow when the trial is made the plan.",
    )  # fmt: skip


def needs(found: Compared, reader: Reader) -> Sheet:
    """How each need fares."""
    lines = [
        Beside(need_label(now or was, reader), was.share if was else None, now.share if now else None)
        for was, now in zip_longest(found.ours.needs, found.theirs.needs)
    ]
    columns = (
        Column("what", "need"),
        Column("plan", "served by the plan", Plain.SHARE),
        Column("trial", "served by the trial", Plain.SHARE),
    )
    return sheet_of("what_if.needs", "What each need gets in the mean year", columns, lines)


def cultivars(found: Compared) -> Sheet:
    """Who comes, who goes, whose number changes."""
    old, new = {line.name: line.trees for line in found.ours.chosen}, found.theirs.trees
    lines = [
        TreesBeside(name, old.get(name, 0), new.get(name, 0))
        for name in sorted({*old, *new})
        if old.get(name) != new.get(name)
    ]
    lines.sort(key=lambda line: (line.plan > 0, line.trial > 0, line.cultivar))
    columns = (
        Column("cultivar", "cultivar", leads=LinkKind.CULTIVAR),
        Column("plan", "trees in the plan"),
        Column("trial", "trees in the trial"),
        Column("change", "change"),
    )
    return sheet_of("what_if.cultivars", "Who comes and who goes", columns, lines)


def _mass(kilograms: float) -> Measured:
    return Measured(kilograms, Kind.MASS)


def _share(share: float) -> Measured:
    return Measured(share, Plain.SHARE)
