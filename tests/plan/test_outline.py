"""An outline's file held against what an outline can be."""

import json
from typing import Any

import pytest

from topwire.plan.outline import outline_of

PLACE = (-78.16, 39.18)
RING = [[-78.16, 39.18], [-78.159, 39.18], [-78.159, 39.181], [-78.16, 39.181], [-78.16, 39.18]]


def polygon(ring: Any = None, **members: Any) -> dict[str, Any]:
    return {"type": "Polygon", "coordinates": [RING if ring is None else ring], **members}


def told(document: Any) -> str:
    text = document if isinstance(document, str) else json.dumps(document)
    _, faults, _ = outline_of(text, "plan.yaml, ground", "yard.geojson", PLACE)
    return "; ".join(map(str, faults))


def test_a_sound_outline_is_taken_with_its_ground() -> None:
    document, faults, area = outline_of(json.dumps(polygon()), "plan.yaml", "yard.geojson", PLACE)
    assert document == polygon()
    assert not faults
    assert area == pytest.approx(
        86.3 * 111.3, rel=0.01
    )  # a thousandth of a degree each way at 39 degrees north


@pytest.mark.parametrize(
    ("document", "says"),
    [
        ({"type": "Polygon", "coordinates": [[]]}, "for a ring a list is wanted that is not empty"),
        ({"type": "Polygon", "coordinates": [[[]]]}, "a corner is two numbers"),
        ({"type": "Polygon"}, "coordinates a list is wanted that is not empty"),
        (polygon([[1e308, 0], [0, 1], [1, 1]]), "beyond 10,000,000"),
        ('{"type": "Polygon", "coordinates": [[[NaN, 0], [0, 1], [1, 1]]]}', "NaN is no coordinate"),
        (polygon([["a", "b"], [0, 1], [1, 1]]), "a corner is two numbers"),
        (polygon([[True, False], [0, 1], [1, 1]]), "a corner is two numbers"),
        (polygon([[0, 0], [1, 1], [0, 0], [1, 1]]), "fewer than three corners"),
        (polygon([[0, 0], [50, 0], [50, 40], [0, 40]], units="feet"), "units “feet” are not read"),
        (polygon([[500_000, 4_300_000], [500_090, 4_300_000], [500_090, 4_300_100]]), "are no degrees"),
        (polygon(units="metres"), "degrees by the look of them"),
        (polygon([[0, 0], [90_000, 0], [90_000, 90_000]], units="m"), "outlines up to 30 km are read"),
        (polygon([[-78.2, 39.0], [-77.0, 39.0], [-77.0, 40.0]]), "outlines up to 30 km are read"),
        (polygon(crs={"properties": {"name": "EPSG:32617"}}), "not longitude and latitude"),
        ("[" * 100_000, "too deep"),
        ("[" + "9" * 5000 + "]", "too many digits"),
        ([1, 2], "should be an object"),
        ({"type": "Point", "coordinates": [0, 0]}, "no Polygon"),
        (polygon([[index / 1e6, index % 7 / 1e3] for index in range(21_000)]), "more than 20,000 corners"),
    ],
)
def test_what_cannot_be_is_told(document: Any, says: str) -> None:
    assert says in told(document)
