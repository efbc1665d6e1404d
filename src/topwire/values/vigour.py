"""How strongly a tree grows by its scion and on ground that carried apples before: one rule for the whole house."""

from topwire.values.traits import Grade, ReplantTolerance

# The weak scion is fitted: Honeycrisp on nine stocks at ten sites comes to the trial's mean height after five seasons
# (ROOT-S1). A planning default of 0.75 and 1.25, which spacing once used, rested on nothing that was weighed.
SCION_VIGOUR = {Grade.LOW: 0.70, Grade.MEDIUM: 1.0, Grade.HIGH: 1.2}
# Share of its vigour a stock keeps (proposal; that stocks differ so is ROOT-S1's direction, the sizes are ours).
REPLANT_VIGOUR = {
    ReplantTolerance.TOLERANT: 1.0,
    ReplantTolerance.PARTLY_TOLERANT: 0.9,
    ReplantTolerance.SUSCEPTIBLE: 0.7,
}


def scion_grade(vigour: Grade | None, ploidy: int | None) -> Grade:
    """Vigour of a scion; a triploid is strong, one of which nothing is known medium."""
    return Grade.HIGH if (ploidy or 2) >= 3 else vigour or Grade.MEDIUM


def replant_vigour(tolerance: ReplantTolerance | None, replanted: bool) -> float:
    """Share of its vigour a stock keeps on ground that carried apples; one nobody has tried counts as susceptible."""
    return REPLANT_VIGOUR[tolerance or ReplantTolerance.SUSCEPTIBLE] if replanted else 1.0
