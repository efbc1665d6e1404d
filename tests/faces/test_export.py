"""The files of out/: read back by other programs, harmless, whole or absent, the same again."""

import csv
import io
import json
import re
from dataclasses import replace
from datetime import date
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import vobject
from faces import invented
from geojson import loads as parse_geojson
from icalendar import Calendar
from openpyxl import Workbook, load_workbook
from pydantic import TypeAdapter
from shapely.geometry import shape

from topwire.engine.orchard import Orchard
from topwire.export import files
from topwire.export.calendar_file import calendar
from topwire.export.comma import csv_bytes
from topwire.export.files import FILES
from topwire.export.geography import geojson, ring
from topwire.export.map_items import map_items
from topwire.export.spreadsheet import spreadsheet
from topwire.plan.standing import parse_standing
from topwire.show.tables import every_table
from topwire.values.address import TreeAddress


def read_csv(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline="")))


def test_all_files_are_written(out: Path) -> None:
    found = {str(path.relative_to(out)) for path in out.rglob("*") if path.is_file()}
    assert found == {*FILES, "manifest.json"}


def test_every_file_stands_in_the_manual() -> None:
    text = (Path(__file__).parents[2] / "docs/outputs.md").read_text(encoding="utf-8")
    for name in FILES:
        assert f"`{name}`" in text


def test_trees_by_line(out: Path, orchard: Orchard) -> None:
    layout, ground = orchard.layout, orchard.ground
    assert layout is not None
    assert ground is not None
    rows = read_csv(out / "trees.csv")
    assert len(rows) == ground.capacity
    assert [row["address"] for row in rows] == [
        str(ground.address(index)) for index in range(ground.capacity)
    ]
    assert sum(row["cultivar"] != "" for row in rows) == 116
    assert float(rows[1]["from the start post (ft)"]) == pytest.approx(1.4 / 0.3048, abs=0.005)


def test_cultivars_are_told_with_what_is_picked_for_each_use(out: Path, orchard: Orchard) -> None:
    assert orchard.choice is not None
    first, line = read_csv(out / "cultivars.csv")[0], orchard.choice.chosen[0]
    for use, kg in line.uses.items():
        assert float(first[f"picked for {use} (lb in the mean year)"]) == pytest.approx(
            kg / 0.45359237, abs=0.05
        )


def test_a_name_that_looks_like_a_formula_is_harmless_in_csv() -> None:
    text = csv_bytes(("a", "b"), [("=1+1", -3.5), ("@SUM(A1)", None), ("-x", float("nan"))]).decode(
        "utf-8-sig"
    )
    assert text.splitlines()[1:] == ["'=1+1,-3.5", "'@SUM(A1),", "'-x,"]


def test_the_spreadsheet_reads_back(out: Path, orchard: Orchard) -> None:
    book = load_workbook(out / "orchard.xlsx")
    names = [table.name.replace(".", " ")[:31] for table in every_table(orchard)]
    assert book.sheetnames == ["contents", *names, "layout trees"]
    assert [row[0].value for row in book["contents"].iter_rows(min_row=2)] == book.sheetnames[1:]
    sheet = book["layout trees"]
    captions = [cell.value for cell in sheet[1]]
    assert "from the start post (ft)" in captions
    found = {row[captions.index("cultivar")].value for row in sheet.iter_rows(min_row=2)}
    assert "=Dabinett" in found  # whole, as a word


def test_every_worksheet_is_one_table_that_can_be_filtered(out: Path) -> None:
    for sheet in load_workbook(out / "orchard.xlsx"):
        assert sheet.freeze_panes == "B2"
        assert sheet.auto_filter.ref
        assert all(cell.value for cell in sheet[1]), sheet.title


def test_no_word_becomes_a_formula_or_a_link(out: Path) -> None:
    """Formulas are ours alone: of cells, signs and sums."""
    for sheet in load_workbook(out / "orchard.xlsx"):
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    assert FORMULA.fullmatch(cell.value), f"{sheet.title} {cell.coordinate}"
                assert cell.hyperlink is None


