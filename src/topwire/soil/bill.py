"""What is bought for the soil: tests, lime, fertiliser, seed."""

from collections.abc import Mapping, Sequence

from topwire.soil.covers import Cover, CoverWindow
from topwire.soil.findings import Given, WorkedIn
from topwire.values.bill import BillLine, SoldBy
from topwire.values.mark import Mark
from topwire.values.price import Price

LAB, LIME, DOLOMITE = "soil test", "ground lime", "dolomitic lime"
_GIVEN = {
    Given.PHOSPHATE: "phosphate fertiliser",
    Given.POTASH: "potash fertiliser",
    Given.BORON: "boron fertiliser",
    Given.GYPSUM: "gypsum",
}
_SHARE = {Given.PHOSPHATE: 0.46, Given.POTASH: 0.60, Given.BORON: 0.10, Given.GYPSUM: 1.0}  # of the product
_SEED = {
    Cover.SUDANGRASS: "sudangrass seed",
    Cover.MUSTARD: "mustard seed",
    Cover.ALLEY_GRASS: "alley grass seed",
}
PRICES_USED = (LAB, LIME, DOLOMITE, *_GIVEN.values(), *_SEED.values(), "nitrogen fertiliser")
_COMPOSITE = 8000.0  # [m2] at most of like ground in one sample (SOIL-SAMPLE)
_DEPTHS = 2
_ALLEY = 0.65  # of the blocks is sown to grass: the strips stay bare (proposal)


def bill_of(
    lime: float,
    dolomitic: bool,
    amounts: Sequence[WorkedIn],
    covers: Sequence[CoverWindow],
    nitrogen: float,
    area: float,
    prices: Mapping[str, Price],
) -> tuple[BillLine, ...]:
    """Every line with its price; amounts at the middle of their rules.

    Parameters
    ----------
    lime, nitrogen : float
        As spread; fertiliser of the first three leaves. [kg]
    area : float
        Of the blocks. [m2]
    """
    samples = _DEPTHS * max(1, -(-area // _COMPOSITE))
    lines = [(LAB, float(samples), SoldBy.PIECE)]
    if lime > 0:
        lines.append((DOLOMITE if dolomitic else LIME, lime, SoldBy.KILOGRAM))
    for amount in amounts:
        middle = (amount.least + amount.most) / 2 / _SHARE[amount.given]
        if middle > 0:
            lines.append((_GIVEN[amount.given], middle, SoldBy.KILOGRAM))
    for window in covers:
        if window.cover in _SEED:
            seed = (window.seed_least + window.seed_most) / 2 * area * sown_share(window.cover)
            lines.append((_SEED[window.cover], seed, SoldBy.KILOGRAM))
    if nitrogen > 0:
        lines.append(("nitrogen fertiliser", nitrogen, SoldBy.KILOGRAM))
    return tuple(
        BillLine(item, quantity, sold, prices[item].price, prices[item].source, _mark(prices[item]))
        for item, quantity, sold in lines
    )


def sown_share(cover: Cover) -> float:
    """Of the blocks, what a cover is sown on: the alleys' grass leaves the tree strips bare."""
    return _ALLEY if cover is Cover.ALLEY_GRASS else 1.0


def _mark(price: Price) -> Mark:
    return Mark(price.mark) if price.mark in tuple(Mark) else Mark.UNSAID
