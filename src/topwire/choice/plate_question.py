"""What the plan and the catalogue say of plates and blends, as the Choice takes it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from topwire.catalogue.model import Catalogue, Cultivar
from topwire.choice.plate import Blend, Bound, ClassJuice, Juice, JuiceSide, PlateTest, juice_of
from topwire.plan.kitchen import BlendBounds, Cider, Need
from topwire.values.terms import Blended, CiderClass, CiderStyle, Pan, Tannin, Use

LOTS = {
    CiderClass.SWEET: Blended.SWEET_LOT,
    CiderClass.SHARP: Blended.SHARP_LOT,
    CiderClass.BITTERSWEET: Blended.BITTERSWEET_LOT,
    CiderClass.BITTERSHARP: Blended.BITTERSHARP_LOT,
}
STYLES = {
    CiderStyle.STILL_DRY: Blended.STILL_DRY,
    CiderStyle.BOTTLE_CONDITIONED: Blended.BOTTLE_CONDITIONED,
    CiderStyle.KEEVED_SWEET: Blended.KEEVED_SWEET,
    CiderStyle.HOUSE_BLEND: Blended.HOUSE_CIDER,
    CiderStyle.VINEGAR: Blended.VINEGAR,
}


@dataclass(frozen=True)
class BlendBound:
    """A row of blend_bounds.csv."""

    bound: str
    product: Blended
    of: JuiceSide
    low: float | None
    high: float | None
    source: str | None


@dataclass(frozen=True)
class PlateRow:
    """A row of plate_bounds.csv."""

    use: Use
    acid_low_g_l: float | None
    acid_high_g_l: float | None
    tannin_high_g_l: float | None
    pan: tuple[str, ...]


@dataclass(frozen=True)
class CookRow:
    """A row of cultivar_kitchen.csv."""

    cultivar: str
    pan: Pan | None


@dataclass(frozen=True)
class JuiceRow:
    """A row of juice_more.csv: pH of a cultivar's juice, and how its tannin tastes."""

    cultivar: str
    ph: float | None
    tannin: Tannin | None


@dataclass(frozen=True)
class PlateTable:
    """Juice by class and kind, and what each cultivar does in the pan."""

    classes: Mapping[str, ClassJuice]
    pan: Mapping[str, Pan]
    more: Mapping[str, "JuiceRow"]

    @classmethod
    def of(cls, catalogue: Catalogue) -> "PlateTable":
        """From the tables of the catalogue."""
        return cls(
            {row.of: row for row in catalogue.rows("juice_classes", ClassJuice)},
            {
                row.cultivar: row.pan
                for row in catalogue.rows("cultivar_kitchen", CookRow)
                if row.pan is not None
            },
            {row.cultivar: row for row in catalogue.rows("juice_more", JuiceRow)},
        )

    def juice(self, row: Cultivar) -> Juice:
        """Of a cultivar; what no one states is that of its cider class, or else of its kind."""
        group = str(row.cider_class or row.kind)
        more = self.more.get(row.name)
        return juice_of(
            group,
            self.classes,
            row.acid_g_l,
            row.tannin_g_l,
            row.brix,
            ph=more.ph if more else None,
            kind=more.tannin if more else None,
            for_cider=row.cider_class is not None,
        )


def blend_of(need: Need, catalogue: Catalogue) -> Blend | None:
    """What is mixed for a need; the plan's bounds go before the catalogue's. None where nothing is mixed."""
    product = _product(need)
    return None if product is None else _bounded(product, need.blend, catalogue)


def blend_of_style(cider: Cider, catalogue: Catalogue) -> Blend:
    """The same of a style of cider."""
    return replace(_bounded(STYLES[cider.style], cider.blend, catalogue), aimed=True)


def _bounded(product: Blended, said: BlendBounds | str | None, catalogue: Catalogue) -> Blend:
    if said == "none":
        return Blend(product)
    bounds = {
        row.of: Bound(row.low, row.high, source=row.source or "")
        for row in catalogue.rows("blend_bounds", BlendBound)
        if row.product is product
    }
    if isinstance(said, BlendBounds):
        for side in JuiceSide:
            low, high = getattr(said, f"{side}_low", None), getattr(said, f"{side}_high")
            if low is not None or high is not None:
                before = bounds.get(side, Bound())
                bounds[side] = Bound(
                    before.low if low is None and _below(before.low, high) else low,
                    before.high if high is None and _below(low, before.high) else high,
                    own=True,
                )
    return Blend(product, bounds)


def _below(low: float | None, high: float | None) -> bool:
    """Whether the two can stand together: the plan's least above the catalogue's most puts that one aside."""
    return low is None or high is None or low < high


def _product(need: Need) -> Blended | None:
    if need.use is Use.JUICE:
        return Blended.SWEET_CIDER if need.blend == "sweet cider" else Blended.TABLE_JUICE
    if need.use is Use.CIDER:
        return Blended.HOUSE_CIDER if need.cider_class is None else LOTS[need.cider_class]
    return {Use.SAUCE: Blended.SAUCE, Use.BUTTER: Blended.BUTTER}.get(need.use)


def plate_test(need: Need, catalogue: Catalogue) -> PlateTest:
    """What a single cultivar has to be like for a need."""
    rows = {row.use: row for row in catalogue.rows("plate_bounds", PlateRow)}
    row = rows.get(need.use)
    usual = tuple(Pan(word) for word in row.pan) if row is not None else ()
    pan = usual if need.pan is None else () if need.pan == "any" else (Pan(need.pan),)
    if row is None:
        return PlateTest(pan=pan)
    return PlateTest(row.acid_low_g_l, row.acid_high_g_l, row.tannin_high_g_l, pan)