def test_sums_are_formulas_that_bring_out_the_plans_figures(out: Path, orchard: Orchard) -> None:
    """Each is worked out again from the cells it names, which may themselves be formulas."""
    book, kept = (load_workbook(out / "orchard.xlsx", data_only=only) for only in (False, True))
    seen: dict[str, int] = {}
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    seen[sheet.title] = seen.get(sheet.title, 0) + 1
                    assert reckoned(book, sheet.title, cell.coordinate) == pytest.approx(
                        kept[sheet.title][cell.coordinate].value, rel=1e-9, abs=1e-9
                    ), f"{sheet.title} {cell.coordinate}"
    assert orchard.trellis is not None
    assert seen["trellis bill"] >= len([line for line in orchard.trellis.bill if line.price is not None]) + 1
    assert {"water bill", "ledger establishment", "ledger hours", "ledger years"} <= set(seen)
    for name in ("trellis bill", "ledger establishment", "ledger hours", "layout hours"):
        sheet = book[name]
        last = [cell.value for cell in sheet[sheet.max_row]]
        assert last[0] == "together"
        assert any(str(value).startswith("=SUM(") for value in last[1:]), name


def test_a_change_of_price_reaches_the_sums(out: Path) -> None:
    book = load_workbook(out / "orchard.xlsx")
    bill = book["trellis bill"]
    captions = [str(cell.value).split(",")[0] for cell in bill[1]]
    each, cost, quantity = (captions.index(name) + 1 for name in ("each", "cost", "quantity"))
    foot = f"{chr(64 + cost)}{bill.max_row}"
    before = reckoned(book, bill.title, foot)
    line = next(at for at in range(2, bill.max_row) if bill.cell(at, cost).data_type == "f")
    bill.cell(line, each).value += 1.0
    assert reckoned(book, bill.title, foot) == pytest.approx(before + bill.cell(line, quantity).value)


CELL = r"(?:'[a-z ]+'!)?[A-Z]\d+"
FORMULA = re.compile(rf"=(?:SUM\([A-Z]\d+:[A-Z]\d+\)|{CELL}(?:[-+*]{CELL})*)")


def reckoned(book: Workbook, title: str, at: str) -> float:
    """A cell's figure, worked out by the formulas alone; of sums, differences and products."""
    value = book[title][at].value
    if not isinstance(value, str):
        return float(value or 0.0)
    if not value.startswith("="):
        return 0.0  # a word counts nothing in a sum
    if value.startswith("=SUM("):
        return sum(reckoned(book, title, cell.coordinate) for row in book[title][value[5:-1]] for cell in row)
    found, sign = None, "+"
    for part in re.findall(rf"{CELL}|[-+*]", value[1:]):
        if part in "-+*":
            sign = part
            continue
        other, _, cell = part.rpartition("!")
        figure = reckoned(book, other.strip("'") or title, cell)
        found = (
            figure
            if found is None
            else found * figure
            if sign == "*"
            else found + figure
            if sign == "+"
            else found - figure
        )
    assert found is not None
    return found


def test_figures_stay_numbers_in_the_spreadsheet(out: Path) -> None:
    sheet = load_workbook(out / "orchard.xlsx")["nursery grafts"]
    captions = [cell.value for cell in sheet[1]]
    row = [cell.value for cell in sheet[2]]
    assert row[captions.index("chance of enough, %")] == pytest.approx(95.3)


def test_the_same_spreadsheet_again(orchard: Orchard) -> None:
    assert spreadsheet(orchard) == spreadsheet(orchard)


