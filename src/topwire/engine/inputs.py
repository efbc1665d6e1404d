"""Everything the steps read, gathered and checked at the edge: plan, catalogue, weather, outlines, standing trees."""

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from topwire.catalogue.model import Catalogue
from topwire.catalogue.price_levels import SHIPPED, at_level
from topwire.catalogue.tables import read_tables
from topwire.engine.names import at, in_catalogue_names, name_faults, number_at, other_names
from topwire.engine.own_nights import measured_nights
from topwire.files.own_file import looked_at, own_bytes, own_text
from topwire.plan.changed import with_settings
from topwire.plan.model import Plan
from topwire.plan.outline import LARGEST, outline_of
from topwire.plan.place import WeatherSection
from topwire.plan.read import located, parse_plan, parse_yaml, read_plan_text
from topwire.plan.standing import StandingTree, parse_standing
from topwire.records.read import Records, read_records
from topwire.values.fault import Faults, FileNotice, fault, warning
from topwire.values.notice import Severity
from topwire.values.terms import MOST_TREES

if TYPE_CHECKING:
    from topwire.weather.climate_change import MonthlyChange
    from topwire.weather.mornings import MorningSteps
    from topwire.weather.record import Weather

PLAN_FILE = "plan.yaml"
PLANTED = "planted.csv"  # what was really planted; it wins over the plan
T = TypeVar("T")
INVENTION_SEED = 1  # of invented weather years: equal plans see equal years
LARGEST_WEATHER = 100_000_000  # bytes; a century of days is 2 MB, forty years of hours 20 MB

MOST_FILES = 200  # of weather


@dataclass(frozen=True)
class Inputs:
    """The orchard's folder, read. Weather is parsed when a step first asks for it."""

    folder: Path
    plan: Plan
    plan_text: str
    catalogue: Catalogue
    records: Records
    outlines: Mapping[str, Any]
    standing: tuple[StandingTree, ...]
    weather_paths: tuple[Path, ...]
    notices: tuple[FileNotice, ...] = ()  # what the reading of the plan has to tell
    mornings: "MorningSteps | None" = None  # what the orchard's own thermometer says beside the record
    record: "Weather | None" = None  # the record, where it was read already and not from these files

    @cached_property
    def weather(self) -> "Weather":
        """The daily record, or the years invented from it. Raises Faults when a file cannot be used."""
        import numpy as np

        from topwire.weather.cell import CELL_MATTERS, spring_share
        from topwire.weather.mornings import by_month
        from topwire.weather.plausible import held_against
        from topwire.weather.read import read_weather
        from topwire.weather.years import lengthen

        record = self.record or read_weather(self.weather_paths, labels=self.plan.weather.files)
        held = held_against(
            record,
            latitude=self.plan.place.latitude,
            longitude=self.plan.place.longitude,
            planting=self.plan.years.planting,
        )
        wrong = [notice for notice in held if notice.severity is Severity.FAULT]
        if wrong:
            raise Faults(wrong)
        record = replace(record, notices=(*record.notices, *held))
        if self.mornings is not None:
            low = by_month(self.mornings, record.day, record.tmin, record.tmax)
            record = replace(record, tmin=low)
        if self.plan.weather.invented_years is None:
            return record
        try:
            made = lengthen(record, self.plan.weather.invented_years, seed=INVENTION_SEED)
        except ValueError as error:
            where = f"{PLAN_FILE}, weather.invented_years"
            raise Faults([fault(where, f"{error}.", "Bring a longer record, or leave this out.")]) from None
        from_cell = None
        if record.from_cell is not None:  # what is invented from a cell's statistics is a cell's
            from_cell = np.full(made.day.size, spring_share(record.day, record.from_cell) >= CELL_MATTERS)
        return replace(made, notices=record.notices + made.notices, from_cell=from_cell)

    @cached_property
    def changes(self) -> "tuple[MonthlyChange, ...]":
        """Other climates, as the plan's scenario files have them. Raises Faults when a file cannot be used."""
        from topwire.weather.climate_change import change_between
        from topwire.weather.read import read_weather

        made = []
        for scenario in self.plan.weather.scenarios:
            series = [
                read_weather([self.folder / name for name in names], labels=names)
                for names in (scenario.today, scenario.later)
            ]
            try:
                made.append(change_between(scenario.name, *series))
            except ValueError as error:
                raise Faults(
                    [fault(f"{PLAN_FILE}, weather.scenarios, {scenario.name}", f"{error}.")]
                ) from None
        return tuple(made)

    @cached_property
    def weather_hash(self) -> str:
        """Of the weather files and the scenarios' files."""
        own = [self.plan.weather.mornings] if self.plan.weather.mornings else []
        paths = [*self.weather_paths, *(self.folder / name for name in (*own, *scenario_files(self.plan)))]
        return _digest(own_bytes(path, PLAN_FILE, path.name, LARGEST_WEATHER) for path in paths)

    @cached_property
    def weather_credits(self) -> tuple[str, ...]:
        """Lines the makers of the plan's fetched weather files ask to be printed. Raises Faults: the sidecar."""
        from topwire.weather.fetched import read_fetched

        lines: dict[str, None] = {}
        for folder in sorted({path.parent for path in self.weather_paths}):
            named = {path.name for path in self.weather_paths if path.parent == folder}
            lines |= dict.fromkeys(
                one.credit for one in read_fetched(folder) if one.file in named and one.credit
            )
        return tuple(lines)

    @cached_property
    def catalogue_hash(self) -> str:
        """Of the catalogue's tables, own rows included, and of the records."""
        rows = (
            repr((name, key, sorted(row.cells.items()))).encode()
            for name, table in sorted({**self.catalogue.tables, **self.records.tables}.items())
            for key, row in table.rows.items()
        )
        return _digest(rows)

    @property
    def named_files(self) -> tuple[str, ...]:
        """Files the plan names, as seen from the folder, and where it is told who made the weather."""
        from topwire.weather.fetched import SIDECAR

        weather = self.plan.weather
        stated = (weather.mornings, self.plan.trees.standing)
        sidecars = {str(Path(name).parent / SIDECAR) for name in weather.files}
        own = (*weather.files, *scenario_files(self.plan), *self.outlines, *(name for name in stated if name))
        return (*own, *sorted(sidecars))

    def with_plan(self, plan: Plan) -> "Inputs":
        """The same folder under another plan, for what-if runs."""
        return replace(self, plan=plan)


