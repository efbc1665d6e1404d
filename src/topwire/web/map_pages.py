"""The map's data, a tree by its address, a cultivar with everything the Sheets say of it."""

import json
import re
from dataclasses import dataclass, replace
from difflib import get_close_matches
from urllib.parse import quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from topwire.engine.orchard import Orchard
from topwire.records.entries import TreeChanged
from topwire.records.opening import NotSaved
from topwire.records.store import open_store
from topwire.show.ground_map import map_data, view_data
from topwire.show.noted_view import noted_view
from topwire.show.sheet import Linked, LinkKind, Sheet, StandsIn, Value
from topwire.show.tree_sheet import StandingThere, cultivar_weeks_sheet, tree_sheet, trees
from topwire.values.address import TreeAddress, row_name
from topwire.web.face import Face
from topwire.web.sheet_view import Shown, view

_ADDRESS = re.compile(r"^\s*(.+?)\s*[, ]\s*(\d+)\s*[,;]?\s*(?:tree|place|t|-|/)?\s*(\d+)\s*$", re.IGNORECASE)


@dataclass(frozen=True)
class StandsAt:
    """Neighbouring trees of a cultivar: what it says, and its first tree's address."""

    says: str
    tree: str


class MapPages:
    def __init__(self, face: Face) -> None:
        self._face = face
        self._kept: tuple[str, bytes] = ("", b"")
        self._trees: tuple[str, dict[str, StandingThere]] = ("", {})

    def routes(self) -> list[Route]:
        return [
            Route("/map.json", self.data),
            Route("/map-records.json", self.noted),
            Route("/tree", self.tree),
            Route("/cultivar", self.cultivar),
        ]

    def data(self, request: Request) -> Response:
        orchard, key = self._orchard(request)
        if self._kept[0] != key:
            found = map_data(orchard)
            if found is None:
                raise HTTPException(404, "There is no map yet.")
            self._kept = (key, json.dumps(found, separators=(",", ":")).encode())
        return Response(
            self._kept[1], media_type="application/json", headers={"cache-control": "private, max-age=3600"}
        )

    def noted(self, request: Request) -> Response:
        """The map's view of the records, asked apart: it changes with every note."""
        orchard, _ = self._orchard(request)
        ground, layout = orchard.ground, orchard.layout
        if ground is None or layout is None:
            raise HTTPException(404, "There is no map yet.")
        try:
            with open_store(self._face.desk.folder, make=False) as store:
                touched, changes = store.touched(), store.entries(TreeChanged)
        except (FileNotFoundError, NotSaved):
            touched, changes = frozenset(), ()
        found = noted_view(ground, layout, touched, changes)
        return JSONResponse(
            view_data("records", "records", found, layout), headers={"cache-control": "no-store"}
        )

    def tree(self, request: Request) -> Response:
        """One tree; what was typed may be loose: “south 3 41”, or a cultivar's name."""
        said = request.query_params.get("at", "").strip()[:120]
        orchard, key = self._orchard(request)
        known = self._known(orchard, key)
        address = _meant(said, known)
        if address is None:
            names = orchard.layout.cultivars if orchard.layout else ()
            cultivar = next((name for name in names if name.lower() == said.lower()), None)
            if cultivar is not None:
                return RedirectResponse(f"/cultivar?name={quote(cultivar, safe='')}", 303)
            near = get_close_matches(said, list(known), n=6, cutoff=0.5)
            example = next(iter(known), "South 3, tree 41")
            return self._face.page(
                request, "tree.html", 404 if said else 200, here="ground", tree=None, said=said, near=near,
                example=example,
            )  # fmt: skip
        found = known[address]
        facts = self._facts(request, orchard, found)
        if request.query_params.get("part"):
            return self._face.page(request, "tree_part.html", tree=found, facts=facts)
        order = list(known)
        at = order.index(address)
        before, after = (order[i] if 0 <= i < len(order) else "" for i in (at - 1, at + 1))
        return self._face.page(
            request, "tree.html", here="ground", tree=found, facts=facts, before=before, after=after
        )

    def cultivar(self, request: Request) -> Response:
        """Every line of every sheet that leads to the cultivar."""
        name = request.query_params.get("name", "")[:120]
        orchard, key = self._orchard(request)
        if orchard.place is None or name not in orchard.place.cultivars:
            raise HTTPException(404, "There is no such cultivar in the catalogue.")
        sheets = [
            one
            for sheet in sorted(
                self._face.sheets(orchard, key), key=lambda sheet: sheet.name != "layout.weeks"
            )
            if sheet.stands_in is not StandsIn.SPREADSHEET or sheet.name == "layout.weeks"
            if (one := _of_cultivar(sheet, name)) is not None
        ]
        reader = self._face.look(request).reader
        runs = orchard.layout.runs if orchard.layout else ()
        stretches = [
            StandsAt(
                f"{row_name(run.block, run.row)}, trees {run.first} to {run.last}",
                str(TreeAddress(run.block, run.row, run.first)),
            )
            for run in runs
            if run.cultivar == name
        ]
        return self._face.page(
            request, "cultivar.html", here="choice", name=name, runs=stretches,
            sheets=[view(one, reader) for one in sheets],
        )  # fmt: skip

    def _orchard(self, request: Request) -> tuple[Orchard, str]:
        planned = self._face.desk.planned()
        system = self._face.look(request, planned).reader.system
        orchard = self._face.desk.orchard(system)
        if planned is None or orchard is None:
            raise HTTPException(404, "Nothing has been worked out yet.")
        return orchard, f"{planned.key}-{system}"

    def _known(self, orchard: Orchard, key: str) -> dict[str, StandingThere]:
        if self._trees[0] != key:
            ground, layout = orchard.ground, orchard.layout
            found = trees(ground, layout) if ground is not None and layout is not None else []
            self._trees = (key, {one.address: one for one in found})
        return self._trees[1]

    def _facts(self, request: Request, orchard: Orchard, tree: StandingThere) -> list[tuple[str, Shown]]:
        """The tree's line, and its cultivar's weeks, as heading and cell."""
        ground, layout = orchard.ground, orchard.layout
        assert ground is not None
        assert layout is not None
        reader = self._face.look(request).reader
        weeks = _of_cultivar(cultivar_weeks_sheet(orchard), tree.cultivar)
        found: list[tuple[str, Shown]] = []
        for sheet in (_line_of(tree_sheet(ground, layout), tree.address), weeks):
            if sheet is not None:
                shown = view(sheet, reader)
                found += [(head.says, cell) for head, cell in zip(shown.headings, shown.rows[0], strict=True)]
        kept: dict[str, Shown] = {}
        for head, cell in found:
            if head not in ("tree", "trees"):
                kept.setdefault(head, cell)
        return list(kept.items())


def _line_of(sheet: Sheet, address: str) -> Sheet | None:
    rows = tuple(row for row in sheet.rows if isinstance(row[0], Linked) and row[0].value == address)
    return _with(sheet, rows)


def _of_cultivar(sheet: Sheet, name: str) -> Sheet | None:
    """The sheet with the lines that lead to the cultivar; None where none does."""
    rows = tuple(
        row
        for row in sheet.rows
        if any(
            isinstance(cell, Linked) and cell.to.kind is LinkKind.CULTIVAR and cell.to.name == name
            for cell in row
        )
    )
    return _with(sheet, rows)


def _with(sheet: Sheet, rows: tuple[tuple[Value, ...], ...]) -> Sheet | None:
    return replace(sheet, rows=rows, charts=()) if rows else None


def _meant(said: str, known: dict[str, StandingThere]) -> str | None:
    """The address that is meant: as it is written on labels, or with less care."""
    if said in known:
        return said
    read = _ADDRESS.match(said)
    if read is None:
        return None
    meant = f"{read[1].rstrip(',')} {int(read[2])}, tree {int(read[3])}"
    return meant if meant in known else next((one for one in known if one.lower() == meant.lower()), None)