class TestGeography:
    """RFC 7946."""

    @pytest.fixture(scope="class")
    @staticmethod
    def collection(out: Path) -> dict[str, object]:
        found: dict[str, object] = json.loads((out / "ground.geojson").read_text(encoding="utf-8"))
        return found

    @staticmethod
    def of(collection: dict[str, object], kind: str) -> list[dict[str, object]]:
        features = collection["features"]
        assert isinstance(features, list)
        return [feature for feature in features if feature["properties"]["kind"] == kind]

    def test_is_a_feature_collection_without_a_reference_system(self, collection: dict[str, object]) -> None:
        assert collection["type"] == "FeatureCollection"  # section 3.3
        assert "crs" not in collection  # section 4: WGS 84, none may be named
        features = collection["features"]
        assert isinstance(features, list)
        for feature in features:
            assert set(feature) == {"type", "geometry", "properties"}  # section 3.2

    def test_positions_are_longitude_then_latitude(self, collection: dict[str, object]) -> None:
        for tree in self.of(collection, "tree"):  # section 3.1.1
            longitude, latitude = tree["geometry"]["coordinates"]  # type: ignore[index]
            assert longitude == pytest.approx(-78.16, abs=0.01)
            assert latitude == pytest.approx(39.18, abs=0.01)

    def test_rings_are_closed_and_right_handed(self, collection: dict[str, object]) -> None:
        (block,) = self.of(collection, "block")
        (outer,) = block["geometry"]["coordinates"]  # type: ignore[index]
        assert outer[0] == outer[-1]  # section 3.1.6: first and last position are equal
        assert len(outer) >= 4
        assert _signed_area(outer) > 0  # exterior rings are counter-clockwise

    @pytest.mark.parametrize("turned", [False, True])
    @pytest.mark.parametrize("hole", [False, True])
    def test_right_hand_rule_whatever_way_it_was_walked(self, turned: bool, hole: bool) -> None:
        corners = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [0.0, 20.0]])
        found = ring(corners[::-1] if turned else corners, hole=hole).tolist()
        assert (_signed_area(found) < 0) == hole
        assert found[0] == found[-1]

    def test_trees_stand_where_the_layout_has_them(
        self, collection: dict[str, object], orchard: Orchard
    ) -> None:
        assert orchard.layout is not None
        assert len(self.of(collection, "tree")) == int((orchard.layout.cultivar >= 0).sum())

    def test_every_layer_is_there(self, collection: dict[str, object]) -> None:
        features = collection["features"]
        assert isinstance(features, list)
        kinds = {feature["properties"]["kind"] for feature in features}
        assert {"block", "corner", "row", "tree", "end post", "line post", "anchor"} <= kinds
        tree = self.of(collection, "tree")[0]["properties"]
        wanted = {"code", "cultivar", "rootstock", "row", "place", "bloom_week", "harvest_week", "donors"}
        assert wanted <= set(tree)  # type: ignore[call-overload]

    def test_another_library_finds_it_valid(self, out: Path) -> None:
        """Beside the rules of RFC 7946 as the geojson library has them."""
        read = parse_geojson((out / "ground.geojson").read_text(encoding="utf-8"))
        assert read.is_valid
        assert not [feature.errors() for feature in read.features if feature.errors()]

    def test_every_geometry_is_valid(self, collection: dict[str, object]) -> None:
        """Beside a geometry library's own reading of GeoJSON: shapely (GEOS)."""
        features = collection["features"]
        assert isinstance(features, list)
        assert all(shape(feature["geometry"]).is_valid for feature in features)


def test_two_anchors_of_an_end_are_two_points(orchard: Orchard) -> None:
    assert orchard.trellis is not None
    (design,) = orchard.trellis.rows
    both = replace(design, end=replace(design.end, anchors=2, anchors_apart=1.02))
    changed = replace(orchard, trellis=replace(orchard.trellis, rows=(both,)))
    points = [item for item in map_items(changed) if item.layer == "anchor"]
    points = [item for item in points if item.properties["row"] == "South 1"]
    assert [item.name for item in points] == [
        f"South 1, {side} anchor {number}" for side in ("start", "end") for number in (1, 2)
    ]
    for one, other in (points[:2], points[2:]):
        assert np.hypot(*(one.points - other.points)[0]) == pytest.approx(1.02)


@pytest.mark.parametrize("longitude", [179.9999, -179.9999])
def test_what_crosses_the_180th_meridian_is_cut_there(orchard: Orchard, longitude: float) -> None:
    """RFC 7946, section 3.1.9: cut so that neither part crosses it."""
    ground = orchard.ground
    assert ground is not None
    block = np.array([[-30.0, 0.0], [30.0, 0.0], [30.0, 40.0], [-30.0, 40.0]])
    pond = np.array([[-5.0, 10.0], [25.0, 10.0], [25.0, 20.0], [-5.0, 20.0]])
    moved = replace(
        ground, origin_longitude=longitude, blocks=(replace(ground.blocks[0], outline=block, holes=(pond,)),)
    )
    document = json.loads(geojson(replace(orchard, ground=moved)))
    for feature in document["features"]:
        drawn = shape(feature["geometry"])
        assert drawn.is_valid
        for part in getattr(drawn, "geoms", [drawn]):
            west, _, east, _ = part.bounds
            assert -180 <= west <= east <= 180
            assert east - west < 1
    area = shape(next(f["geometry"] for f in document["features"] if f["properties"]["kind"] == "block"))
    degree = 111_320 * np.cos(np.radians(ground.origin_latitude))
    assert area.area * degree * 110_990 == pytest.approx(60 * 40 - 30 * 10, rel=0.01)


