"""Zones and systems on rows drawn by hand."""

import numpy as np
import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.water.question import water_tables
from topwire.water.schedule import middle_and_nine_in_ten, weekly
from topwire.water.system import WaterInlet, build, choose, flow_for, hours_at, pack
from topwire.water.tables import EmitterRow
from topwire.water.zone import GOAL, WateredRow, size_zone, split_rows

TABLES = water_tables(Catalogue(read_tables()))
LINE = {row.name: row for row in TABLES.emitters}
STEADY = LINE["compensating line 16 mm, 1.6 L/h every 0.5 m"]
PLAIN = LINE["plain line 16 mm, 2.0 L/h every 0.5 m"]
BUTTONS = LINE["two compensating buttons a tree, 2 L/h"]


def rows(count: int, *, length: float = 80.0, rise: float = 0.0, side: float = 0.0) -> tuple[WateredRow, ...]:
    """Rows 3.5 m apart, rising `rise` along themselves and `side` from one to the next. [m/m]"""
    trees = int((length - 2) / 0.9) + 1
    return tuple(
        WateredRow(
            f"A {number + 1}", 0, (3.5 * number, 0.0, 3.5 * number * side),
            (3.5 * number, length, 3.5 * number * side + rise * length),
            length, 1.0, (trees - 1) * 0.9, trees, 0.9, 0.45,
        )
        for number in range(count)
    )  # fmt: skip


def source(**changed: float) -> WaterInlet:
    figures = {
        "flow": 6 / 3600,
        "head": 32.0,
        "height": -2.0,
        "distance": 60.0,
        "hours_per_day": 16.0,
    } | changed
    return WaterInlet(
        figures["flow"], figures["head"], figures["height"], figures["distance"], (0.0, 0.0, 0.0),
        figures["hours_per_day"], False, False,
    )  # fmt: skip


def test_split_is_even_and_in_order() -> None:
    every = rows(20)
    one = every[0].emitters(STEADY) * 1.6 / 3.6e6
    parts = split_rows(every, STEADY, 7.2 * one)
    assert (
        [len(part) for part in parts] == [7, 6, 7]
        or [len(part) for part in parts] == [6, 7, 7]
        or [len(part) for part in parts] == [7, 7, 6]
    )
    assert [row for part in parts for row in part] == list(every)
    assert [len(part) for part in split_rows(every, STEADY, 0.5 * one)] == [1] * 20


def test_button_rows_count_by_trees() -> None:
    row = rows(1)[0]
    assert row.emitters(BUTTONS) == 2 * row.trees
    assert row.emitters(STEADY) == int(row.run / 0.5) + 1


@pytest.mark.parametrize("line", [STEADY, PLAIN], ids=["compensating", "plain"])
def test_zone_is_uniform_and_keeps_its_heads(line: EmitterRow) -> None:
    zone = size_zone(rows(12), line, TABLES.mains)
    assert zone is not None
    assert zone.uniformity >= GOAL
    assert zone.most_head <= line.most_head_m
    if line.compensating:
        assert zone.least_head == pytest.approx(line.regulates_from_m + 1.0, abs=0.02)
    else:
        nominal = line.litres_per_hour / 3.6e6
        assert zone.flow / zone.emitters == pytest.approx(nominal, rel=0.002)


def test_manifold_narrows_away_from_the_valve() -> None:
    zone = size_zone(rows(30), STEADY, TABLES.mains)
    assert zone is not None
    inside, above = {row: size.inside_mm for row, size in zone.manifold_sizes.items()}, zone.net.above
    assert all(inside[row] <= inside.get(above[row], np.inf) for row in inside)
    assert len(set(inside.values())) > 1


def test_plain_line_fails_on_a_steep_row_and_compensating_does_not() -> None:
    steep = rows(6, rise=0.08)
    assert size_zone(steep, PLAIN, TABLES.mains) is None
    assert size_zone(steep, STEADY, TABLES.mains) is not None


def test_pack_fills_sets_and_never_overfills() -> None:
    flows = [3.0, 1.0, 2.0, 2.0, 1.0]
    sets = pack(flows, 4.0)
    assert sorted(zone for run in sets for zone in run) == [0, 1, 2, 3, 4]
    assert all(sum(flows[zone] for zone in run) <= 4.0 for run in sets)
    assert len(sets) == 3


def test_system_head_is_its_losses_and_sets_fit_the_flow() -> None:
    blocks = (rows(20), rows(10, side=0.05))
    system = build(blocks, STEADY, source(flow=3 / 3600), TABLES, np.array([16.0]))
    assert system is not None
    assert len(system.zones) > 2
    assert system.most_flow <= 3 / 3600
    assert sum(head for _, _, head in system.losses) == pytest.approx(system.head_wanted)
    assert sum(len(run) for run in system.together) == len(system.zones)


def test_choice_is_the_cheapest_of_all_that_do() -> None:
    blocks, peak = (rows(14, rise=0.01),), np.array([14.0])
    chosen, trials = choose(blocks, TABLES.emitters, source(), TABLES, peak)
    assert chosen is not None
    in_step = [line for line in TABLES.emitters if all(row.in_step(line) for row in blocks[0])]
    built = [build(blocks, line, source(), TABLES, peak) for line in in_step or TABLES.emitters]
    good = [
        system.cost
        for system in built
        if system is not None
        and system.head_wanted <= 32.0
        and system.total_hours <= 16.0
        and system.most_flow <= 6 / 3600
    ]
    assert chosen.cost == pytest.approx(min(good))
    assert len(trials) == len(TABLES.emitters)


def test_more_pressure_never_costs_more() -> None:
    blocks, peak = (rows(24),), np.array([16.0])
    costs = []
    for head in (26.0, 32.0, 45.0):
        system = build(blocks, STEADY, source(head=head), TABLES, peak)
        assert system is not None
        costs.append(system.cost)
    assert costs == sorted(costs, reverse=True)


def test_flow_for_is_enough_and_little_more() -> None:
    blocks, peak = (rows(24), rows(9)), np.array([16.0])
    flow = flow_for(blocks, STEADY, 8.0, peak)
    assert flow is not None
    assert hours_at(blocks, STEADY, flow, peak) <= 8.0
    least = sum(row.trees for part in blocks for row in part) * 16.0 / 1000 / 0.9 / (8 * 3600) / 0.95
    assert least <= flow < 2 * least


def test_weeks_keep_the_sum() -> None:
    daily = np.random.default_rng(2).random((365, 3))
    assert weekly(daily).sum(axis=0) == pytest.approx(daily.sum(axis=0))


def test_middle_and_nine_in_ten_are_those_of_the_years() -> None:
    by_year = np.arange(1.0, 12.0)[np.newaxis, :, np.newaxis] * np.array([1.0, 2.0])
    assert middle_and_nine_in_ten(by_year)[:, :, 0].tolist() == [[6.0, 10.0], [12.0, 20.0]]
