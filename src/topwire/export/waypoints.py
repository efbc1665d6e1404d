"""Waypoints for a phone or a hand-held receiver: GPX 1.1 with corners, row ends, gate and valves; rows as routes."""

from xml.etree import ElementTree as Xml

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.export.comma import needed
from topwire.export.map_items import MapItem, map_items
from topwire.layout.findings import Ground
from topwire.layout.projection import to_degrees

NAMESPACE = "http://www.topografix.com/GPX/1/1"
POINTS = ("corner", "gate", "end post", "source pipe", "source", "valve", "drain")
DIGITS = 7


def gpx(orchard: Orchard) -> bytes:
    """One file; a receiver finds a point to a few metres, so that stakes are set by tape and not by it.

    Raises
    ------
    Absent
        When the ground was not computed.
    """
    ground = needed(orchard.ground, "ground")
    items = list(map_items(orchard))
    root = Xml.Element("gpx", {"version": "1.1", "creator": "topwire", "xmlns": NAMESPACE})
    head = Xml.SubElement(root, "metadata")
    Xml.SubElement(head, "name").text = orchard.origin.name
    Xml.SubElement(head, "desc").text = "Accurate to the receiver alone: a few metres. Set stakes by tape."
    rows = [item for item in items if item.layer == "row"]
    ends = {item.properties["row"] for item in items if item.layer == "end post"}
    for item in items:
        if item.layer in POINTS:
            _point(root, "wpt", ground, item, 0, item.name, item.layer)
    for row in rows:
        if row.name not in ends:  # no trellis was sized: the row's ends stand for its posts
            _point(root, "wpt", ground, row, 0, f"{row.name} start", "row end")
            _point(root, "wpt", ground, row, 1, f"{row.name} end", "row end")
    for row in rows:
        route = Xml.SubElement(root, "rte")
        Xml.SubElement(route, "name").text = row.name
        _point(route, "rtept", ground, row, 0, f"{row.name} start", "")
        _point(route, "rtept", ground, row, 1, f"{row.name} end", "")
    Xml.indent(root)
    return bytes(Xml.tostring(root, encoding="utf-8", xml_declaration=True)) + b"\n"


def _point(
    parent: Xml.Element, tag: str, ground: Ground, item: MapItem, number: int, name: str, kind: str
) -> None:
    east, north = (float(value) for value in item.points[number])
    longitude, latitude = to_degrees(
        np.array(east), np.array(north), origin=(ground.origin_longitude, ground.origin_latitude)
    )
    found = Xml.SubElement(
        parent, tag, {"lat": f"{float(latitude):.{DIGITS}f}", "lon": f"{float(longitude):.{DIGITS}f}"}
    )
    Xml.SubElement(found, "name").text = name
    if kind:
        Xml.SubElement(found, "type").text = kind