def read_inputs(folder: Path, changes: Sequence[str] = ()) -> Inputs:
    """All inputs of the orchard in `folder`, weather files located but not yet parsed.

    Parameters
    ----------
    changes : settings of the plan that are something else, for a what-if: “taste.most_cultivars=20”

    Raises
    ------
    Faults
        With every fault of plan, catalogue, records, outlines and standing trees together.
    """
    found = gather(folder, changes)
    if found.inputs is None:
        raise Faults(found.faults)
    return found.inputs


@dataclass(frozen=True)
class Gathered:
    """What the folder holds: the inputs where nothing is wrong, else every fault; and what can be read in any case.

    Attributes
    ----------
    weather : the weather files the plan names, with where it names them
    """

    inputs: Inputs | None
    faults: tuple[FileNotice, ...]
    weather: tuple[tuple[str, Path], ...]


def gather(folder: Path, changes: Sequence[str] = (), text: str | None = None) -> Gathered:
    """Everything of the folder that can be read, whatever else is wrong, with `text` as its plan where it is given.

    Raises Faults where there is no plan.
    """
    text = read_plan_text(folder / PLAN_FILE) if text is None else text
    tree = parse_yaml(text, PLAN_FILE)
    with_settings(tree, changes)
    faults: list[FileNotice] = []

    def told(read: Callable[[], T]) -> T | None:
        try:
            return read()
        except Faults as found:
            faults.extend(notice for notice in found.notices if notice not in faults)
            return None

    plan = told(lambda: parse_plan(text, PLAN_FILE, tree))
    currency = plan.money.currency if plan is not None else SHIPPED
    catalogue = told(lambda: Catalogue(at_level(read_tables(folder / "catalogue"), currency)))
    records = told(lambda: read_records(folder, catalogue))
    if catalogue is not None:
        faults += name_faults(tree, catalogue, PLAN_FILE)
    if plan is not None:
        faults += _number_faults(plan, tree)
    faults += _folder_faults(folder)
    weather, wrong = _weather_files(folder, tree)
    faults += wrong
    outlines, wrong = _outlines(folder, tree)
    faults += wrong
    standing = told(lambda: _standing(folder, tree, catalogue))
    if plan is not None:
        faults += _place_faults(plan, tree, sum(area for _, area in outlines.values()))
    if faults or plan is None or catalogue is None or records is None or standing is None:
        return Gathered(None, tuple(faults), weather)
    inputs = Inputs(
        folder,
        in_catalogue_names(plan, catalogue.names),
        text,
        catalogue,
        records,
        {name: document for name, (document, _) in outlines.items()},
        standing,
        tuple(path for _, path in weather),
        (*other_names(tree, catalogue, PLAN_FILE), *_odd_place(plan, tree)),
    )
    if plan.weather.mornings is not None:
        where = located(PLAN_FILE, tree, ("weather", "mornings"))
        measured = told(lambda: measured_nights(folder, inputs.plan, inputs.weather_paths, where))
        if measured is None:
            return Gathered(None, tuple(faults), weather)
        inputs = replace(
            inputs,
            plan=measured.plan,
            mornings=measured.steps,
            notices=(*inputs.notices, *measured.notices),
        )
    return Gathered(inputs, (), weather)


