"""What a figure rests on."""

from enum import StrEnum


class Mark(StrEnum):
    """Whether a figure was seen in its source."""

    READ = "READ"  # seen in the source named
    MEMORY = "MEMORY"  # known, not seen in a source
    COMPUTED = "COMPUTED"  # worked out apart from this program, by a library or an independent solver
    PRACTICE = "common practice, no source"  # as the trade has it; nobody is quoted
    OWN = "own"  # the grower's
    UNSAID = "unsaid"
