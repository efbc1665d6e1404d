"""The ground plan: sound SVG, everything named, nothing told by colour alone."""

from collections import Counter
from xml.etree import ElementTree

import numpy as np
import pytest

from topwire.layout.findings import Ground, GroundBlock, GroundRow, Layout, Run, SpacingReason, Walks
from topwire.show.ground_drawing import HATCHES, draw_ground
from topwire.show.ground_views import View, view_of, week_name
from topwire.values.terms import Compass
from topwire.values.units import UnitSystem

SVG = "{http://www.w3.org/2000/svg}"
NAMES = tuple(f"Cultivar {number}" for number in range(12))


def ground() -> Ground:
    rows = tuple(
        GroundRow(
            block="South & East",
            number=n + 1,
            start=(4.0 * n + 3, 5.0),
            end=(4.0 * n + 3, 29.0),
            start_height=0.0,
            end_height=0.0,
            bearing=0.0,
            length=24.0,
            tree_spacing=1.0,
            first_tree=0.5,
            places=24,
            outer=n in (0, 3),
            start_side=Compass.SOUTH,
        )
        for n in range(4)
    )
    block = GroundBlock(
        name="South & East",
        outline=np.array([[0.0, 0.0], [18.0, 0.0], [18.0, 34.0], [0.0, 34.0]]),
        holes=(),
        area=612.0,
        slope=0.05,
        slope_bearing=150.0,
        row_bearing=0.0,
        row_spacing=4.0,
        tree_spacing=1.0,
        rows=rows,
        candidates=(),
        along_fence=False,
        spacing=SpacingReason(True, True, "M.9", "M.9", "tall spindle", 4.0, 4.0, 3.3, 3.9, 4.3),
    )
    n = 96
    return Ground(
        origin_latitude=39.0,
        origin_longitude=-78.0,
        blocks=(block,),
        block=np.zeros(n, dtype=int),
        row=np.repeat(np.arange(4), 24),
        place=np.tile(np.arange(1, 25), 4),
        x=np.repeat([3.0, 7.0, 11.0, 15.0], 24),
        y=np.tile(np.arange(24) + 5.5, 4),
        height=np.zeros(n),
        standing_cultivar=("",) * n,
        standing_rootstock=("",) * n,
        standing_year=np.zeros(n, dtype=int),
        wall_height=3.3,
        obstacles=(np.array([[1.0, 31.0], [2.0, 31.0], [2.0, 32.0]]),),
        gate=(0.0, 0.0),
        notices=(),
    )


def layout() -> Layout:
    kind = np.repeat(np.arange(12), 8)
    kind[-3:] = -1
    n = kind.size
    return Layout(
        cultivars=NAMES,
        codes=tuple(f"C{number:02d}" for number in range(12)),
        cultivar=kind,
        rootstock=("M.9",) * 12,
        year_planted=np.where(kind < 0, 0, np.where(kind < 4, 2019, 2027)),
        standing=kind < 4,
        longitude=np.zeros(n),
        latitude=np.zeros(n),
        along_row=np.tile(np.arange(24) + 0.5, 4),
        pollen=np.linspace(0.5, 5, n),
        donors_in_reach=np.full(n, 3),
        pollen_chance=np.full(n, 0.8),
        pollen_without_best=np.full(n, 1.0),
        known_donor=kind >= 0,
        runs=(Run("South & East", 1, 1, 8, "Cultivar 0"),),
        walks=Walks(1.0, 1.5, 1.8, 2.0),
        gaps=(),
        hours=None,
        tried=0,
        exact=True,
        pollen_good_years=1.0,
        early_above=0.4,
        asked="",
        from_last=False,
        moved=(),
        notices=(),
    )


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("system", list(UnitSystem))
def test_every_view_is_sound_and_names_what_it_shows(view: View, system: UnitSystem) -> None:
    root = ElementTree.fromstring(draw_ground(ground(), layout(), view=view, system=system))
    titles = [node.text or "" for node in root.iter(f"{SVG}title")]
    assert any(title.startswith("South & East 1, trees 1 to") for title in titles)
    assert {"gate", "scale", "north is up", "kept clear"} <= set(titles)
    assert any("falls" in title for title in titles)
    texts = [node.text or "" for node in root.iter(f"{SVG}text")]
    assert {"1", "2", "3", "4", "N", "gate"} <= set(texts)
    unit = "ft" if system is UnitSystem.US else "m"
    assert any(text.split()[-1:] == [unit] for text in texts)


@pytest.mark.parametrize("view", list(View))
def test_the_legend_tells_signs_apart_without_colour(view: View) -> None:
    found = view_of(view, ground(), layout(), None, None)
    signs = [item.sign for item in found.classes]
    assert len(set(signs)) == len(signs)
    assert sum(item.trees for item in found.classes) == 93
    texts = [
        node.text
        for node in ElementTree.fromstring(draw_ground(ground(), layout(), view=view)).iter(f"{SVG}text")
    ]
    for item in found.classes:
        assert f"{item.name} ({item.trees})" in texts
        # in the legend and on the map
        assert Counter(texts)[item.sign] >= 2


def test_hatching_differs_between_neighbours_of_the_legend() -> None:
    found = draw_ground(ground(), layout())
    for number in range(1, HATCHES):
        assert f'id="h{number}"' in found
        assert f"url(#h{number})" in found


def test_a_map_without_layout_shows_every_place() -> None:
    root = ElementTree.fromstring(draw_ground(ground()))
    assert len(list(root.iter(f"{SVG}circle"))) == 96 + 1  # and the dot of one hatching


def test_everything_stays_on_the_page() -> None:
    root = ElementTree.fromstring(draw_ground(ground(), layout()))
    _, _, width, height = (float(value) for value in root.attrib["viewBox"].split())
    for node in root.iter(f"{SVG}text"):
        assert 0 <= float(node.attrib["x"]) <= width
        assert 0 <= float(node.attrib["y"]) <= height


def test_weeks_are_named_by_their_days() -> None:
    assert week_name(1) == "week 1, 1 Jan to 7 Jan"
    assert week_name(35) == "week 35, 27 Aug to 2 Sep"
