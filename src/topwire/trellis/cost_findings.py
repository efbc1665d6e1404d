"""What a trellis costs: for other storms, for a stated budget, part by part, and beside what has been published."""

from dataclasses import dataclass

from topwire.trellis.kinds import PartOfCost, PublishedCost
from topwire.trellis.row_findings import EndDetail, FailureGust
from topwire.values.quantities import Metres, MetresPerSecond, Money, Share


@dataclass(frozen=True)
class ChoiceLine:
    """The same orchard built for another storm: what it costs and brings."""

    return_period: int  # [years]
    gust: MetresPerSecond
    cost: Money | None  # materials and labour of all rows; None where the catalogue has nothing that stands
    chance_in_life: Share  # that such a storm comes within the plan's horizon
    chosen: bool


@dataclass(frozen=True)
class BudgetRow:
    """Rows alike as the stated budget would build them."""

    rows: tuple[str, ...]
    post: str
    depth: Metres
    spacing: Metres  # widest span
    wire: str
    end: EndDetail
    far_end: EndDetail | None


@dataclass(frozen=True)
class BudgetTrellis:
    """The safest trellis that the stated budget buys; the figures are None where it buys none.

    Attributes
    ----------
    budget : for all trees
    gust : that it stands in, all factors kept
    cost : its materials
    first : what gives first
    least : materials of the least trellis offered, or of this one; None where none can be built
    """

    budget: Money
    gust: MetresPerSecond | None
    cost: Money | None
    first: FailureGust | None
    rows: tuple[BudgetRow, ...]
    least: Money | None


@dataclass(frozen=True)
class CostPart:
    """Of all wired rows together."""

    part: PartOfCost
    cost: Money


@dataclass(frozen=True)
class BesidePublished:
    """A published cost with ours: of a square metre, a tree or an end.

    Attributes
    ----------
    year : of the money it was published in
    published : in the plan's money
    """

    what: PublishedCost
    year: int
    published: Money
    ours: Money
    source: str
