"""The plan that all places share, and what a place's row makes of it."""

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from copy import deepcopy
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.choice.disease import Disease, Rating
from topwire.choice.disease_question import ratings_of
from topwire.engine.inputs import PLAN_FILE, Inputs, read_inputs
from topwire.engine.names import at, in_catalogue_names, name_faults
from topwire.many.listed import CELL, SHORT, WEATHER, ListedPlace
from topwire.phenology.question import KnownHere, known_here
from topwire.plan.changed import path_of, with_settings
from topwire.plan.model import Plan
from topwire.plan.read import parse_plan, parse_yaml, read_plan_text
from topwire.records.read import read_records
from topwire.values.fault import Faults, FileNotice, fault
from topwire.values.key import key_of
from topwire.weather.record import Weather

_NUMBER = re.compile(r"[-+]?(?:0|[1-9]\d*)(?:\.\d+)?")  # a plain one; all else is read as in the plan file
_NOT_FOR_MANY = (("weather", "mornings"), ("trees", "standing"))  # one orchard's own


@dataclass(frozen=True)
class PlanTemplate:
    """The shared plan as it is sent to whoever answers: its text, and the tables beside it.

    Attributes
    ----------
    text : of the plan file
    name : of the file, in messages
    folder : where its weather files and outlines lie
    tables : own tables of the catalogue, name and text
    """

    text: str
    name: str
    folder: Path
    tables: tuple[tuple[str, str], ...] = ()

    @cached_property
    def key(self) -> str:
        """Of all that a place takes from it."""
        return key_of((self.text, self.tables))


def read_template(path: Path) -> PlanTemplate:
    """A plan file, or an orchard's folder.

    Raises
    ------
    Faults
        When it cannot be read, or holds what belongs to one orchard only.
    """
    file = path / PLAN_FILE if path.is_dir() else path
    text = read_plan_text(file)
    tree = parse_yaml(text, file.name)
    faults = [
        fault(f"{file.name}, {'.'.join(where)}", "this is of one orchard, not of many.", "Leave it out here.")
        for where in _NOT_FOR_MANY
        if at(tree, where) is not None
    ]
    if faults:
        raise Faults(faults)
    own = sorted((file.parent / "catalogue").glob("*.csv"))
    tables = tuple((table.name, table.read_text(encoding="utf-8-sig")) for table in own)
    return PlanTemplate(text, file.name, file.parent.resolve(), tables)


class ReadTemplate:
    """A template read once, from which the plans of many places are made."""

    def __init__(self, template: PlanTemplate, room: Path) -> None:
        """`room` is a folder of one's own, for the tables."""
        self.template = template
        self.tree = parse_yaml(template.text, template.name)
        tables = room / template.key[:16] / "catalogue"
        tables.mkdir(parents=True, exist_ok=True)
        for name, text in template.tables:
            (tables / Path(name).name).write_text(text, encoding="utf-8")
        self.catalogue = Catalogue(read_tables(tables))
        self._known: dict[float, KnownHere] = {}

    def known(self, stretch: float) -> KnownHere:
        """What the catalogue says of places that stretch their bloom so much."""
        if stretch not in self._known:
            self._known[stretch] = known_here(self.catalogue, stretch=stretch)
        return self._known[stretch]

    @cached_property
    def ratings(self) -> Mapping[str, Mapping[Disease, Rating]]:
        """Of the diseases of all cultivars."""
        return ratings_of(self.catalogue)

    def plan_of(self, place: ListedPlace, table: str) -> Plan:
        """The place's plan.

        Parameters
        ----------
        table : name of the table of places, in messages

        Raises
        ------
        Faults
            Where a cell cannot be, with row and column; where the template itself cannot, with its line.
        """
        where = f"{table}, line {place.line}"
        tree = deepcopy(self.tree)
        try:
            with_settings(tree, [f"{setting}={says}" for setting, says in place.settings if not _plain(says)])
        except Faults as found:
            raise Faults([_of_row(one, place, where) for one in found.notices]) from None
        for setting, says in place.settings:
            if _plain(says):
                _put_number(tree, setting, says)
        try:
            plan = parse_plan(self.template.text, self.template.name, tree)
        except Faults as found:
            raise Faults([_of_row(one, place, where) for one in found.notices]) from None
        wrong = name_faults(tree, self.catalogue, self.template.name)
        if wrong:
            raise Faults([_of_row(one, place, where) for one in wrong])
        return in_catalogue_names(plan, self.catalogue.names)

    def inputs_of(
        self, place: ListedPlace, plan: Plan, tables_folder: Path, record: Weather | None
    ) -> Inputs:
        """The place as an orchard's folder would hold it.

        Parameters
        ----------
        tables_folder : where the weather files of the table of places lie
        record : its weather, where that comes from a grid
        """
        folder = self.template.folder
        paths = tuple(folder / name for name in plan.weather.files)
        if place.weather:
            paths = tuple(tables_folder / name for name in place.weather)
            weather = plan.weather.model_copy(update={"files": list(place.weather)})
            plan = plan.model_copy(update={"weather": weather})
        elif record is not None:
            paths = ()
        none = read_records(folder / ".none", self.catalogue)
        return Inputs(folder, plan, self.template.text, self.catalogue, none, {}, (), paths, record=record)


def weather_of(inputs: Inputs, place: ListedPlace, table: str) -> Weather:
    """The place's record. Raises Faults, each with the row, and the column that names its weather."""
    column = f", {WEATHER}" if place.weather else f", {CELL}" if inputs.record is not None else ""
    with told_at(f"{table}, line {place.line}{column}"):
        return inputs.weather


@contextmanager
def told_at(where: str) -> Iterator[None]:
    """Faults of the file that a cell of the table of places names are told with that cell before them."""
    try:
        yield
    except Faults as found:
        raise Faults([replace(one, where=f"{where}: {one.where}") for one in found.notices]) from None


def folder_inputs(folder: Path, place: ListedPlace, template: PlanTemplate, table: str) -> Inputs:
    """The inputs of the folder made for a place. Raises Faults that lead to its row and the template."""
    try:
        return read_inputs(folder)
    except Faults as found:
        where = f"{table}, line {place.line}"
        own = re.compile(rf"^{re.escape(PLAN_FILE)}(, line \d+)?")  # it was written from row and template
        told = [replace(one, where=own.sub(lambda _: template.name, one.where)) for one in found.notices]
        raise Faults([_of_row(one, place, where) for one in told]) from None


def _plain(says: str) -> bool:
    return _NUMBER.fullmatch(says) is not None


def _put_number(tree: Any, setting: str, says: str) -> None:
    """A plain number, without the way through a reader of YAML: of ten thousand rows most cells are such."""
    path = path_of(setting) or []
    if any(isinstance(part, int) for part in path):
        with_settings(tree, [f"{setting}={says}"])
        return
    node = tree
    for part in path[:-1]:
        node = node.setdefault(part, {})
    node[path[-1]] = float(says) if "." in says else int(says)


def _of_row(notice: FileNotice, place: ListedPlace, where: str) -> FileNotice:
    """The fault with the row and the column that it is about; the template's line where no column is."""
    columns: Sequence[tuple[str, str]] = [(setting, setting) for setting, _ in place.settings]
    columns = [*columns, *((long, long) for long in SHORT.values())]
    for setting, _ in columns:
        if re.search(rf"(?<![\w.]){re.escape(setting)}(?![\w])", notice.where):
            short = {long: name for name, long in SHORT.items()}.get(setting, setting)
            return replace(notice, where=f"{where}, {short}")
    return replace(notice, where=f"{where}, {notice.where}")