def test_waypoints_are_gpx(out: Path, orchard: Orchard) -> None:
    """GPX 1.1: latitude and longitude as attributes, waypoints before routes, a name first (schema of topografix)."""
    root = ElementTree.parse(out / "ground.gpx").getroot()
    name = "{http://www.topografix.com/GPX/1/1}"
    assert root.tag == f"{name}gpx"
    assert root.get("version") == "1.1"
    assert root.get("creator")
    tags = [child.tag.removeprefix(name) for child in root]
    assert tags == sorted(tags, key=("metadata", "wpt", "rte").index)
    assert orchard.ground is not None
    rows = sum(len(block.rows) for block in orchard.ground.blocks)
    assert tags.count("rte") == rows
    for point in root.iter(f"{name}wpt"):
        assert abs(float(point.get("lat", "nan")) - orchard.ground.origin_latitude) < 0.05
        assert next(child.tag.removeprefix(name) for child in point) == "name"


def test_the_drawing_reads_back(out: Path, orchard: Orchard) -> None:
    """Group codes of DXF release 12 (Autodesk's reference): pairs of lines, sections closed, every layer declared."""
    lines = (out / "ground.dxf").read_text(encoding="ascii").split("\n")
    assert lines.pop() == ""
    pairs = list(zip((int(line) for line in lines[::2]), lines[1::2], strict=True))
    words = [value for code, value in pairs if code == 0]
    assert words.count("SECTION") == words.count("ENDSEC")
    assert words[-1] == "EOF"
    assert words.count("POLYLINE") == words.count("SEQEND")
    at = words.index("ENDTAB")
    declared = {value for code, value in pairs[: [v for _, v in pairs].index("ENTITIES")] if code == 2}
    assert {value for code, value in pairs if code == 8} <= declared
    assert at < len(words)
    assert orchard.layout is not None
    trees = [k for k, pair in enumerate(pairs) if pair == (8, "TREE")]
    assert len(trees) == int((orchard.layout.cultivar >= 0).sum())
    first = int(np.flatnonzero(orchard.layout.cultivar >= 0)[0])
    assert orchard.ground is not None
    assert float(pairs[trees[0] + 1][1]) == pytest.approx(orchard.ground.x[first], abs=1e-4)
    assert float(pairs[trees[0] + 2][1]) == pytest.approx(orchard.ground.y[first], abs=1e-4)


def _signed_area(positions: list[list[float]]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(positions)) / 2


