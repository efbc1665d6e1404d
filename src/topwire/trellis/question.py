"""The Trellis' question: the only place of the room that sees the plan and the catalogue."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from difflib import get_close_matches
from typing import TypeVar

import numpy as np

from topwire.catalogue.model import Catalogue, parse_evidence
from topwire.catalogue.unions import UnionRow, union_of
from topwire.growth.findings import CropForecast
from topwire.layout.findings import Ground, Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.trees import PullTestSection
from topwire.trellis.asked import (
    AskedRow,
    EndWish,
    LeafYears,
    LeftOut,
    Rise,
    StandingFence,
    Storm,
    TrellisQuestion,
)
from topwire.trellis.demand import crop_of_row
from topwire.trellis.kinds import EndKind, Lack, WindForm
from topwire.trellis.materials import (
    AnchorRow,
    LateralSoilRow,
    PostRow,
    PriceOrigin,
    Stock,
    TrellisFittingRow,
    WireRow,
    WoodRow,
    anchor_of,
    post_of,
    wire_of,
)
from topwire.trellis.nets import net_of
from topwire.trellis.orography import RiseShape
from topwire.trellis.pull_test import PulledPost, PulledTrees, PullTest
from topwire.trellis.room_behind import room_behind
from topwire.trellis.search import GREATEST_DEPTH
from topwire.trellis.stamped_question import stamped_design
from topwire.trellis.storm import DEFAULT_GUST, GUST_OVER_MEAN
from topwire.trellis.wet_question import storm_seasons
from topwire.trellis.wind import WindExposure
from topwire.values.fault import Faults, FileNotice, fault
from topwire.values.mark import Mark
from topwire.values.notice import CannotAnswer, refusal
from topwire.values.price_index import IndexRow
from topwire.values.terms import Animal, EndAssembly, Exposure, FenceKind, Net
from topwire.values.traits import UnionRisk
from topwire.weather.record import Weather

Row = TypeVar("Row", PostRow, WireRow, AnchorRow)
Made = TypeVar("Made")

STRETCHES, STRETCH_LEAVES = (3, 3, 0), (2, 5, 10)  # years of each stretch, and the leaf that stands for it
USUAL_TRUNKS = (0.020, 0.042, 0.055)  # [m] where the years say nothing (estimate; measure five)
BLOOM_TO_HARVEST = 150.0  # [d] Golden Delicious, the cultivar that offsets count from
SHORTEST_HANGING = 30.0  # [d]
# A trellis outlives its first cultivars: it is built for the next step of crop, and a plan with a few other trees asks
# for the same.
BUILT_STEP, SHARE_STEP, TRUNK_STEP = 0.5, 0.1, 0.001  # [kg/m]; of crop and height; [m]
EXPOSURES = {
    Exposure.SHELTERED: WindExposure.B,
    Exposure.OPEN_COUNTRY: WindExposure.C,
    Exposure.OPEN_WATER: WindExposure.D,
}
END_KINDS = {
    EndAssembly.TIE_BACK: EndKind.TIE_BACK,
    EndAssembly.H_BRACE: EndKind.H_BRACE,
    EndAssembly.DIAGONAL: EndKind.DIAGONAL,
    EndAssembly.LONG_DIAGONAL: EndKind.DIAGONAL,
}


def question(
    plan: Plan,
    catalogue: Catalogue,
    ground: Ground,
    layout: Layout,
    crop: CropForecast,
    seasons: PlaceSeasons | None = None,
    weather: Weather | None = None,
) -> TrellisQuestion:
    """What every row with new trees asks of its trellis.

    With `weather` the chance of soaked ground by season is that of the place's rain. With `seasons` every cultivar's
    crop hangs until the harvest foreseen here, else until its catalogue's.

    Raises
    ------
    Faults
        When a post or wire named as at hand is not in the catalogue, or the soil has no row.
    CannotAnswer
        When no post, wire or anchor is left that can be designed with.
    """
    trellis = plan.trellis
    stock, left_out = read_stock(
        catalogue,
        market="us" if plan.money.currency == "USD" else "metric",
        texture=plan.place.soil.texture.value,
        posts_at_hand=trellis.posts,
        wires_at_hand=trellis.wires,
    )
    stamped, stock = stamped_design(trellis, catalogue, stock)
    spacing, by_cost = trellis.post_spacing, trellis.choose_by == "cost" or stamped is not None
    return TrellisQuestion(
        rows=_sharing_kits(_rows(plan, catalogue, ground, layout, crop, seasons), by_cost),
        ages=leaf_years(crop, plan.years.horizon),
        storm=storm_of(plan),
        stock=stock,
        left_out=left_out,
        wire_heights=tuple(trellis.wire_heights),
        low_wire=trellis.low_wire,
        wall_height=ground.wall_height,
        post_spacing=spacing if isinstance(spacing, float) else None,
        pretension=trellis.pretension,
        near=_end(plan, trellis.near_end, trellis.near_room),
        far=_end(plan, trellis.far_end, trellis.far_room),
        fence=StandingFence(
            trellis.fence_post,
            trellis.fence_post_spacing,
            trellis.fence_post_depth,
            tuple(block.name for block in plan.ground.blocks if block.fence.kind is FenceKind.WALL),
        ),
        crop_on_wires=trellis.crop_on_wires,
        by_cost=by_cost,
        return_period=trellis.return_period,
        life=float(plan.years.horizon),
        interest=plan.money.interest,
        soil_depth=plan.place.soil.depth,
        deepest=trellis.post_depth or GREATEST_DEPTH,
        pull_test=_pull_test(trellis.pull_test),
        stamped=stamped,
        year=storm_seasons(plan, catalogue, layout, seasons, weather),
        net=net_of(
            Net.BIRD if trellis.net is Net.NONE and Animal.BIRDS in plan.place.animals else trellis.net
        ),
        weak_unions=_weak_unions(catalogue, layout),
        budget_per_tree=trellis.budget_per_tree,
        frost_depth=plan.place.frost_depth,
        wage=plan.money.wage,
        currency=plan.money.currency,
        money_year=plan.money.year,
        index=catalogue.rows("price_index", IndexRow),
    )


def _pull_test(said: PullTestSection | None) -> PullTest | None:
    if said is None:
        return None
    post = trees = None
    if said.post_load is not None and said.post_depth is not None and said.post_diameter is not None:
        post = PulledPost(said.post_load, said.post_height, said.post_depth, said.post_diameter)
    if said.tree_load is not None and said.trunk is not None:
        trees = PulledTrees(said.tree_load, said.tree_height, said.trunk, said.trees)
    return PullTest(post, trees, said.ground == "soaked")


def leaf_years(crop: CropForecast, horizon: int) -> tuple[LeafYears, ...]:
    """The plan's years in three stretches, by the middle cultivar: young, filling its place, grown."""
    years, found = horizon, []
    widths = crop.trunk_width
    for number, (at_most, leaf) in enumerate(zip(STRETCHES, STRETCH_LEAVES, strict=True)):
        taken = years if number == len(STRETCHES) - 1 else min(at_most, years)
        years -= taken
        if taken <= 0 and number < len(STRETCHES) - 1:
            continue
        trunk = float(np.median(widths[:, leaf - 1])) if widths.size else USUAL_TRUNKS[number]
        mass, tall = crop.kg_per_tree[:, :, 1], crop.height[:, :, 1]
        full = float(np.median(mass[:, -1])) if mass.size else 0.0
        share = float(np.clip(np.median(mass[:, leaf - 1]) / full, 0, 1)) if full > 0 else 1.0
        height = float(np.clip(np.median(tall[:, leaf - 1] / tall[:, -1]), 0.3, 1.0)) if tall.size else 1.0
        trunk, share, height = (
            round(trunk / TRUNK_STEP) * TRUNK_STEP,
            _step_up(share, SHARE_STEP),
            _step_up(height, SHARE_STEP),
        )
        grown = number == len(STRETCHES) - 1
        found.append(
            LeafYears(
                max(taken, 1) if grown else taken, trunk, 1.0 if grown else share, 1.0 if grown else height
            )
        )
    return tuple(found)


