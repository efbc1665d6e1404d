from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trellis_support import PRESSURE, Yard, a_row, said

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import RawRow, RawTable
from topwire.trellis.asked import StandingFence
from topwire.trellis.cases import CASES
from topwire.trellis.demand import RowDemand
from topwire.trellis.fence_findings import FenceSupport
from topwire.trellis.fence_support import support_by_fence
from topwire.trellis.fence_telling import fence_notice
from topwire.trellis.gusts import failure_gusts
from topwire.trellis.holding import HoldingGround, ground_of
from topwire.trellis.kinds import CaseName, EndKind, FenceCure, Lack, RowLoad, SoilWater, TrellisPart
from topwire.trellis.places import post_positions
from topwire.trellis.question import read_stock
from topwire.trellis.row_findings import first_to_give
from topwire.trellis.row_frame import row_frame, run_cases
from topwire.trellis.search import END_GIVES, Build, search, search_down
from topwire.values.braces import CLEAR
from topwire.values.fault import Faults
from topwire.values.notice import CannotAnswer


def strength(yard: Yard, build: Build, ground: HoldingGround, *, inner: bool, crop: float) -> float:
    """Gust in which the build would still be chosen: its own search limits, by halving."""
    demand = a_row(inner=inner, crop=crop)
    alone = replace(yard.stock, posts=(build.post,), wires=(build.wire,))
    fixed = replace(yard.wishes, spacing=build.spacing)
    low, high = 0.0, 120.0
    while high - low > 0.01:
        middle = (low + high) / 2
        stands = search(demand, alone, ground, middle, fixed) is not None
        low, high = (middle, high) if stands else (low, middle)
    return low


@settings(max_examples=25, deadline=None)
@given(
    gust=st.floats(12, 45),
    stronger=st.floats(1.0, 1.6),
    cohesion=st.floats(10e3, 1.2e5),
    inner=st.booleans(),
    crop=st.floats(5, 40),
)
def test_a_stronger_gust_never_makes_a_weaker_or_cheaper_trellis(
    yard: Yard, gust: float, stronger: float, cohesion: float, inner: bool, crop: float
) -> None:
    ground = HoldingGround(False, cohesion, 18e3)
    demand = a_row(inner=inner, crop=crop)
    calm = search(demand, yard.stock, ground, gust, yard.wishes)
    rough = search(demand, yard.stock, ground, gust * stronger, yard.wishes)
    if rough is None:
        return
    assert calm is not None
    assert rough.cost >= calm.cost - 1e-9
    if rough != calm:
        # the calm choice would not have stood, the rough one does: it is the stronger
        assert strength(yard, rough, ground, inner=inner, crop=crop) >= min(
            gust * stronger - 0.02, strength(yard, calm, ground, inner=inner, crop=crop)
        )


@settings(max_examples=25, deadline=None)
@given(
    gust=st.floats(12, 45), cohesion=st.floats(8e3, 1.4e5), softer=st.floats(0.3, 1.0), inner=st.booleans()
)
def test_softer_clay_never_gets_a_shallower_post(
    yard: Yard, gust: float, cohesion: float, softer: float, inner: bool
) -> None:
    demand = a_row(inner=inner)
    firm = search_down(demand, yard.stock, HoldingGround(False, cohesion, 18e3), gust, yard.wishes)
    soft = search_down(demand, yard.stock, HoldingGround(False, cohesion * softer, 18e3), gust, yard.wishes)
    if firm is not None and soft is not None:
        assert soft.depth >= firm.depth - 1e-9


@settings(max_examples=15, deadline=None)
@given(
    gust=st.floats(12, 40), friction=st.floats(26, 40), less=st.floats(0, 8), weight=st.floats(9.5e3, 19e3)
)
def test_softer_sand_never_gets_a_shallower_post(
    yard: Yard, gust: float, friction: float, less: float, weight: float
) -> None:
    demand = a_row()
    firm = search_down(demand, yard.stock, HoldingGround(True, friction, weight), gust, yard.wishes)
    soft = search_down(demand, yard.stock, HoldingGround(True, friction - less, weight), gust, yard.wishes)
    if firm is not None and soft is not None:
        assert soft.depth >= firm.depth - 1e-9


