"""A net over the rows: its wind, the hail in it, what that does to posts and wires; told, billed and drawn."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from trellis_support import a_row, orchard, said

from topwire.catalogue.model import Catalogue
from topwire.show.trellis_drawing import draw_elevation
from topwire.trellis.answer import answer
from topwire.trellis.cases import HAILED
from topwire.trellis.failing import MODEL, Footing, failure_gust
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.gust_load import LOWEST, drag, gust_for, netted_gust_for, profile
from topwire.trellis.kinds import CaseName
from topwire.trellis.known_builds import FULL_CROP, KNOWN, LOAM_SOAKED, KnownBuild
from topwire.trellis.nets import HAIL, hail_on_net, net_of, netted_drag
from topwire.trellis.question import question
from topwire.values.terms import Net


def netted(catalogue: Catalogue, net: str, **more: str) -> TrellisFindings:
    plan, ground, layout, crop = orchard(
        catalogue, length=60.0, width=9.0, units="us", gust="38 m/s", trellis=f"net: {net}", **more
    )
    return answer(question(plan, catalogue, ground, layout, crop))


@given(q=st.floats(1, 3000), even=st.floats(0, 0.6), passes=st.floats(0.4, 1.0))
def test_the_gust_under_a_net_solves_its_equation(q: float, even: float, passes: float) -> None:
    speed = float(netted_gust_for(q, even=even, passes=passes))
    here = float(drag(speed * np.sqrt(profile(LOWEST))))
    assert speed**2 * (even + passes * here) == pytest.approx(q, rel=2e-3)
    if even == 0 and passes == 1:
        assert speed == pytest.approx(float(gust_for(q)), rel=2e-3)


@given(drag_=st.floats(0.25, 0.75))
def test_a_net_never_makes_the_wind_less(drag_: float) -> None:
    bird, hail = (netted_drag(net_of(kind), drag_) for kind in (Net.BIRD, Net.HAIL))
    assert hail > bird > netted_drag(None, drag_) == drag_


def test_two_sheets_of_round_threads() -> None:
    """Drag 1.2 on a quarter of each, the lee one in (1 - 1/4)^2 of the pressure (ASCE7-16, open frames, MEMORY)."""
    net = net_of(Net.HAIL)
    assert net is not None
    assert net.drag == pytest.approx(1.2 * 0.25 * (1 + 0.5625))
    assert netted_drag(net, 0.39) == pytest.approx(0.469 + 0.5625 * 0.39, abs=1e-3)
    assert hail_on_net() == pytest.approx(9.80665 * HAIL)
    assert a_row(net=net).on_net(HAILED) == pytest.approx(hail_on_net())
    assert a_row().on_net(HAILED) == 0


@pytest.mark.parametrize("build", list(KnownBuild))
def test_every_known_build_goes_over_sooner_under_a_net(build: KnownBuild) -> None:
    """As the row did to which shade cloth was added without a new design (reported failure, GFG-2016)."""
    ground = Footing(False, LOAM_SOAKED, 18e3, True)

    def over(net: Net) -> float:
        bay = replace(KNOWN[build].bay, net=net_of(net))
        return float(failure_gust(bay, ground, crop=FULL_CROP, model=MODEL, netted=1.0).first)

    assert over(Net.HAIL) < over(Net.BIRD) < over(Net.NONE)
    down = replace(KNOWN[build].bay, net=net_of(Net.HAIL))
    assert float(failure_gust(down, ground, crop=FULL_CROP, model=MODEL).first) == pytest.approx(
        over(Net.NONE)
    )


def test_a_hail_net_is_up_in_leaf_and_a_bird_net_on_ripe_fruit() -> None:
    hail, bird = net_of(Net.HAIL), net_of(Net.BIRD)
    assert hail is not None
    assert bird is not None
    assert [hail.is_up(leaf=0.35, crop=0), hail.is_up(leaf=1, crop=0.3), hail.is_up(leaf=1, crop=1)] == [
        0,
        1,
        1,
    ]
    assert [bird.is_up(leaf=0.35, crop=0), bird.is_up(leaf=1, crop=0.3), bird.is_up(leaf=1, crop=1)] == [
        0,
        0,
        1,
    ]


def test_a_netted_orchard_costs_more_and_is_told_billed_and_drawn(catalogue: Catalogue) -> None:
    bare, hail = netted(catalogue, "none"), netted(catalogue, "hail")
    assert hail.cost > bare.cost
    for risk in hail.risks:
        assert risk.without_net is not None
        assert risk.in_life > risk.without_net
        assert risk.by_draws == pytest.approx(risk.in_life, rel=0.15, abs=0.01)
    lines = {line.item: line.quantity for line in hail.bill}
    posts = sum(len(row.positions) * len(row.rows) for row in hail.rows)
    assert lines["post cap for a net"] == posts
    assert lines["net tie"] > 0
    assert "net tie" not in {line.item for line in bare.bill}
    cases = {case.case: case for case in hail.rows[0].cases}
    still = cases[CaseName.STILL].tension
    assert cases[CaseName.HAIL].tension > still  # type: ignore[operator]
    assert CaseName.HAIL not in {case.case for case in bare.rows[0].cases}
    assert "hail net hangs over" in said(hail.notices)
    assert "hatched: hail net" in draw_elevation(hail.rows[0])
    assert "hatched" not in draw_elevation(bare.rows[0])
    assert "net_caps" in hail.build_order