def _weak_unions(catalogue: Catalogue, layout: Layout) -> tuple[str, ...]:
    """Stocks of new trees whose union is known to be weak or to break under a cultivar that stands on them."""
    rows = catalogue.rows("unions", UnionRow)
    planted = {int(who) for who in layout.cultivar[(layout.cultivar >= 0) & ~layout.standing]}
    weak = {
        layout.rootstock[who]
        for who in planted
        if union_of(layout.rootstock[who], layout.cultivars[who], rows).risk
        in (UnionRisk.WEAK, UnionRisk.BREAK)
    }
    return tuple(sorted(weak))


def storm_of(plan: Plan) -> Storm:
    """The wind as the plan states it; the usual gust of the inland United States where it states none."""
    place, trellis = plan.place, plan.trellis
    rise = None
    if trellis.hill is not None and trellis.hill_height is not None and trellis.hill_half_length is not None:
        shape = RiseShape(trellis.hill.value)
        rise = Rise(shape, trellis.hill_height, trellis.hill_half_length, trellis.crest_distance)
    if place.mean_wind is not None:
        form, gust = WindForm.MEAN, GUST_OVER_MEAN * place.mean_wind
    elif place.gust is not None:
        form, gust = WindForm.GUST, place.gust
    else:
        form, gust = WindForm.ASSUMED, DEFAULT_GUST
    return Storm(form, gust, place.mean_wind, EXPOSURES[place.exposure], place.elevation, rise)