def test_the_search_finds_the_cheapest_of_all(yard: Yard) -> None:
    """Every post, wire and spacing tried alone costs at least as much as the choice."""
    demand = a_row()
    best = search(demand, yard.stock, yard.ground, 30.0, yard.wishes)
    assert best is not None
    costs = []
    for post in yard.stock.posts:
        for wire in yard.stock.wires:
            alone = replace(yard.stock, posts=(post, best.ends.post), wires=(wire,))
            found = search(demand, alone, yard.ground, 30.0, yard.wishes)
            if found is not None:
                costs.append(found.cost)
    assert min(costs) == pytest.approx(best.cost)


def test_wishes_are_kept(yard: Yard) -> None:
    wishes = replace(
        yard.wishes,
        spacing=5.4,
        pretension=700.0,
        near_kinds=(EndKind.TIE_BACK,),
        far_kinds=(EndKind.TIE_BACK,),
    )
    found = search(a_row(), yard.stock, yard.ground, 25.0, wishes)
    assert found is not None
    assert found.spacing == 5.4
    assert found.pretension == 700.0
    assert found.ends.kind is EndKind.TIE_BACK


def test_nothing_stands_in_an_impossible_storm(yard: Yard) -> None:
    assert search_down(a_row(), yard.stock, yard.ground, 130.0, yard.wishes) is None


def test_gusts_are_in_order_and_say_what_gives_first(yard: Yard) -> None:
    demand = a_row()
    build = search_down(demand, yard.stock, yard.ground, 30.0, yard.wishes)
    assert build is not None
    grounds = {SoilWater.SOAKED: yard.ground, SoilWater.DRAINED: ground_of(yard.stock.soil, wet=False)}
    gusts = failure_gusts(demand, build, grounds, outer=True)
    assert [gust.middle for gust in gusts] == sorted(gust.middle for gust in gusts)
    assert all(gust.low < gust.middle <= gust.high for gust in gusts)
    assert min(gust.middle for gust in gusts if gust.part is not TrellisPart.WIRE_HALF) >= 30.0
    assert first_to_give(gusts).part is not TrellisPart.WIRE_HALF

    def breaks(canopy: RowLoad) -> float:
        return next(
            gust.middle
            for gust in gusts
            if (gust.part, gust.canopy, gust.soil) == (TrellisPart.POSTS_BREAK, canopy, SoilWater.SOAKED)
        )

    assert breaks(RowLoad.LEAFED) > breaks(RowLoad.CROPPED)
    inner = failure_gusts(a_row(inner=True), build, grounds, outer=False)
    assert first_to_give(inner).middle > first_to_give(gusts).middle


def test_a_weak_build_holds_no_gust_at_all(yard: Yard) -> None:
    """Where still air is too much already the table says 0, not a small number."""
    demand = a_row(crop=400.0, crop_on_wires=1.0)
    build = search_down(a_row(), yard.stock, yard.ground, 20.0, yard.wishes)
    assert build is not None
    gusts = failure_gusts(demand, replace(build, spacing=12.0), {SoilWater.SOAKED: yard.ground}, outer=True)
    assert gusts[0].middle == 0.0


def test_a_whole_row_bears_what_it_was_sized_for(yard: Yard) -> None:
    demand = a_row()
    build = search_down(demand, yard.stock, yard.ground, 30.0, yard.wishes)
    assert build is not None
    posts = post_positions(60.0, first_tree=0.45, tree_spacing=0.9, widest=build.spacing)
    row = row_frame(
        demand, positions=posts, low_wire=0.45, wire=build.wire, pretension=build.pretension, post=build.post,
        depth=build.depth, end_post=build.ends.post, end_depth=build.ends.depth, end_gives=END_GIVES,
        soil=yard.stock.soil,
    )  # fmt: skip
    cases = {case.case.name: case for case in run_cases(row, demand, build.post, gust=30.0, drag=0.5)}
    assert all(case.converged and case.residual < 1e-3 for case in cases.values())
    storm = cases[CaseName.ACROSS]
    still = cases[CaseName.STILL]
    assert storm.share_of_post is not None
    assert 0.4 < storm.share_of_post <= 1.0
    assert storm.tension is not None
    assert still.tension is not None
    assert storm.tension > still.tension > build.pretension
    harvested = cases[CaseName.HARVESTED]
    assert harvested.post_moment is not None
    assert storm.post_moment is not None
    assert harvested.post_moment < storm.post_moment
    lost = cases[CaseName.LOST_POST]
    assert lost.sag is not None
    assert still.sag is not None
    assert lost.sag > still.sag
    assert cases[CaseName.HOT].tension < build.pretension  # type: ignore[operator]


