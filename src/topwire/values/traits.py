"""Traits of cultivars and stocks, as the catalogue grades them."""

from enum import StrEnum


class Pollen(StrEnum):
    GOOD = "good"
    POOR = "poor"
    NONE = "none"


class Grade(StrEnum):
    """Low, medium or high: vigour of the scion, tendency to bear every other year, earliness of bearing."""

    LOW = "low"
    MEDIUM = "medium"
    HIGH = "high"


class Chill(StrEnum):
    LOW = "low"
    MEDIUM = "medium"
    HIGH = "high"


class Susceptibility(StrEnum):
    VERY_RESISTANT = "very resistant"
    RESISTANT = "resistant"
    MODERATE = "moderate"
    SUSCEPTIBLE = "susceptible"
    VERY_SUSCEPTIBLE = "very susceptible"


class Right(StrEnum):
    """Whether a tree may be propagated at home. No legal advice: United States plant patents as far as known."""

    FREE = "free"
    LICENSED = "licensed"
    UNKNOWN = "unknown"


class UnionRisk(StrEnum):
    """Strength of the union of a stock under a cultivar; virus: the stock suffers from viruses the wood may carry."""

    STRONG = "strong"
    WATCH = "watch"
    WEAK = "weak"
    BREAK = "break"
    VIRUS = "virus"


class CultivarKind(StrEnum):
    DESSERT = "dessert"
    COOKING = "cooking"
    DUAL = "dual"
    CIDER = "cider"
    CRAB = "crab"


class ReplantTolerance(StrEnum):
    """How a stock stands ground that carried apples or pears before."""

    TOLERANT = "tolerant"
    PARTLY_TOLERANT = "partly tolerant"
    SUSCEPTIBLE = "susceptible"


class StockPrecocity(StrEnum):
    """How soon trees on a stock flower."""

    VERY_EARLY = "very early"
    EARLY = "early"
    MEDIUM = "medium"
    LATE_MEDIUM = "late-medium"
    LATE = "late"
