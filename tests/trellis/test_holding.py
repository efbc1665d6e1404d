"""What anchors and posts hold, against the tables and formulas they are taken from."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from topwire.trellis import anchors, holding, post, soil
from topwire.trellis.holding import HoldingGround, ground_of, spring_of

FOOT, PSF = 0.3048, 4.4482216152605 / 0.3048**2
CLAY = HoldingGround(False, 50e3, 18e3)
SAND = HoldingGround(True, 30.0, 17e3)


@pytest.mark.parametrize(
    ("feet", "slope", "pounds"),
    [
        (3, 1.0, 950), (3, 0.25, 1500), (4, 0.5, 2200), (5, 1 / 3, 4000), (6, 1.0, 3800), (7, 0.25, 8400),
        (3.5, 1.0, 1350),  # halfway between the lines of the table
        (3, 0.75, 1125),
        (9, 1.0, 5100), (3, 2.0, 950), (7, 0.1, 8400),  # held at its edges
        (2.9, 1.0, 0),
    ],
)  # fmt: skip
def test_a_buried_log_holds_what_the_table_says(feet: float, slope: float, pounds: float) -> None:
    """ARMY-TM5, holding power of loam, lb/ft2 of the log's face."""
    assert anchors.deadman_pressure(feet * FOOT, slope) == pytest.approx(pounds * PSF)


def test_of_a_log_five_diameters_less_a_foot_count() -> None:
    pressure = 950 * PSF
    pull = anchors.deadman_pull(1.2, face=0.2, depth=3 * FOOT, slope=1.0)
    assert pull == pytest.approx((1.0 - FOOT) * 0.2 * pressure)
    assert anchors.deadman_pull(0.9, face=0.2, depth=3 * FOOT, slope=1.0) == pytest.approx(
        (0.9 - FOOT) * 0.2 * pressure
    )
    assert anchors.deadman_pull(0.3, face=0.2, depth=3 * FOOT, slope=1.0) == 0.0
    assert anchors.deadman_pull(1.2, face=0.2, depth=3 * FOOT, slope=1.0, ground=0.5) == pytest.approx(
        pull / 2
    )


def test_a_plate_in_clay_holds_nine_times_the_cohesion_and_its_overburden() -> None:
    area = np.pi / 4 * 0.15**2
    assert anchors.plate_area(0.15) == pytest.approx(area)
    assert anchors.helix_clay(0.15, 50e3) == pytest.approx(area * 9 * 50e3)
    assert anchors.helix_clay(0.6, 50e3) == pytest.approx(
        16 * area * 9 * 50e3
    )  # no depth: taken as deep enough
    assert anchors.helix_clay(0.15, 50e3, depth=1.0) == pytest.approx(area * 9 * 50e3, rel=1e-9)
    deep = anchors.helix_clay(0.15, 50e3, depth=1.0, unit_weight=18e3)
    assert deep == pytest.approx(area * (9 * 50e3 + 18e3))
    shallow = anchors.helix_clay(0.15, 50e3, depth=0.3, unit_weight=18e3)  # 0.3 of 4.5 diameters
    assert shallow == pytest.approx(area * (9 * 50e3 * 0.3 / 0.675 + 18e3 * 0.3))


def test_a_plate_in_sand_lifts_the_ground_above_it() -> None:
    """By hand for 30 degrees: m 0.15, Ku 0.92, deep from four diameters on (Meyerhof and Adams 1968, MEMORY)."""
    two, four = (1 + 2 * (1 + 0.15 * r) * r * 0.92 * np.tan(np.pi / 6) for r in (2, 4))
    np.testing.assert_allclose(anchors.breakout([2.0, 4.0, 9.0], 30.0), [two, four, four])
    pull = anchors.helix_sand(0.15, 30.0, depth=1.2, unit_weight=17e3)
    assert pull == pytest.approx(np.pi / 4 * 0.15**2 * 17e3 * 1.2 * four)
    assert four < 18.4 / 2  # half of what a deep footing bears, which a screw never is
    assert (np.diff(anchors.breakout(6.0, np.arange(15.0, 50.0))) >= 0).all()


def anchor(**row: object) -> SimpleNamespace:
    usual = {"kind": "screw", "capacity_n": None, "plate_m": 0.15, "depth_m": 1.2, "length_m": None}
    return SimpleNamespace(**(usual | row))


