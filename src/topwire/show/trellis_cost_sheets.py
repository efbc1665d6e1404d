"""Sheets of what the trellis costs: part by part, and beside what has been published of trellises."""

from topwire.show.sheet import Column, LinkKind, Sheet, StandsIn, sheet_of
from topwire.tell.ledger import per_area
from topwire.tell.reader import Reader
from topwire.tell.trellis_cost import COSTS, PUBLISHED
from topwire.tell.words import in_system
from topwire.trellis.cost_findings import BesidePublished
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.kinds import BY_AREA
from topwire.values.quantities import Plain


def parts(found: TrellisFindings, reader: Reader) -> Sheet:
    whole = sum(line.cost for line in found.parts)
    area = in_system("[a hectare|an acre]", reader)
    return sheet_of(
        "trellis.parts",
        "Where the trellis’s money goes",
        (
            Column("part", "part", width=2.4, words=COSTS),
            Column("cost", "cost", Plain.MONEY, width=0.9, unit=found.currency),
            Column("share", "of the whole", Plain.SHARE, width=0.8, of=lambda line: line.cost / whole),
            Column("area", area, Plain.MONEY, of=lambda line: per_area(line.cost / found.ground, reader)),
        ),
        found.parts,
        "Rows with posts of their own, work with goods; by the ground of the rows, their length times their spacing.",
    )


def published(found: TrellisFindings, reader: Reader) -> Sheet:
    def by(line: BesidePublished, value: float) -> float:
        return per_area(value, reader) if line.what in BY_AREA else value

    return sheet_of(
        "trellis.published",
        "The trellis beside published costs",
        (
            Column("what", "what", width=2.6, of=lambda line: in_system(PUBLISHED[line.what], reader)),
            Column("year", "year", Plain.YEAR, width=0.8),
            Column(
                "published", "published, at the plan’s prices", Plain.MONEY, 2, width=0.9, unit=found.currency,
                of=lambda line: by(line, line.published),
            ),
            Column("ours", "ours", Plain.MONEY, 2, width=0.9, of=lambda line: by(line, line.ours)),
            Column("source", "source", width=1, leads=LinkKind.SOURCE),
        ),
        found.published,
        "Ours with work and tools. A supplier’s page without a date is taken as of 2020; no university budget of a "
        "wooden apple trellis could be read.",
        stands_in=StandsIn.SURENESS,
    )  # fmt: skip
