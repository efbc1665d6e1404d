"""What the ground and the planting have to tell, as notices without words."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.layout import bearing as bearings
from topwire.layout import pollen as pollination
from topwire.layout import spacing as room
from topwire.layout.asked import GroundQuestion, LayoutQuestion
from topwire.layout.bees import CALM, GOOD_DAY, RECEPTIVE, WARM_ENOUGH
from topwire.layout.fence import SUNLESS, FenceRow
from topwire.layout.findings import Ground, GroundBlock, Move
from topwire.layout.frozen import Frozen
from topwire.layout.groups import worthwhile_groups
from topwire.layout.pitch import ABOVE_WIRE, LOWEST_LEAVES, wall_of
from topwire.layout.pollen_chance import DRAWS
from topwire.layout.search import FoundPlanting
from topwire.layout.setting import COLD_AIR, Cast, prices_of
from topwire.layout.stand import EMPTY
from topwire.layout.sureness import LIKELY, Sureness
from topwire.values.address import row_name
from topwire.values.notice import Measured, Notice, assumption, caution, remark, warning
from topwire.values.quantities import Plain
from topwire.values.terms import compass
from topwire.values.units import Kind

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

LONGEST_ROW = 150.0  # [m] longer ones want a cross alley: common practice, no source
NARROW_TURN = 6.0  # [m] of headland a narrow tractor with a sprayer turns in: common practice, no source
TOO_STRONG = 1.35  # room a pair wants against the room it has: a modelling choice, no source
WEAK_CHANCE = 0.5  # of enough pollen, below which it is a warning: a modelling choice, no source
FEW_FLOWERS = 0.5  # of a bloom found by bees in the worst spring of ten: a modelling choice, no source
TOO_LOW = 0.8  # height after five seasons against the top wire: a modelling choice, no source


def _length(metres: float) -> Measured:
    return Measured(metres, Kind.LENGTH)


# ---- the ground ------------------------------------------------------------------------------------------------------


def _fence_notices(asked: GroundQuestion, block: GroundBlock, row: FenceRow) -> list[Notice]:
    """What the side of a fence is worth, and where it is too dark, too low or warm."""
    raw, name, side = asked.block(block.name).fence, [block.name], row.near
    dark = side.season < SUNLESS
    found = [
        (warning if dark else assumption)(
            "ground.fence_side",
            setting="ground.blocks",
            concerns=name,
            side=compass(side.facing).value,
            light=side.season,
            spring=side.spring,
            autumn=side.autumn,
            hours=side.sun_hours,
            stated=raw.side is not None,
            dark=dark,
            through=row.far is not None,
        )
    ]
    if raw.height is not None and raw.height < asked.top_wire - 1e-6:
        found.append(
            warning(
                "ground.fence_low",
                setting="trellis.wire_heights",
                concerns=name,
                fence=_length(raw.height),
                wire=_length(asked.top_wire),
            )
        )
    return found


def block_notices(asked: GroundQuestion, block: GroundBlock, taken: bearings.Weighed) -> list[Notice]:
    """Alleys, slopes, dark walls, and what was assumed of one block."""
    raw, name = asked.block(block.name), [block.name]
    found: list[Notice] = []
    choices = {
        "row_bearing": raw.bearing,
        "tree_spacing": raw.tree_spacing,
        "row_spacing": raw.row_spacing,
    }
    left_open = tuple(setting for setting, stated in choices.items() if stated is None)
    if left_open and any(tree.address.block == block.name for tree in asked.standing):
        found.append(
            assumption(
                "ground.standing_on_choice", setting="ground.blocks", concerns=name, left_open=left_open
            )
        )
    if raw.is_rectangle and raw.bearing is None:
        bearing = Measured(taken.bearing, Plain.ANGLE)
        found.append(
            assumption("ground.bearing_taken", setting="ground.blocks", concerns=name, bearing=bearing)
        )
    if block.fence is not None and block.rows:
        found += _fence_notices(asked, block, block.fence)
    if block.along_fence or not block.rows:
        return found
    wall = wall_of(asked, block.row_spacing)
    ratio = wall.height / wall.alley if wall.alley > 0 else np.inf
    if wall.alley - asked.machine_width < room.ROOM_BESIDE_MACHINE - 1e-6:
        found.append(
            warning(
                "ground.narrow_alley",
                setting="trees.row_spacing",
                concerns=name,
                alley=_length(wall.alley),
                machine=_length(asked.machine_width),
            )
        )
    if ratio > room.DARK_BASE:
        found.append(
            warning(
                "ground.dark_base", setting="trees.row_spacing", concerns=name, source="CO06", ratio=ratio
            )
        )
    elif ratio < room.WASTED_LIGHT:
        found.append(remark("ground.light_on_grass", setting="trees.row_spacing", concerns=name, ratio=ratio))
    if block.light is not None:
        caught = (block.light.beam_leaves + block.light.diffuse_leaves) / 2
        if caught < bearings.BEST_LIGHT[0]:
            found.append(
                remark(
                    "ground.light_not_reached",
                    setting="trees.row_spacing",
                    concerns=name,
                    source="FW",
                    caught=caught,
                    wanted=bearings.BEST_LIGHT[0],
                )
            )
    if not taken.allowed:
        found.append(
            warning(
                "ground.steep_rows",
                setting="ground.blocks",
                concerns=name,
                source="PSU-TFPG",
                climb=Measured(taken.climb, Kind.SLOPE),
                contour=Measured((block.slope_bearing + 90) % 180, Plain.ANGLE),
            )
        )
    if taken.tilt > bearings.SIDE_SLOPE:
        found.append(
            caution(
                "ground.tilted_alleys",
                setting="ground.blocks",
                concerns=name,
                tilt=Measured(taken.tilt, Kind.SLOPE),
            )
        )
    longest = max(row.length for row in block.rows)
    if longest > LONGEST_ROW and not block.along_fence:  # a fence’s own posts hold its wires
        found.append(remark("ground.long_rows", concerns=name, longest=_length(longest)))
    if raw.headland < NARROW_TURN:
        found.append(
            remark(
                "ground.short_headland",
                setting="ground.headland",
                concerns=name,
                headland=_length(raw.headland),
            )
        )
    return found


def general_notices(asked: GroundQuestion) -> list[Notice]:
    height = asked.top_wire + ABOVE_WIRE
    found = [
        assumption(
            "ground.even_slope",
            setting="trellis.wire_heights",
            height=_length(height),
            lowest=_length(min(LOWEST_LEAVES, height / 2)),
            surface=bool(asked.heights),
        ),
        assumption("ground.half_diffuse"),
    ]
    if len(asked.blocks) > 1 and not asked.heights:
        found.append(assumption("ground.heights_by_block"))
    return found


def fence_remark(length: float) -> Notice:
    """How much deer fence the blocks take."""
    return remark("ground.fence", source="BARNEY2012-ORCHARD", length=Measured(length, Kind.LENGTH, 0))


def without_place(trees: dict[str, int]) -> list[Notice]:
    """Standing trees for which the fitted ground has no place, by row."""
    return [
        warning("ground.no_such_place", setting="trees.standing", concerns=[row], trees=count)
        for row, count in sorted(trees.items())
    ]


# ---- the planting ----------------------------------------------------------------------------------------------------


def layout_notices(
    asked: LayoutQuestion,
    cast: Cast,
    placed: Index,
    steady: Array,
    donors: Index,
    sure: Sureness,
    planting: FoundPlanting | None,
    homeless: int,
    moved: Sequence[Move],
    frozen: Frozen | None,
) -> list[Notice]:
    found = _frozen_notices(asked, frozen)
    if asked.before is not None:
        found.append(_moved(moved, int((placed != EMPTY).sum())))
    if homeless:
        trees = sum(row.trees for row in asked.cultivars)
        found.append(
            warning("layout.too_many_trees", setting="trees.total", trees=trees, free=trees - homeless)
        )
    found += _pollen_notices(asked.ground, cast.names, placed, steady, donors)
    found += _chance_notices(asked, cast, placed, sure)
    found += _vigour_notices(asked, cast, placed)
    found += _group_notices(asked, np.where(cast.standing == EMPTY, placed, EMPTY))
    found += _free_notices(asked.ground, placed)
    found.append(assumption("layout.rounds"))
    if planting is not None:
        found += _method_notices(asked, planting)
    return found


def _pollen_notices(
    ground: Ground, names: Sequence[str], placed: Index, steady: Array, donors: Index
) -> list[Notice]:
    """The worst trees for pollen, and what the figures rest on."""
    there = np.flatnonzero(placed != EMPTY)
    if not there.size:
        return []
    found: list[Notice] = []
    poor = there[steady[there] < 1.0]
    few = there[donors[there] < 2]
    if poor.size:
        worst = int(poor[int(np.argmin(steady[poor]))])
        found.append(
            warning(
                "layout.short_of_pollen",
                concerns=sorted({names[placed[tree]] for tree in poor}),
                source="KRON2001B",
                trees=int(poor.size),
                worst=str(ground.address(worst)),
                share=float(steady[worst]),
            )
        )
    if few.size:
        found.append(
            warning(
                "layout.few_donors",
                concerns=sorted({names[placed[tree]] for tree in few}),
                source="KRON2001B",
                trees=int(few.size),
                reach=Measured(pollination.REACH, Kind.LENGTH, 0),
            )
        )
    found.append(assumption("layout.pollen_enough", source="POLL-DELA", threshold=pollination.threshold()))
    return found


def _chance_notices(asked: LayoutQuestion, cast: Cast, placed: Index, sure: Sureness) -> list[Notice]:
    """Trees whose pollen hangs on dates and alleles being as listed, and what the chance rests on."""
    there = np.flatnonzero(placed != EMPTY)
    if not there.size:
        return []
    ground, names, chance = asked.ground, cast.names, sure.chance
    found: list[Notice] = [
        assumption(
            "layout.chance_drawn",
            source="WILLIAMS1977",
            draws=DRAWS,
            fails=prices_of(asked).lone_donor,
            bees=asked.bees is not None,
            wind=asked.bees is not None and asked.bees.wind_known,
            warm=Measured(WARM_ENOUGH, Kind.TEMPERATURE, 1),
            calm=Measured(CALM, Kind.SPEED, 1),
            hours=GOOD_DAY,
            days=RECEPTIVE,
        )
    ]
    weak = there[chance[there] < LIKELY]
    if weak.size:
        worst = int(weak[int(np.argmin(chance[weak]))])
        mend = next((mend for mend in sure.mends if mend.tree == ground.address(worst)), None)
        found.append(
            (warning if chance[worst] < WEAK_CHANCE else remark)(
                "layout.pollen_unsure",
                concerns=sorted({names[placed[tree]] for tree in weak}),
                trees=int(weak.size),
                likely=LIKELY,
                worst=str(ground.address(worst)),
                cultivar=names[placed[worst]],
                chance=float(chance[worst]),
                donor=mend.donor if mend else "",
                crab=mend is not None and mend.crab,
                place=str(mend.place) if mend else "",
                beside=str(mend.beside) if mend and mend.beside else "",
                after=mend.after if mend else 0.0,
                named=len(sure.mends),
                after_all=mend.after_all if mend else 0.0,
            )
        )
    if sure.bee_springs.size:
        here = np.unique(placed[there])
        poorest = int(here[int(np.argmin(sure.bee_springs[here, 2]))])
        middle, poor, share = (float(value) for value in sure.bee_springs[poorest])
        found.append(
            (warning if share < FEW_FLOWERS else remark)(
                "layout.bees",
                concerns=[names[poorest]],
                share=share,
                poor=Measured(poor, Plain.HOURS, 0),
                middle=Measured(middle, Plain.HOURS, 0),
                best=float(sure.bee_springs[here, 2].max()),
            )
        )
    return found


def _vigour_notices(asked: LayoutQuestion, cast: Cast, placed: Index) -> list[Notice]:
    """Pairs of scion and stock too weak to reach the top wire or too strong for their space."""
    ground = asked.ground
    spacing = ground.between_trees
    found = []
    for kind, row in enumerate(asked.cultivars):
        trees = np.flatnonzero((placed == kind) & (cast.standing == EMPTY))
        if not trees.size:
            continue
        if row.height < TOO_LOW * asked.top_wire:
            found.append(
                warning(
                    "layout.weak_pair",
                    setting="trees.rootstock_for",
                    concerns=[row.name],
                    source="ROOT-S1",
                    stock=row.rootstock,
                    height=_length(row.height),
                    top=_length(asked.top_wire),
                )
            )
        given = float(spacing[trees].min())
        if row.wanted_spacing > TOO_STRONG * given:
            found.append(
                warning(
                    "layout.strong_pair",
                    setting="trees.rootstock_for",
                    concerns=[row.name],
                    stock=row.rootstock,
                    wanted=_length(row.wanted_spacing),
                    given=_length(given),
                )
            )
    return found


def _group_notices(asked: LayoutQuestion, new: Index) -> list[Notice]:
    """Blocks in which rows with a distance of their own would pay; `new` (places,) kind of the new trees."""
    wanted = np.array([row.wanted_spacing for row in asked.cultivars])
    return [
        remark(
            "layout.row_group",
            setting="ground.blocks",
            concerns=[asked.cultivars[kind].name for kind in group.kinds],
            block=group.block,
            apart=_length(group.apart),
            given=_length(group.given),
            first=group.rows[0],
            last=group.rows[1],
            saved=Measured(group.saved, Plain.HOURS, 1),
            strong=bool(group.apart > group.given),
            places=abs(group.places),
        )
        for group in worthwhile_groups(asked.ground, new, wanted, prices_of(asked))
    ]


def _free_notices(ground: Ground, placed: Index) -> list[Notice]:
    """Places the choice left free, so that nobody looks for their trees."""
    free = placed == EMPTY
    if not free.any():
        return []
    whole = tuple(
        row_name(block.name, row.number)
        for number, block in enumerate(ground.blocks)
        for index, row in enumerate(block.rows)
        if free[(ground.block == number) & (ground.row == index)].all()
    )
    return [
        remark(
            "layout.free_places", setting="trees.total", free=int(free.sum()), of=int(free.size), whole=whole
        )
    ]


def _frozen_notices(asked: LayoutQuestion, frozen: Frozen | None) -> list[Notice]:
    """What the frozen places came to."""
    if frozen is None:
        return []
    setting = "ground.frozen"
    found = [
        warning("layout.frozen_unknown", setting=setting, concerns=[name], blocks=_block_names(asked))
        for name in frozen.unknown
    ]
    if asked.before is None:
        return [*found, warning("layout.frozen_nothing", setting=setting)]
    if frozen.lost:
        found.append(warning("layout.frozen_lost", setting=setting, trees=frozen.lost))
    return [*found, remark("layout.frozen", setting=setting, places=int(frozen.places.sum()))]


def _block_names(asked: LayoutQuestion) -> tuple[str, ...]:
    return tuple(block.name for block in asked.ground.blocks)


def _moved(moved: Sequence[Move], trees: int) -> Notice:
    """What changes against the layout whose labels and sheets may be out."""
    changed = sum(move.places for move in moved if move.was)
    tell = warning if changed else remark
    return tell(
        "layout.moved", moved=changed, new=sum(move.places for move in moved if not move.was), trees=trees
    )


def _method_notices(asked: LayoutQuestion, planting: FoundPlanting) -> list[Notice]:
    """What the planting was weighed by."""
    prices = prices_of(asked)
    return [
        assumption(
            "layout.prices",
            setting="money.wage",
            pace=Measured(prices.pace, Kind.LENGTH, -3),
            crew=prices.crew,
            rounds=prices.rounds,
            tree=Measured(prices.tree, Plain.HOURS, 1),
            bouquet=Measured(60 * prices.bouquet, Plain.COUNT),
            row=Measured(prices.row, Plain.HOURS, 1),
            part=Measured(60 * prices.part, Plain.COUNT),
            cold=Measured(10 * COLD_AIR, Kind.TEMPERATURE_STEP, 1),
            story=Measured(prices.story, Plain.HOURS, 1),
            gate=Measured(prices.gate, Plain.HOURS, 1),
        ),
    ]