def test_an_anchor_holds_by_its_kind_and_ground() -> None:
    assert CLAY.anchor(anchor(capacity_n=7_000.0), 1.0) == 7_000.0  # type: ignore[arg-type]
    down = 1.2 / np.sqrt(2)  # a rod of 1.2 m in line with a guy at 45 degrees
    in_clay = anchors.helix_clay(0.15, 50e3, depth=down, unit_weight=18e3)
    in_sand = anchors.helix_sand(0.15, 30.0, depth=down, unit_weight=17e3)
    assert CLAY.anchor(anchor(), 1.0) == pytest.approx(float(in_clay))  # type: ignore[arg-type]
    assert SAND.anchor(anchor(), 1.0) == pytest.approx(float(in_sand))  # type: ignore[arg-type]
    assert CLAY.anchor(anchor(plate_m=None), 1.0) == 0.0  # type: ignore[arg-type]


@pytest.mark.parametrize(("ground", "share"), [
    (SAND, 0.5), (replace(CLAY, strength=60e3), 1.0), (replace(CLAY, strength=90e3), 1.0),
    (replace(CLAY, strength=30e3), 0.5), (replace(CLAY, strength=3e3), 0.1),
])  # fmt: skip
def test_a_log_holds_in_proportion_to_the_ground(ground: HoldingGround, share: float) -> None:
    row = anchor(kind="log", plate_m=0.2, depth_m=1.0, length_m=1.2)
    whole = anchors.deadman_pull(1.2, face=0.2, depth=1.0, slope=0.5)
    assert ground.anchor(row, 0.5) == pytest.approx(whole * share)  # type: ignore[arg-type]
    assert CLAY.anchor(replace_row(row, length_m=None), 0.5) == 0.0  # type: ignore[arg-type]
    assert CLAY.anchor(replace_row(row, depth_m=None), 0.5) == 0.0  # type: ignore[arg-type]


def test_a_long_rod_at_a_slant_holds_no_more_than_its_plates_depth_gives() -> None:
    """10 in plate on a rod of 1.5 m at 45 degrees, 1.06 m down, 4.2 diameters: reckoned by hand."""
    row, clay = anchor(plate_m=0.254, depth_m=1.5), HoldingGround(False, 26e3, 18e3)
    by_hand = np.pi / 4 * 0.254**2 * (9 * 26e3 * 1.0607 / (4.5 * 0.254) + 18e3 * 1.0607)
    assert clay.anchor(row, 1.0) == pytest.approx(by_hand, rel=1e-4)  # type: ignore[arg-type]
    assert holding.anchor_depth(row, 1.0) == pytest.approx(1.0607, abs=1e-4)  # type: ignore[arg-type]
    assert holding.anchor_depth(replace_row(row, kind="log"), 1.0) == 1.5  # type: ignore[arg-type]


def replace_row(row: SimpleNamespace, **other: object) -> SimpleNamespace:
    return SimpleNamespace(**(vars(row) | other))


def test_a_post_is_held_by_the_formula_of_its_ground() -> None:
    in_clay = soil.clay_ultimate(0.9, 1.8, width=0.12, cohesion=50e3)
    in_sand = soil.sand_ultimate(0.9, 1.8, width=0.12, unit_weight=17e3, friction=30.0)
    assert CLAY.post(0.9, 1.8, 0.12) == pytest.approx(float(in_clay)) != 0
    assert SAND.post(0.9, 1.8, 0.12) == pytest.approx(float(in_sand)) != 0
    assert CLAY.uplift(0.9, 0.12) == pytest.approx(np.pi * 0.12 * 0.9 * 0.5 * 50e3)
    assert SAND.uplift(0.9, 0.12) == pytest.approx(np.pi * 0.12 * 0.9 * 0.3 * 17e3 * 0.45)
    clay_face = soil.face_ultimate(0.5, width=0.6, cohesion=50e3, friction=0.0, unit_weight=18e3)
    sand_face = soil.face_ultimate(0.5, width=0.6, cohesion=0.0, friction=30.0, unit_weight=17e3)
    assert CLAY.face(0.5, 0.6) == pytest.approx(float(clay_face)) != 0
    assert SAND.face(0.5, 0.6) == pytest.approx(float(sand_face)) != 0


