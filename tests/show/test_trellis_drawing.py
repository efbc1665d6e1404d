from dataclasses import replace
from xml.etree import ElementTree

import pytest

from topwire.show.trellis_drawing import Elevation, _end, draw_elevation, draw_end, kinds_of_ends
from topwire.trellis.kinds import EndKind
from topwire.trellis.row_findings import EndDetail, RowTrellis
from topwire.values.units import UnitSystem

END = EndDetail(
    EndKind.TIE_BACK, "pine 140 mm", 0.14, 4.5, 1.3, 17.0, "screw", 2, 3.0, 1.4, 9000.0, 22000.0, 1.5
)
ROW = RowTrellis(
    rows=("South 1",), length=42.0, outer=True, spans=7, post_spacing=6.0, post="pine <120> mm", post_length=4.5,
    post_depth=1.4, end=END, far_end=None, wire="2.5 mm", wire_heights=(0.9, 1.6, 2.3, 3.0), low_wire=0.45,
    pretension=1000.0, crop_per_metre=20.0, loaded_tension=3000.0, share_of_breaking=0.5, sag=0.05, gusts=(), cases=(),
    cost=900.0, positions=tuple(6.0 * i for i in range(8)), trees=tuple(0.5 + i for i in range(42)), post_diameter=0.12,
    lost=(), code_depth=2.6,
    code_force=500.0, ultimate_force=2500.0, design_force=1200.0, force_height=1.9, bill=(), labour_hours=9.0,
    stands=True, creep=None,
)  # fmt: skip


def words(svg: str) -> str:
    return " ".join(text for text in ElementTree.fromstring(svg).itertext() if text.strip())


@pytest.mark.parametrize("end", [END, replace(END, kind=EndKind.H_BRACE, anchor=None)])
def test_a_row_is_drawn_with_every_post_and_its_dimensions(end: EndDetail) -> None:
    said = words(draw_elevation(replace(ROW, end=end)))
    assert "7 spans" in said
    assert said.count("6.00 m") == 2  # the two whole spans of the part shown large
    for height in ("0.45 m", "0.90 m", "3.00 m", "1.40 m"):
        assert height in said
    assert "pine <120> mm" in said


def test_the_end_is_drawn_with_guy_anchor_and_lean() -> None:
    said = words(draw_end(ROW, END))
    assert "2 × screw" in said
    assert "17°" in said
    assert "3.00 m" in said
    braced = replace(END, kind=EndKind.DIAGONAL, anchor=None, strut="pine 160 mm", feet=2)
    assert "strut of pine 160 mm carries" in words(draw_end(ROW, braced))
    assert "2 pads" in words(draw_end(ROW, braced))


def test_a_leaning_end_post_is_drawn_as_deep_as_its_foot_stands() -> None:
    leaning = replace(END, post_depth=1.4, lean=30.0)
    said = words(draw_end(ROW, leaning))
    assert "1.40 m of its 4.50 m in the ground" in said  # along the post
    assert " 1.21 m" in said  # straight down, as frost is held against it
    sheet = Elevation(100.0, 0.0, 0.0)
    _end(sheet, leaning, 3.0)
    assert f'x1="{70 + 70:.1f}" y1="121.2"' in sheet.parts[0]  # 0.70 m into the row


def test_every_kind_of_end_is_drawn_with_its_rows() -> None:
    plumb = replace(END, lean=0.0, anchor="larger screw", anchors_apart=1.02)
    pulled = replace(END, member=9500.0)
    rows = (
        ROW,
        replace(ROW, rows=("South 2", "South 3"), end=plumb),
        replace(ROW, rows=("South 4",), end=pulled, far_end=plumb),
    )
    found = [(title, where, end) for title, where, _, end in kinds_of_ends(rows)]
    assert found == [
        ("End 1 of 2, to build from", "South 1, both of a row alike; South 4, where counting starts", pulled),
        ("End 2 of 2, to build from", "South 2, 3, both of a row alike; South 4, far end", plumb),
    ]
    assert "1.02 m apart" in words(draw_end(rows[1], plumb))
    assert kinds_of_ends((ROW,))[0][0] == "The end, to build from"


def test_a_short_row_is_drawn_with_both_its_ends() -> None:
    short = replace(ROW, length=12.0, spans=2, positions=(0.0, 6.0, 12.0), trees=(3.0, 9.0))
    anchors = draw_elevation(short).count("<title>screw</title>")
    assert anchors == 2  # one at each end, alike
    assert draw_elevation(ROW).count("<title>screw</title>") == 1  # the far end lies outside the part shown
    other = draw_elevation(replace(short, far_end=replace(END, anchor="log")))
    assert other.count("<title>log</title>") == 1


def test_feet_where_feet_are_read() -> None:
    assert "9 ft 10" in words(draw_elevation(ROW, system=UnitSystem.US))
