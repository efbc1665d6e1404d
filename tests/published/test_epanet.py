"""The exported network as EPANET 2.2 solves it (through WNTR): flows within 0.5 %, pressures within 1 %."""

import warnings
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from water.conftest import _example

from topwire.export.epanet import _tree, network
from topwire.water.emitter import Emitter
from topwire.water.findings import LossPart, WaterPlan

PASCAL = 9806.65  # a metre of water


def solved(water: WaterPlan, folder: Path) -> dict[str, Any]:
    """Pressures and grades [m] by node, flows [m3/s] by link."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from wntr.epanet.io import BinFile
        from wntr.epanet.toolkit import ENepanet

        names = [str(folder / f"net.{end}") for end in ("inp", "rpt", "bin")]
        orchard = SimpleNamespace(water=water, origin=SimpleNamespace(name="Under test"))
        Path(names[0]).write_bytes(network(orchard))  # type: ignore[arg-type]
        program = ENepanet(*names)
        program.ENopen(*names)
        program.ENsolveH()
        program.ENsaveH()
        program.ENclose()
        found = BinFile().read(names[2])
    return {name: found.node[name].iloc[0] for name in ("pressure", "head")} | {
        "flow": found.link["flowrate"].iloc[0]
    }


def hold(water: WaterPlan, folder: Path) -> None:
    theirs = solved(water, folder)
    for number, zone in enumerate(water.zones, start=1):
        tree, plain = _tree(water, zone)
        assert theirs["flow"][f"R{number}"] == pytest.approx(zone.flow, rel=5e-3)
        assert theirs["pressure"][f"Z{number}_0"] * PASCAL == pytest.approx(zone.pressure, rel=1e-4)
        heads = theirs["pressure"][[f"Z{number}_{node}" for node in range(plain, tree.parent.size)]]
        assert heads.min() * PASCAL == pytest.approx(zone.least_pressure, rel=1e-2)
        assert heads.max() * PASCAL == pytest.approx(zone.most_pressure, rel=1e-2)
        assert len(heads) == zone.emitters
        # where emitters compensate the file holds their flow: by the law at EPANET's own pressures it is the same
        line = water.hydraulics
        by_law = Emitter(line.coefficient, line.exponent, line.regulates_from).flow(heads.to_numpy())
        assert float(by_law.sum()) == pytest.approx(zone.flow, rel=5e-3)


@pytest.fixture(scope="module", params=["valley-inn", "ridge-cider", "garden-fence"])
def example(request: pytest.FixtureRequest) -> Any:
    return _example(request.param)


def test_every_zone_of_the_examples(example: Any, tmp_path: Path) -> None:
    hold(example.result, tmp_path)


def test_the_source_must_give_what_we_say(example: Any, tmp_path: Path) -> None:
    """With EPANET's loss in the main, all zones of a set running."""
    water = example.result
    theirs = solved(water, tmp_path)
    at_source, at_zone = (
        sum(loss.pressure for loss in water.losses if loss.part is part) / PASCAL
        for part in (LossPart.FITTING, LossPart.VALVE)
    )
    wanted = []
    for number, zone in enumerate(water.zones, start=1):
        main = theirs["head"][f"filtered_{zone.runs_in_set}"] - theirs["head"][f"A{number}"] - at_zone
        height = zone.valve[2] - water.pipes.source_height
        wanted.append(zone.pressure / PASCAL + at_source + at_zone + main + height)
    assert max(wanted) * PASCAL == pytest.approx(water.pressure_wanted, rel=1e-2)
    # and at each regulator there is what it is set to, and no less
    assert min(theirs["pressure"][f"A{n}"] - z.pressure / PASCAL for n, z in enumerate(water.zones, 1)) > 0


def test_zones_that_take_turns(tmp_path: Path) -> None:
    """A small source: several sets, each with its own copy of the main; compensating lines and buttons."""
    valley = _example("valley-inn")
    lines = (
        "choose",
        "two compensating buttons a tree, 2 L/h",
        "compensating line 16 mm, 1.0 L/h every 0.5 m",
    )
    for line in lines:
        turns = valley.again(flow=4e-4, hours_per_day=24, emitter=line)
        assert max(zone.runs_in_set for zone in turns.zones) > 1
        hold(turns, tmp_path)


def test_mains_that_bend_at_one_corner_stay_apart(tmp_path: Path) -> None:
    """Two stretches go round the same corner of an obstacle, one on from the other: each has its own node there."""
    water = _example("valley-inn").result
    source, near, far = water.pipes.mains
    assert far.start is not None  # from the first zone's valve to the second's
    assert near.start is not None
    across = (near.start[0] + 40.0, near.start[1] - 60.0, near.start[2])
    round_it = [
        replace(near, end=across, length=near.length / 2),
        replace(near, start=across, length=near.length / 2),
        replace(far, end=across, length=far.length / 2),
        replace(far, start=across, length=far.length / 2),
    ]
    others = tuple(run for run in water.pipes.runs if run not in water.pipes.mains)
    bent = replace(water, pipes=replace(water.pipes, runs=(source, *round_it, *others)))
    theirs = solved(bent, tmp_path)
    flows = [abs(theirs["flow"][f"main{number}_1"]) for number in range(2, 6)]
    assert flows[0] == pytest.approx(flows[1], rel=1e-6)
    assert flows[2] == pytest.approx(flows[3], rel=1e-6)
    first, second = (zone.flow for zone in water.zones)
    assert flows[0] == pytest.approx(first + second, rel=5e-3)
    assert flows[2] == pytest.approx(second, rel=5e-3)