def _folder_faults(folder: Path) -> list[FileNotice]:
    """A file where a folder of the grower's own tables or records would stand: nothing in it would be read."""
    remedy = "Name it otherwise, or make a folder of tables of it (docs/tables.md, docs/records.md)."
    return [
        fault(name, "is a file, where a folder is looked for.", remedy)
        for name in ("catalogue", "records")
        if (folder / name).exists() and not (folder / name).is_dir()
    ]


def _odd_place(plan: Plan, tree: Any) -> list[FileNotice]:
    """A longitude without its sign, by the look of units and money."""
    american = plan.units == "us" or at(tree, ("money", "currency")) in ("USD", "CAD")
    if not american or plan.place.longitude <= 0:
        return []
    where = located(PLAN_FILE, tree, ("place", "longitude"))
    says = f"{plan.place.longitude:g} lies east of Greenwich, and the plan counts in US units or dollars."
    return [warning(where, says, "West of Greenwich longitude is negative.")]


def _number_faults(plan: Plan, tree: Any) -> list[FileNotice]:
    """Numbers of the plan that do not go together."""
    faults = []
    if len(plan.taste.must_have) > plan.taste.most_cultivars:
        where = located(PLAN_FILE, tree, ("taste", "most_cultivars"))
        says = f"{len(plan.taste.must_have)} cultivars have to be there, but at most {plan.taste.most_cultivars} may."
        faults.append(fault(where, says, "Raise most_cultivars or shorten must_have."))
    if isinstance(plan.trees.total, int):
        least = plan.taste.fewest_cultivars * plan.taste.fewest_trees
        if least > plan.trees.total:
            where = located(PLAN_FILE, tree, ("trees", "total"))
            says = (
                f"{plan.taste.fewest_cultivars} cultivars of at least {plan.taste.fewest_trees} trees need {least} "
                f"trees, but the total is {plan.trees.total}."
            )
            faults.append(fault(where, says, "Raise total, or lower fewest_cultivars or fewest_trees."))
        most = plan.taste.most_cultivars * plan.taste.most_trees
        if most < plan.trees.total:
            where = located(PLAN_FILE, tree, ("trees", "total"))
            says = (
                f"{plan.taste.most_cultivars} cultivars of at most {plan.taste.most_trees} trees are {most} trees, "
                f"but the total is {plan.trees.total}."
            )
            faults.append(fault(where, says, "Lower total, or raise most_cultivars or most_trees."))
    return faults


def _place_faults(plan: Plan, tree: Any, drawn: float) -> list[FileNotice]:
    """Ground that holds more trees than are planned; `drawn` is the ground of all outlines [m2]."""
    stated = sum(
        block.rectangle.length * block.rectangle.width
        for block in plan.ground.blocks
        if block.rectangle is not None and not block.along_fence
    )
    walked = [block.corners for block in plan.ground.blocks if block.corners is not None]
    boxes = sum(
        (max(x for x, _ in ring) - min(x for x, _ in ring))
        * (max(y for _, y in ring) - min(y for _, y in ring))
        for ring in walked
        if ring
    )
    between = [
        value if isinstance(value, float) else usual
        for value, usual in ((plan.trees.tree_spacing, 1.0), (plan.trees.row_spacing, 3.0))
    ]
    places = (stated + boxes + drawn) / (between[0] * between[1])
    if places <= MOST_TREES:
        return []
    where = located(PLAN_FILE, tree, ("ground", "blocks"))
    says = f"the ground holds about {places:,.0f} trees; up to {MOST_TREES:,} are planned."
    return [fault(where, says, "Make the blocks smaller, or plan it in parts.")]


def scenario_files(plan: Plan) -> list[str]:
    """Files of all climate scenarios, as the plan names them."""
    return [name for scenario in plan.weather.scenarios for name in (*scenario.today, *scenario.later)]


