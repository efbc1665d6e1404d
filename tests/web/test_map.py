"""The map's data are those of the layout; a tree and a cultivar are found by what people type."""

from datetime import date, timedelta
from html import unescape
from pathlib import Path

import numpy as np
from faces import invented
from web.desk import Browser

from topwire.records.entries import FruitPicked, TreeChanged, TreeEvent, TrunkMeasured
from topwire.records.store import open_store
from topwire.show.ground_views import View


def test_the_map_holds_every_tree_in_every_view(browser: Browser) -> None:
    found = browser.get("/map.json").json()
    orchard = invented.orchard()
    assert orchard.layout is not None
    assert orchard.ground is not None
    planted = np.flatnonzero(orchard.layout.cultivar >= 0)
    assert len(found["x"]) == planted.size > 0
    assert found["x"] == np.round(orchard.ground.x[planted], 2).tolist()
    assert [view["key"] for view in found["views"]] == [view.name.lower() for view in View]
    for view in found["views"]:
        counts = np.bincount([number for number in view["of"] if number >= 0], minlength=len(view["classes"]))
        assert counts.tolist() == [one["trees"] for one in view["classes"]]
        assert len({(one["colour"], one["hatch"]) for one in view["classes"]}) == len(view["classes"])


def test_the_map_tells_what_was_noted_of_each_tree(desk: Browser, yard: Path) -> None:
    orchard = invented.orchard()
    assert orchard.layout is not None
    assert orchard.ground is not None
    layout, ground = orchard.layout, orchard.ground
    planted = np.flatnonzero(layout.cultivar >= 0)

    def told() -> list[str]:
        found = desk.get("/map-records.json").json()
        assert [one["trees"] for one in found["classes"]] == [
            found["of"].count(n) for n in range(len(found["classes"]))
        ]
        return [found["classes"][number]["name"] for number in found["of"]]

    assert set(told()) == {"nothing noted"}
    dead, seen, back = (ground.address(int(index)) for index in planted[:3])
    name = layout.cultivars[layout.cultivar[planted[-1]]]
    day = date(2031, 9, 14)
    with open_store(yard) as store:
        store.append([
            TreeChanged(day=day, event=TreeEvent.DIED, block=dead.block, row=dead.row, place=dead.place),
            TreeChanged(day=day, event=TreeEvent.DIED, block=back.block, row=back.row, place=back.place),
            TreeChanged(
                day=day + timedelta(9), event=TreeEvent.REPLACED, block=back.block, row=back.row, place=back.place
            ),
            TrunkMeasured(day=day, diameter=0.02, block=seen.block, row=seen.row, place=seen.place),
            FruitPicked(day=day, cultivar=name, mass=20.0),
        ])  # fmt: skip
    found = told()
    assert found[:3] == ["died or removed", "a note of this very tree", "replaced or re-grafted"]
    for index, says in zip(planted[3:], found[3:], strict=True):
        of_it = layout.cultivars[layout.cultivar[index]] == name
        assert says == ("picked: its row or cultivar" if of_it else "nothing noted")


def test_a_tree_is_found_by_its_address_however_typed(browser: Browser) -> None:
    orchard = invented.orchard()
    assert orchard.ground is not None
    assert orchard.layout is not None
    first = int(np.flatnonzero(orchard.layout.cultivar >= 0)[0])
    address = orchard.ground.address(first)
    cultivar = orchard.layout.cultivars[orchard.layout.cultivar[first]]
    for typed in (str(address), str(address).lower(), f"{address.block} {address.row} {address.place}"):
        answer = browser.get("/tree", params={"at": typed})
        assert answer.status_code == 200, typed
        assert f"<h1>{address}</h1>" in unescape(answer.text)
        assert cultivar in answer.text
    assert browser.get("/tree", params={"at": "Nowhere 9, tree 9"}).status_code == 404
    assert browser.get("/tree", params={"at": cultivar.lower()}).url.path == "/cultivar"
    assert "<html" not in browser.get("/tree", params={"at": str(address), "part": "1"}).text


def test_a_cultivars_page_gathers_every_line_that_leads_to_it(browser: Browser) -> None:
    orchard = invented.orchard()
    assert orchard.choice is not None
    name = orchard.choice.chosen[0].name
    said = unescape(browser.get("/cultivar", params={"name": name}).text)
    assert "Bloom and harvest through the year" in said
    assert said.count("<section") >= 3
    assert browser.get("/cultivar", params={"name": "<script>"}).status_code == 404


def test_what_the_map_shows_stands_in_tables(browser: Browser) -> None:
    for name in ("layout.trees", "layout.weeks"):
        assert browser.get(f"/sheet/{name}").status_code == 200
        assert browser.get(f"/sheet/{name}.csv").status_code == 200
    for view in View:
        assert "<svg" in browser.get(f"/picture/map-{view.name.lower()}.svg").text
        assert f"map-{view.name.lower()}" in browser.get(f"/ground?by={view.name.lower()}").text
