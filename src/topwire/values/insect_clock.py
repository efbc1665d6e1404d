"""How an insect's warmth is counted, in the words of its table."""

from enum import StrEnum


class DayCurve(StrEnum):
    """How a day runs between its lowest and highest temperature; the double ways fall to the next day's lowest."""

    SINGLE_SINE = "single sine"
    DOUBLE_SINE = "double sine"
    SINGLE_TRIANGLE = "single triangle"
    DOUBLE_TRIANGLE = "double triangle"
    MEAN = "mean"  # of the two ends, nothing below the threshold
    CLIPPED_MEAN = "clipped mean"  # each end brought up to the threshold first


class CutOff(StrEnum):
    """What warmth above the upper threshold is worth."""

    NONE = "none"  # as much as any
    HORIZONTAL = "horizontal"  # nothing more than at the threshold
    INTERMEDIATE = "intermediate"  # it takes off again as much
    VERTICAL = "vertical"  # nothing at all while it lasts


class ClockStart(StrEnum):
    JANUARY = "1 January"
    FEBRUARY = "1 February"
    MARCH = "1 March"
    PETAL_FALL = "petal fall"
    FIRST_CATCH = "first catch"