def _weather_files(folder: Path, tree: Any) -> tuple[tuple[tuple[str, Path], ...], list[FileNotice]]:
    """The plan's own weather files by name, and what keeps these and the scenarios' from being opened."""
    files = at(tree, ("weather", "files"))
    own = [name for name in files if isinstance(name, str)] if isinstance(files, list) else None
    if own is None:
        own = list(WeatherSection().files)
    named: list[tuple[tuple[str | int, ...], str]]
    named = [(("weather", "files", index), name) for index, name in enumerate(own)]
    scenarios = at(tree, ("weather", "scenarios"))
    for index, scenario in enumerate(scenarios if isinstance(scenarios, list) else []):
        for key in ("today", "later"):
            names = at(scenario, (key,))
            for number, name in enumerate(names if isinstance(names, list) else []):
                if isinstance(name, str):
                    named.append((("weather", "scenarios", index, key, number), name))
    faults: list[FileNotice] = []
    closed: set[str] = set()
    if len(named) > MOST_FILES:
        says = f"{len(named)} weather files are named; up to {MOST_FILES} are read."
        faults.append(fault(located(PLAN_FILE, tree, ("weather",)), says))
        return (), faults
    for place, name in named:
        try:
            looked_at(folder / name, located(PLAN_FILE, tree, place), name, LARGEST_WEATHER)
        except Faults as found:
            remedy = "topwire weather fetch brings a near station's record; docs/weather.md says which files are read."
            faults += [replace(notice, remedy=remedy) for notice in found.notices]
            closed.add(name)
    return tuple((name, folder / name) for name in own if name not in closed), faults


def _outlines(folder: Path, tree: Any) -> tuple[dict[str, tuple[Any, float]], list[FileNotice]]:
    """Documents by the name in the plan, each with the ground it encloses [m2]."""
    wanted: dict[str, str] = {}
    blocks = at(tree, ("ground", "blocks"))
    paths: list[tuple[str | int, ...]] = [
        ("ground", "blocks", index, "outline")
        for index in range(len(blocks) if isinstance(blocks, list) else 0)
    ]
    for path in (*paths, ("ground", "obstacles")):
        name = at(tree, path)
        if isinstance(name, str):
            wanted.setdefault(name, located(PLAN_FILE, tree, path))
    longitude, latitude = (number_at(tree, ("place", key)) for key in ("longitude", "latitude"))
    place = None if longitude is None or latitude is None else (float(longitude), float(latitude))
    outlines: dict[str, tuple[Any, float]] = {}
    faults: list[FileNotice] = []
    for name, where in wanted.items():
        try:
            text = own_text(folder / name, where, name, LARGEST, "An outline is a GeoJSON file.")
        except Faults as found:
            faults += found.notices
            continue
        document, wrong, area = outline_of(text, where, name, place)
        faults += wrong
        drawn = area if name != at(tree, ("ground", "obstacles")) else 0.0
        outlines[name] = (document, drawn)
    return outlines, faults


def _standing(folder: Path, tree: Any, catalogue: Catalogue | None) -> tuple[StandingTree, ...]:
    """Trees of planted.csv where there is such a file, and of the list the plan names; planted.csv wins."""
    stated = at(tree, ("trees", "standing"))
    places = {}
    if isinstance(stated, str):
        places[stated] = located(PLAN_FILE, tree, ("trees", "standing"))
    if (folder / PLANTED).exists():
        places.setdefault(PLANTED, PLANTED)
    blocks = at(tree, ("ground", "blocks"))
    planting = number_at(tree, ("years", "planting"))
    found: dict[tuple[str, int, int], StandingTree] = {}
    for name, where in places.items():
        text = own_text(folder / name, where, name, LARGEST)
        if catalogue is None:
            continue
        trees = parse_standing(
            text,
            name,
            cultivars=catalogue.cultivar,
            rootstocks=catalogue.rootstock,
            blocks=[str(at(block, ("name",))) for block in (blocks if isinstance(blocks, list) else [])],
            catalogue_name=catalogue.names.catalogue_name,
            latest=planting if isinstance(planting, int) else 2100,
        )
        found.update({(tree.block, tree.row, tree.place): tree for tree in trees})
    return tuple(found.values())


def _digest(parts: Iterable[bytes]) -> str:
    total = hashlib.sha256()
    for part in parts:
        total.update(len(part).to_bytes(8, "big"))
        total.update(part)
    return total.hexdigest()