def _end(plan: Plan, wish: EndAssembly | None, room: float | None) -> EndWish:
    """Kinds of end that may stand at one side: the wish, or all that its room leaves."""
    kind = wish or plan.trellis.end_assembly
    if kind is not EndAssembly.CHOOSE:
        return EndWish((END_KINDS[kind],), room)
    tight = room is not None and room < plan.trellis.wire_heights[-1]  # the anchor stands out as far as that
    return EndWish(tuple(one for one in EndKind if not (tight and one is EndKind.TIE_BACK)), room)


def _rows(
    plan: Plan,
    catalogue: Catalogue,
    ground: Ground,
    layout: Layout,
    crop: CropForecast,
    seasons: PlaceSeasons | None,
) -> list[AskedRow]:
    full = {
        name: float(kg)
        for name, kg in zip(crop.cultivars, crop.full_crop_kg_per_tree, strict=True)
        if np.isfinite(kg)
    }
    kg = np.array([full.get(name, 0.0) for name in layout.cultivars] or [0.0])
    ripe = np.array([hanging_days(name, catalogue, seasons) for name in layout.cultivars] or [0.0])
    found = []
    for number, block in enumerate(ground.blocks):
        for index, row in enumerate(block.rows):
            here = np.flatnonzero((ground.block == number) & (ground.row == index))
            here = here[np.argsort(ground.place[here])]
            who = layout.cultivar[here]
            new = (who >= 0) & ~layout.standing[here]
            if not new.any():
                continue
            planted = np.maximum(who, 0)
            found.append(
                AskedRow(
                    address=f"{block.name} {row.number}",
                    length=row.length,
                    first_tree=row.first_tree,
                    tree_spacing=row.tree_spacing,
                    row_spacing=block.row_spacing,
                    places=row.places,
                    new_trees=int(new.sum()),
                    outer=row.outer,
                    slope=block.slope,
                    behind=room_behind(ground, block, row, plan.trellis.wire_heights[-1]),
                    along_fence=block.along_fence,
                    crop=crop_of_row(np.where(who >= 0, kg[planted], 0.0), ripe[planted], row.tree_spacing),
                )
            )
    return found


def _sharing_kits(rows: Sequence[AskedRow], by_cost: bool) -> tuple[AskedRow, ...]:
    """Each with the crop it is built for; posts chosen by cost make one kit of the outer rows and one of the inner."""
    heaviest: dict[object, float] = {}
    kinds = [row.outer if by_cost and not row.along_fence else row.address for row in rows]
    for kind, row in zip(kinds, rows, strict=True):
        heaviest[kind] = max(heaviest.get(kind, 0.0), row.crop)
    return tuple(
        replace(row, crop=_step_up(heaviest[kind], BUILT_STEP)) for kind, row in zip(kinds, rows, strict=True)
    )


def _step_up(value: float, step: float) -> float:
    return round(float(np.ceil(value / step - 1e-9)) * step, 9)


def hanging_days(cultivar: str, catalogue: Catalogue, seasons: PlaceSeasons | None) -> float:
    """Days from full bloom to the first pick: middle weather year of this place, else the catalogue's offset."""
    if seasons is not None and cultivar in seasons.cultivars:
        at = seasons.cultivars.index(cultivar)
        days = seasons.harvest_first[:, at] - seasons.full_bloom[:, at]
        if np.isfinite(days).any():
            return max(float(np.nanmedian(days)), SHORTEST_HANGING)
    offset = getattr(catalogue.cultivar.get(cultivar), "harvest_offset_days", None) or 0.0
    return max(BLOOM_TO_HARVEST + offset, SHORTEST_HANGING)