def test_a_lost_post_hangs_as_deep_as_a_fine_mesh_says(yard: Yard) -> None:
    """Ten bars to a span find the deepest point that one bowed bar reckons."""
    demand = a_row(length=36.0)
    build = search_down(demand, yard.stock, yard.ground, 25.0, yard.wishes)
    assert build is not None
    lost = next(case for case in CASES if case.name is CaseName.LOST_POST)

    def sag(per_span: int) -> float:
        row = row_frame(
            demand, positions=np.linspace(0, 36, 7), low_wire=None, wire=build.wire, pretension=build.pretension,
            post=build.post, depth=build.depth, end_post=build.ends.post, end_depth=build.ends.depth,
            end_gives=END_GIVES, soil=yard.stock.soil, per_span=per_span,
        )  # fmt: skip
        (case,) = run_cases(row, demand, build.post, gust=25.0, drag=0.5, cases=(lost,))
        assert case.sag is not None
        return case.sag

    assert sag(1) == pytest.approx(sag(10), rel=0.02)


def test_a_finer_mesh_changes_little(yard: Yard) -> None:
    demand = a_row(length=30.0)
    build = search_down(demand, yard.stock, yard.ground, 30.0, yard.wishes)
    assert build is not None

    def storm(per_span: int) -> tuple[float, float]:
        row = row_frame(
            demand, positions=np.linspace(0, 30, 8), low_wire=None, wire=build.wire, pretension=build.pretension,
            post=build.post, depth=build.depth, end_post=build.ends.post, end_depth=build.ends.depth,
            end_gives=END_GIVES, soil=yard.stock.soil, per_span=per_span,
        )  # fmt: skip
        case = run_cases(row, demand, build.post, gust=30.0, drag=0.5)[1]
        assert case.tension is not None
        assert case.post_moment is not None
        return case.tension, case.post_moment

    assert storm(4) == pytest.approx(storm(2), rel=0.005)


def test_a_fence_is_told_what_it_must_bear(yard: Yard) -> None:
    demand = a_row(length=9.0, heights=[0.76, 1.3, 1.83, 2.29], canopy_top=2.5, pressure_at_1=PRESSURE)
    found = fence(yard, demand, StandingFence(None, None))
    assert found.fixings == 4 * 5
    low = fence(yard, demand, StandingFence(None, None), low_wire=0.38)
    assert low.strung == (0.38, *found.strung)
    assert low.fixings == 5 * 5
    assert low.pull_at_end > found.pull_at_end + 200  # strung by hand at least
    assert found.pull_on_fixing > 0
    assert found.wall_moment_per_metre > 0
    assert found.end_share is None
    stronger = fence(yard, demand, StandingFence(None, None), gust=60.0)
    assert stronger.moment_per_metre > 3 * found.moment_per_metre
    assert stronger.end_thickness > found.end_thickness


@pytest.mark.parametrize(
    ("length", "spacing"), [(8.5, 1.829), (9.0, 1.829), (12.3, 1.829), (9.0, 2.4), (12.3, 2.4)]
)
def test_no_pad_of_a_strut_is_dug_in_at_a_trunk_or_a_post(yard: Yard, length: float, spacing: float) -> None:
    heights = [0.762, 1.295, 1.829, 2.286]
    demand = a_row(length=length, heights=heights, canopy_top=2.5, tree_spacing=1.067, first_tree=0.533)
    found = fence(yard, demand, StandingFence(0.127, spacing))
    assert found.cure in (FenceCure.STRUTS, FenceCure.SPRINGS_AND_STRUTS)
    assert found.strut_reaches is not None
    near, far = found.strut_reaches
    standing = [*np.arange(0.533, length, 1.067), *found.posts]
    for pad in (near, found.run - far):
        assert np.abs(np.array(standing) - pad).min() >= CLEAR - 1e-6
    assert near + far + CLEAR <= found.run
    assert 2.286 - 1e-6 <= min(near, far) <= max(near, far) <= 1.5 * 2.286 + 1e-6
    short = replace(demand, length=3.0)  # no room for two struts beside each other
    assert fence(yard, short, StandingFence(0.127, spacing)).strut_reaches is None
    close = replace(demand, tree_spacing=0.5)
    assert fence(yard, close, StandingFence(0.127, 1.829)).cure is FenceCure.OWN_POSTS
    assert f"{near:.2f} m from the first" in said([fence_notice(found)]).replace("\u00a0", " ")