class TestCalendar:
    """RFC 5545."""

    def test_parses_back_with_what_the_standard_wants(self, out: Path, orchard: Orchard) -> None:
        found = Calendar.from_ical((out / "calendar.ics").read_bytes())
        assert found["version"] == "2.0"  # section 3.7.4
        assert found["prodid"]  # section 3.7.3
        events = found.walk("VEVENT")
        assert len(events) == 4
        assert len({str(event["uid"]) for event in events}) == 4  # section 3.8.4.7: unique
        for event in events:
            assert event["dtstamp"]  # section 3.6.1: required
        plant = next(event for event in events if str(event["summary"]) == "plant")
        assert plant["dtstart"].dt == date(2027, 11, 1)
        assert plant["dtend"].dt == date(2027, 11, 21)  # section 3.6.1: the end is not part of the event
        assert "above the soil; water in" in str(plant["description"])

    def test_lines_are_folded_and_end_as_they_must(self, out: Path) -> None:
        content = (out / "calendar.ics").read_bytes()
        assert content.count(b"\n") == content.count(b"\r\n")  # section 3.1
        assert all(len(line) <= 75 for line in content.split(b"\r\n"))

    def test_an_entry_that_moves_keeps_its_uid(self, orchard: Orchard) -> None:
        from dataclasses import replace

        ledger = orchard.ledger
        assert ledger is not None
        moved = replace(ledger.calendar[0], start="2027-11-08", end="2027-11-25")
        later = replace(orchard, ledger=replace(ledger, calendar=(moved, *ledger.calendar[1:])))
        assert _uids(calendar(later)) == _uids(calendar(orchard))
        assert calendar(later) != calendar(orchard)

    def test_another_library_finds_it_valid(self, orchard: Orchard) -> None:
        """vobject knows which properties RFC 5545 wants once, at least once, or never."""
        found = vobject.readOne(calendar(orchard).decode())
        assert found.validate(raiseException=True)
        ledger = orchard.ledger
        assert ledger is not None
        assert len(found.vevent_list) == len(ledger.calendar)
        for event in found.vevent_list:
            assert event.validate(raiseException=True)
            assert event.dtend.value > event.dtstart.value

    def test_a_second_import_updates_and_adds_nothing(self, orchard: Orchard) -> None:
        from dataclasses import replace

        ledger = orchard.ledger
        assert ledger is not None
        moved = tuple(replace(job, end="2040-12-31") for job in ledger.calendar)
        later = replace(orchard, ledger=replace(ledger, calendar=moved))
        kept: dict[str, object] = {}
        for content in (calendar(orchard), calendar(later)):
            kept |= {event.uid.value: event for event in vobject.readOne(content.decode()).vevent_list}
        assert len(kept) == len(ledger.calendar)

    def test_cautions_travel_along(self, out: Path) -> None:
        events = Calendar.from_ical((out / "calendar.ics").read_bytes()).walk("VEVENT")
        assert any("Caution: Ladders" in str(event["description"]) for event in events)


def _uids(content: bytes) -> dict[str, str]:
    return {str(event["summary"]): str(event["uid"]) for event in Calendar.from_ical(content).walk("VEVENT")}


def test_the_map_is_well_formed(out: Path) -> None:
    assert ElementTree.parse(out / "ground.svg").getroot().tag.endswith("svg")


def test_the_whole_result_reads_back(out: Path, orchard: Orchard) -> None:
    back = TypeAdapter(Orchard).validate_json((out / "orchard.json").read_bytes())
    assert back.origin == orchard.origin
    assert back.layout is not None
    assert orchard.layout is not None
    assert np.array_equal(back.layout.cultivar, orchard.layout.cultivar)


def test_what_was_not_computed_is_not_written(orchard: Orchard) -> None:
    made = files.writers(invented.without(orchard, "nursery"))
    assert made["grafts.csv"]() is None
    assert made["bill_water.csv"]()


def test_a_block_in_two_parts_with_a_hole_is_valid(orchard: Orchard) -> None:
    """Beside a geometry library's own reading of GeoJSON: shapely (GEOS)."""
    ground = orchard.ground
    assert ground is not None
    near = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 20.0], [0.0, 20.0]])
    far, pond = near + np.array([100.0, 0.0]), near / 4 + np.array([105.0, 5.0])
    block = replace(ground.blocks[0], outline=near, further_outlines=(far,), holes=(pond,))
    document = json.loads(geojson(replace(orchard, ground=replace(ground, blocks=(block,)))))
    found = next(feature for feature in document["features"] if feature["properties"]["kind"] == "block")
    drawn = shape(found["geometry"])
    assert drawn.is_valid
    assert [len(part.interiors) for part in drawn.geoms] == [0, 1]


def test_trees_csv_is_read_back_as_planted(out: Path, orchard: Orchard) -> None:
    layout, ground = orchard.layout, orchard.ground
    assert layout is not None
    assert ground is not None
    text = (out / "trees.csv").read_text(encoding="utf-8-sig")
    found = parse_standing(
        text,
        "planted.csv",
        cultivars=layout.cultivars,
        rootstocks=set(layout.rootstock),
        blocks=[block.name for block in ground.blocks],
        catalogue_name=str,
    )
    there = np.flatnonzero(layout.cultivar >= 0)
    assert [TreeAddress(tree.block, tree.row, tree.place) for tree in found] == [
        ground.address(int(index)) for index in there
    ]
    assert [tree.cultivar for tree in found] == [layout.cultivars[kind] for kind in layout.cultivar[there]]
    assert {tree.year for tree in found} == {2027}