def read_stock(
    catalogue: Catalogue,
    *,
    market: str,
    texture: str,
    posts_at_hand: Sequence[str] = (),
    wires_at_hand: Sequence[str] = (),
) -> tuple[Stock, tuple[LeftOut, ...]]:
    """The rows of `market`, or those named as at hand; and own or named rows that cannot be used.

    Raises
    ------
    Faults
        When a named post or wire is not in the catalogue, or there is no row for the soil.
    CannotAnswer
        When no usable row is left.
    """
    wood = {row.name: row for row in catalogue.rows("wood", WoodRow)}
    post_rows, wire_rows = catalogue.rows("posts", PostRow), catalogue.rows("wires", WireRow)
    faults = _unknown("trellis.posts", posts_at_hand, [row.name for row in post_rows])
    faults += _unknown("trellis.wires", wires_at_hand, [row.name for row in wire_rows])
    soil = {row.texture: row for row in catalogue.rows("soils_lateral", LateralSoilRow)}.get(texture)
    if soil is None:
        faults.append(fault("soils_lateral.csv", f"there is no row for “{texture}” soil.", "Add one."))
    if faults or soil is None:
        raise Faults(faults)
    anchor_rows = catalogue.rows("anchors", AnchorRow)
    fittings = {row.item: row for row in catalogue.rows("trellis_fittings", TrellisFittingRow)}
    yard = _Yard(catalogue, market)
    posts = yard.usable("posts", post_rows, posts_at_hand, lambda row, origin: post_of(row, wood, origin))
    wires = yard.usable("wires", wire_rows, wires_at_hand, wire_of)
    anchors = yard.usable("anchors", anchor_rows, (), lambda row, _: anchor_of(row))
    empty = [name for name, found in (("posts", posts), ("wires", wires), ("anchors", anchors)) if not found]
    if empty:
        raise CannotAnswer(
            refusal(
                "trellis.nothing_usable",
                setting=f"catalogue/{table}.csv",
                concerns=[out.name for out in yard.left_out if out.table == table],
                lacks=tuple(out.lack.value for out in yard.left_out if out.table == table),
            )
            for table in empty
        )
    origins = {row.name: _origin(row.evidence, yard.is_own("anchors", row.name)) for row in anchor_rows}
    origins |= {
        name: PriceOrigin(Mark.OWN)
        if yard.is_own("trellis_fittings", name)
        else _stated(row.mark, row.source)
        for name, row in fittings.items()
    }
    money = {row.currency for row in post_rows} | {row.currency for row in wire_rows}
    money |= {row.currency for row in anchor_rows} | {row.currency for row in fittings.values()}
    currencies = tuple(sorted(filter(None, money)))
    used = Stock(
        tuple(posts),
        tuple(wires),
        tuple(anchors),
        fittings,
        soil,
        origins,
        currencies,
    )
    return used, tuple(yard.left_out)


class _Yard:
    """Sorts rows into those that can be built with and those that the grower has to be told of."""

    def __init__(self, catalogue: Catalogue, market: str) -> None:
        self.tables, self.market = catalogue.tables, market
        self.left_out: list[LeftOut] = []

    def is_own(self, table: str, name: str) -> bool:
        row = self.tables[table].rows.get(name)
        return row is not None and row.own

    def usable(
        self,
        table: str,
        rows: Iterable[Row],
        at_hand: Sequence[str],
        make: Callable[[Row, PriceOrigin], Made | Lack],
    ) -> list[Made]:
        """Of the market, the grower's own, or named as at hand. Of own and named rows it is told why one cannot."""
        found: list[Made] = []
        for row in rows:
            named, ours = row.name in at_hand, self.is_own(table, row.name)
            if not (named if at_hand else row.market in (None, self.market) or ours):
                continue
            made = make(row, _origin(row.evidence, ours))
            if not isinstance(made, Lack):
                found.append(made)
            elif named or ours:
                self.left_out.append(LeftOut(table, row.name, made))
        return found


def _origin(evidence: str | None, own: bool) -> PriceOrigin:
    if own:
        return PriceOrigin(Mark.OWN)
    said = parse_evidence(evidence)
    price = said.get("price") or said.get("price_per_m")
    return (
        PriceOrigin() if price is None else PriceOrigin(price.mark, price.sources[0] if price.sources else "")
    )


def _stated(mark: str | None, source: str | None) -> PriceOrigin:
    return PriceOrigin(Mark(mark), source or "") if mark in set(Mark) else PriceOrigin()


def _unknown(where: str, named: Sequence[str], known: Sequence[str]) -> list[FileNotice]:
    found = []
    for name in named:
        if name not in known:
            near = get_close_matches(name, known, n=1, cutoff=0.3)
            remedy = f"Did you mean “{near[0]}”?" if near else "Add it to your own catalogue."
            found.append(fault(f"plan.yaml, {where}", f"the catalogue has no “{name}”.", remedy))
    return found