def fence(
    yard: Yard,
    demand: RowDemand,
    standing: StandingFence,
    *,
    gust: float = 30.0,
    low_wire: float | None = None,
) -> FenceSupport:
    return support_by_fence(
        "Fence 1", demand, yard.stock, yard.ground,
        gust=gust, drag=0.5, wage=18.0, fence=standing, low_wire=low_wire,
    )  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(
    length=st.floats(3, 20), every=st.floats(1.0, 3.0), thickness=st.floats(0.06, 0.25), depth=st.floats(0.4, 1.6),
    gust=st.floats(10, 45),
)  # fmt: skip
def test_an_eye_always_meets_a_post_and_an_overloaded_end_is_always_told(
    yard: Yard, length: float, every: float, thickness: float, depth: float, gust: float
) -> None:
    demand = a_row(length=length, heights=[0.76, 1.3, 1.83, 2.29], canopy_top=2.5)
    found = fence(yard, demand, StandingFence(thickness, every, depth), gust=gust)
    assert found.fixing_spacing == pytest.approx(every)
    assert length - 1e-9 <= found.run < length + every
    assert found.fixings == 4 * (round(found.run / every) + 1)
    assert found.end_share is not None
    assert found.cured_share is not None
    over = found.end_share > 1 or found.ground_share > 1
    assert over == (found.cure is not FenceCure.NONE)
    if found.cure not in (FenceCure.NONE, FenceCure.OWN_POSTS):
        assert found.cured_share <= 1
        assert found.cure_cost > 0
    told = said([fence_notice(found)])
    assert ("does not bear" in told) == (over or max(found.leaves_share or 0, found.wall_share or 0) > 1)


def own_row(catalogue: Catalogue, table: str, name: str, **cells: str) -> Catalogue:
    """The catalogue with one row of the grower's own."""
    raw = catalogue.tables[table]
    filled = dict.fromkeys(raw.columns, "") | {raw.columns[0]: name} | cells
    rows = {**raw.rows, name: RawRow(f"catalogue/{table}.csv, line 2", filled, own=True)}
    return Catalogue({**catalogue.tables, table: RawTable(table, raw.columns, rows)})


@pytest.mark.parametrize(
    ("table", "cells", "lack"),
    [
        ("posts", {"kind": "steel", "diameter_m": "0.06", "length_m": "4", "price": "20"}, Lack.STRENGTH),
        ("posts", {"kind": "steel", "diameter_m": "0.06", "length_m": "4", "price": "20", "moment_nm": "3000"},
         Lack.STIFFNESS),
        ("posts", {"kind": "round wood", "wood": "fir", "diameter_m": "0.1", "length_m": "4"}, Lack.PRICE),
        ("wires", {"diameter_m": "0.003", "modulus_gpa": "200", "price_per_m": "0.2"}, Lack.BREAKING_LOAD),
        ("wires", {"diameter_m": "0.003", "breaking_n": "5000", "price_per_m": "0.2"}, Lack.MODULUS),
        ("wires", {"diameter_m": "0.0025", "breaking_n": "2050", "modulus_gpa": "200", "price_per_m": "0.1"},
         Lack.SOFT),
        ("anchors", {"kind": "plate", "price": "10"}, Lack.CAPACITY),
    ],
)  # fmt: skip
def test_an_own_row_without_its_strength_is_not_used_and_said(
    catalogue: Catalogue, table: str, cells: dict[str, str], lack: Lack
) -> None:
    own = own_row(catalogue, table, "mine", **cells)
    stock, left_out = read_stock(own, market="us", texture="loam")
    assert [(out.table, out.name, out.lack) for out in left_out] == [(table, "mine", lack)]
    assert "mine" not in [row.name for row in (*stock.posts, *stock.wires, *stock.anchors)]


def test_the_only_row_at_hand_without_its_strength_is_refused(catalogue: Catalogue) -> None:
    cells = {"kind": "steel", "diameter_m": "0.06", "length_m": "4", "price": "20"}
    own = own_row(catalogue, "posts", "my steel", **cells)
    with pytest.raises(CannotAnswer) as refused:
        read_stock(own, market="us", texture="loam", posts_at_hand=["my steel"])
    assert "No row is left" in said(refused.value.notices)
    assert "“my steel”: its strength is missing" in said(refused.value.notices)