def test_ground_is_taken_down_to_the_next_step() -> None:
    assert CLAY.step_down() == HoldingGround(False, 50e3, 18e3)
    assert replace(CLAY, strength=42e3 - 0.5).step_down().strength < 42e3  # no step that is above it
    assert replace(CLAY, strength=49e3).step_down() == HoldingGround(False, 42e3, 18e3)
    assert replace(CLAY, strength=2e3).step_down() == HoldingGround(False, 2e3, 18e3)
    buoyant = HoldingGround(True, 31.5, holding.BUOYANT_SAND)
    assert buoyant.step_down() == HoldingGround(True, 31.0, holding.BUOYANT_SAND)
    assert replace(buoyant, strength=30.0).step_down().strength == 30.0
    dry = SAND.step_down()  # heavier sand stands for more friction at buoyant weight: Kp times weight stays
    kp = np.tan(np.radians(60.0)) ** 2 * 1.7
    friction = 2 * np.degrees(np.arctan(np.sqrt(kp))) - 90
    assert dry.strength == max(step for step in holding.SAND_STEPS if step <= friction) == 42
    assert dry.unit_weight == holding.BUOYANT_SAND
    assert replace(buoyant, strength=12.0).step_down().strength == pytest.approx(12.0)


def test_the_scale_runs_from_stiff_down_to_the_ground() -> None:
    scale = [ground.strength / 1e3 for ground in CLAY.stiffer_steps()]
    assert scale == [150, 100, 75, 60, 50]
    sands = HoldingGround(True, 36.0, holding.BUOYANT_SAND).stiffer_steps()
    assert [ground.strength for ground in sands] == [45, 42, 39, 36]
    close = HoldingGround(True, 31.0, holding.BUOYANT_SAND).stiffer_steps()
    assert [ground.strength for ground in close][-3:] == [34, 32, 31]
    assert all(ground.sand and ground.unit_weight == holding.BUOYANT_SAND for ground in sands)
    assert not any(ground.sand for ground in CLAY.stiffer_steps())


SANDY = SimpleNamespace(
    kind="sand", unit_weight_wet=1.0e4, unit_weight_dry=1.7e4, friction_deg=33.0, cohesion_wet=None,
    cohesion_dry=None, growth_wet=2.0e6, growth_dry=5.0e6,
)  # fmt: skip
CLAYEY = SimpleNamespace(
    kind="clay", unit_weight_wet=1.9e4, unit_weight_dry=1.8e4, friction_deg=None, cohesion_wet=20e3,
    cohesion_dry=60e3, growth_wet=None, growth_dry=None,
)  # fmt: skip


def test_soaked_ground_is_the_catalogues_soaked_ground() -> None:
    assert ground_of(SANDY, wet=True) == HoldingGround(True, 33.0, 1.0e4)  # type: ignore[arg-type]
    assert ground_of(SANDY, wet=False) == HoldingGround(True, 33.0, 1.7e4)  # type: ignore[arg-type]
    assert ground_of(CLAYEY, wet=True) == HoldingGround(False, 20e3, 1.9e4)  # type: ignore[arg-type]
    assert ground_of(CLAYEY, wet=False) == HoldingGround(False, 60e3, 1.8e4)  # type: ignore[arg-type]
    assert ground_of(replace_row(SANDY, friction_deg=None), wet=True).strength == 30.0  # type: ignore[arg-type]
    assert ground_of(replace_row(CLAYEY, cohesion_wet=None), wet=True).strength == 25e3  # type: ignore[arg-type]


def test_a_round_posts_section() -> None:
    """0.1 m across: pi d3 / 32 and pi d4 / 64; 19 posts of 20 exceed the mean less 1.645 scatters (FPL-GTR158)."""
    assert post.round_modulus(0.1) == pytest.approx(9.8175e-5, rel=1e-4)
    assert post.round_inertia(0.1) == pytest.approx(4.9087e-6, rel=1e-4)
    assert post.fifth_percentile(40e6, 0.2) == pytest.approx(40e6 * (1 - 0.329))
    assert post.fifth_percentile([40e6, 50e6], [0.0, 0.1]).tolist() == pytest.approx([40e6, 41.775e6])


def test_springs_of_the_ground() -> None:
    assert spring_of(SANDY, 0.1, wet=True) == (2.0e6, 0.0)  # type: ignore[arg-type]
    assert spring_of(SANDY, 0.1, wet=False) == (5.0e6, 0.0)  # type: ignore[arg-type]
    assert spring_of(replace_row(SANDY, growth_wet=None), 0.1, wet=True) == (4.4e6, 0.0)  # type: ignore[arg-type]
    assert spring_of(CLAYEY, 0.1, wet=True) == (0.0, soil.CLAY_SPRING * 20e3)  # type: ignore[arg-type]