def test_an_own_row_with_its_strength_is_used(catalogue: Catalogue) -> None:
    cells = {"kind": "steel", "diameter_m": "0.06", "length_m": "4.5", "price": "20", "moment_nm": "3000",
             "stiffness_nm2": "40000"}  # fmt: skip
    stock, _ = read_stock(own_row(catalogue, "posts", "mine", **cells), market="us", texture="loam")
    assert next(post for post in stock.posts if post.name == "mine").moment == 3000


def test_unknown_names_and_soils_are_faults(catalogue: Catalogue) -> None:
    with pytest.raises(Faults, match="Did you mean “southern pine"):
        read_stock(catalogue, market="us", texture="loam", posts_at_hand=["southern pin 5 in x 14 ft"])
    with pytest.raises(Faults, match="no row for “peat”"):
        read_stock(catalogue, market="us", texture="peat")
    with pytest.raises(CannotAnswer, match="nothing_usable"):
        read_stock(catalogue, market="us", texture="loam", wires_at_hand=["polyester monofilament 3.0 mm"])


def test_the_fences_own_posts_are_held_against_the_wind(yard: Yard) -> None:
    demand = a_row(length=9.0, heights=[0.76, 1.3, 1.83, 2.29], canopy_top=2.5)

    def held(thickness: float | None, spacing: float | None) -> FenceSupport:
        return fence(yard, demand, StandingFence(thickness, spacing))

    assert held(None, None).leaves_share is None
    thin, thick, near = held(0.1, 2.0), held(0.2, 2.0), held(0.1, 1.0)
    assert thin.leaves_share is not None
    assert thick.leaves_share == pytest.approx(thin.leaves_share / 8)
    assert near.leaves_share == pytest.approx(thin.leaves_share / 2)
    assert thin.wall_share is not None
    assert thin.wall_share > thin.leaves_share


def test_an_oblique_storm_strains_a_row_no_more_than_the_worse_of_across_and_along(yard: Yard) -> None:
    """Wind at 45 degrees presses half across and half along; it is solved all the same, not taken for granted."""
    demand = a_row()
    build = search_down(demand, yard.stock, yard.ground, 30.0, yard.wishes)
    assert build is not None
    row = row_frame(
        demand, positions=np.linspace(0, 60, 11), low_wire=0.45, wire=build.wire, pretension=build.pretension,
        post=build.post, depth=build.depth, end_post=build.ends.post, end_depth=build.ends.depth,
        end_gives=END_GIVES, soil=yard.stock.soil,
    )  # fmt: skip
    solved = {case.case.name: case for case in run_cases(row, demand, build.post, gust=30.0, drag=0.5)}
    across = solved[CaseName.ACROSS]
    along = solved[CaseName.ALONG]
    oblique = solved[CaseName.OBLIQUE]
    still = solved[CaseName.STILL]
    assert oblique.converged
    assert oblique.tension is not None
    assert across.tension is not None
    assert along.tension is not None
    assert still.tension is not None
    assert still.tension < oblique.tension <= max(across.tension, along.tension)
    assert oblique.sideways is not None
    assert across.sideways is not None
    assert still.sideways is not None
    assert still.sideways < oblique.sideways < across.sideways


@settings(max_examples=12, deadline=None)
@given(
    gust=st.floats(12, 40), stronger=st.floats(1.0, 1.5), cohesion=st.floats(2.0e4, 1.2e5), tight=st.booleans(),
    crop=st.floats(5, 40),
)  # fmt: skip
def test_ends_chosen_side_by_side_are_as_monotone(
    yard: Yard, gust: float, stronger: float, cohesion: float, tight: bool, crop: float
) -> None:
    """Tie-backs on one side, braces alone on the other: a stronger gust or softer ground never comes cheaper."""
    wishes = replace(
        yard.wishes,
        near_kinds=(EndKind.TIE_BACK,),
        far_kinds=(EndKind.H_BRACE, EndKind.DIAGONAL) if tight else (EndKind.DIAGONAL,),
    )
    demand, firm = a_row(crop=crop), HoldingGround(False, cohesion, 18e3)
    calm = search(demand, yard.stock, firm, gust, wishes)
    rough = search(demand, yard.stock, firm, gust * stronger, wishes)
    soft = search(demand, yard.stock, HoldingGround(False, cohesion * 0.7, 18e3), gust, wishes)
    for harder in (rough, soft):
        if harder is not None:
            assert calm is not None
            assert harder.cost >= calm.cost - 1e-9
    free = search(demand, yard.stock, firm, gust, yard.wishes)
    if calm is not None:
        assert free is not None
        assert free.cost <= calm.cost + 1e-9
