"""Everything the steps read, gathered and checked at the edge: plan, catalogue, weather, outlines, standing trees."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.notices import Faults, Notice, fault
from topwire.plan.model import Plan
from topwire.plan.read import located, parse_plan, parse_yaml, read_plan_text
from topwire.plan.standing import StandingTree, parse_standing

if TYPE_CHECKING:
    from topwire.weather.climate_change import MonthlyChange
    from topwire.weather.record import Weather

PLAN_FILE = "plan.yaml"
PLANTED = "planted.csv"  # what was really planted; it wins over the plan
INVENTION_SEED = 1  # of invented weather years: equal plans see equal years
LARGEST_OUTLINE = 20_000_000  # bytes
LARGEST_WEATHER = 100_000_000  # bytes; a century of days is 2 MB, forty years of hours 20 MB


@dataclass(frozen=True)
class Inputs:
    """The orchard's folder, read. Weather is parsed when a step first asks for it."""

    folder: Path
    plan: Plan
    plan_text: str
    catalogue: Catalogue
    outlines: Mapping[str, Any]
    standing: tuple[StandingTree, ...]
    weather_paths: tuple[Path, ...]

    @cached_property
    def weather(self) -> "Weather":
        """The daily record, or the years invented from it. Raises Faults when a file cannot be used."""
        from topwire.weather.read import read_weather
        from topwire.weather.years import lengthen

        record = read_weather(self.weather_paths, labels=self.plan.weather.files)
        if self.plan.weather.invented_years is None:
            return record
        try:
            made = lengthen(record, self.plan.weather.invented_years, seed=INVENTION_SEED)
        except ValueError as error:
            where = f"{PLAN_FILE}, weather.invented_years"
            raise Faults([fault(where, f"{error}.", "Bring a longer record, or leave this out.")]) from None
        return replace(made, notices=record.notices + made.notices)

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
        paths = [*self.weather_paths, *(self.folder / name for name in scenario_files(self.plan))]
        return _digest(path.read_bytes() for path in paths)

    @cached_property
    def catalogue_hash(self) -> str:
        rows = (
            repr((name, key, sorted(row.cells.items()))).encode()
            for name, table in sorted(self.catalogue.tables.items())
            for key, row in table.rows.items()
        )
        return _digest(rows)

    @cached_property
    def ground_hash(self) -> str:
        """Of the outlines and the standing trees."""
        return _digest([json.dumps(self.outlines, sort_keys=True).encode(), repr(self.standing).encode()])

    def with_plan(self, plan: Plan) -> "Inputs":
        """The same folder under another plan, for what-if runs."""
        return Inputs(
            self.folder,
            plan,
            self.plan_text,
            self.catalogue,
            self.outlines,
            self.standing,
            self.weather_paths,
        )


def read_inputs(folder: Path) -> Inputs:
    """All inputs of the orchard in `folder`, weather files located but not yet parsed.

    Raises
    ------
    Faults
        With every fault of plan, catalogue, outlines and standing trees together.
    """
    text = read_plan_text(folder / PLAN_FILE)
    faults: list[Notice] = []
    plan: Plan | None = None
    catalogue: Catalogue | None = None
    try:
        plan = parse_plan(text, PLAN_FILE)
    except Faults as found:
        faults.extend(found.notices)
    try:
        catalogue = Catalogue(read_tables(folder / "catalogue"))
        _ = (catalogue.cultivars, catalogue.rootstocks)
    except Faults as found:
        catalogue = None
        faults.extend(found.notices)
    if plan is None or catalogue is None:
        raise Faults(faults)

    tree = parse_yaml(text, PLAN_FILE)
    faults.extend(_name_faults(plan, catalogue, tree))
    weather_paths, found_faults = _weather_paths(folder, plan, tree)
    faults.extend(found_faults)
    outlines, found_faults = _outlines(folder, plan, tree)
    faults.extend(found_faults)
    standing: tuple[StandingTree, ...] = ()
    try:
        standing = _standing(folder, plan, catalogue, tree)
    except Faults as found:
        faults.extend(found.notices)
    if faults:
        raise Faults(faults)
    return Inputs(folder, plan, text, catalogue, outlines, standing, weather_paths)


def check_inputs(folder: Path) -> tuple[Inputs, tuple[Notice, ...]]:
    """Inputs with the weather parsed too, and the notices of the reading. Raises Faults as `read_inputs`."""
    inputs = read_inputs(folder)
    _ = inputs.changes
    return inputs, inputs.weather.notices


def _name_faults(plan: Plan, catalogue: Catalogue, tree: Any) -> list[Notice]:
    faults = []
    synonyms = synonyms_of(catalogue)
    lists = {"must_have": plan.taste.must_have, "must_not_have": plan.taste.must_not_have}
    for key, names in lists.items():
        for index, name in enumerate(names):
            if name not in catalogue.cultivar:
                where = located(PLAN_FILE, tree, ("taste", key, index))
                faults.append(unknown_name(where, name, "cultivar", catalogue.cultivar, synonyms))
    for name, stock in plan.trees.rootstock_for.items():
        where = located(PLAN_FILE, tree, ("trees", "rootstock_for", name))
        if name not in catalogue.cultivar:
            faults.append(unknown_name(where, name, "cultivar", catalogue.cultivar, synonyms))
        if stock not in catalogue.rootstock:
            faults.append(unknown_name(where, stock, "rootstock", catalogue.rootstock, {}))
    if plan.trees.rootstock not in catalogue.rootstock:
        where = located(PLAN_FILE, tree, ("trees", "rootstock"))
        faults.append(unknown_name(where, plan.trees.rootstock, "rootstock", catalogue.rootstock, {}))
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
    return faults


def synonyms_of(catalogue: Catalogue) -> Mapping[str, str]:
    """Catalogue name by lower-case synonym or lower-case name."""
    found: dict[str, str] = {}
    for row in catalogue.cultivars:
        for synonym in row.synonyms:
            found.setdefault(synonym.lower(), row.name)
    return found | {row.name.lower(): row.name for row in catalogue.cultivars}


def unknown_name(
    where: str, name: str, what: str, known: Iterable[str], synonyms: Mapping[str, str]
) -> Notice:
    """The fault of a name that is not in the catalogue, with the nearest ones that are."""
    if name.lower() in synonyms:
        return fault(where, f"the catalogue calls “{name}” {synonyms[name.lower()]}.", "Write that name.")
    near = get_close_matches(name, list(known), n=2, cutoff=0.6)
    remedy = f"Did you mean {' or '.join(near)}?" if near else f"`topwire show {what}s` lists them."
    return fault(where, f"there is no {what} “{name}” in the catalogue.", remedy)


def scenario_files(plan: Plan) -> list[str]:
    """Files of all climate scenarios, as the plan names them."""
    return [name for scenario in plan.weather.scenarios for name in (*scenario.today, *scenario.later)]


def _weather_paths(folder: Path, plan: Plan, tree: Any) -> tuple[tuple[Path, ...], list[Notice]]:
    named: list[tuple[tuple[str | int, ...], str]]
    named = [(("weather", "files", index), name) for index, name in enumerate(plan.weather.files)]
    for index, scenario in enumerate(plan.weather.scenarios):
        for key, names in (("today", scenario.today), ("later", scenario.later)):
            named += [(("weather", "scenarios", index, key, at), name) for at, name in enumerate(names)]
    faults = []
    for place, name in named:
        where = located(PLAN_FILE, tree, place)
        path = folder / name
        if not path.is_file():
            remedy = "Put the place's daily weather there; docs/weather.md says which files are read."
            faults.append(fault(where, f"there is no weather file “{name}” in {folder}.", remedy))
        elif path.stat().st_size > LARGEST_WEATHER:
            size = path.stat().st_size / 1e6
            says = f"“{name}” is {size:,.0f} MB; weather files up to {LARGEST_WEATHER // 10**6} MB are read."
            faults.append(fault(where, says, "Cut it to this station and to the years wanted."))
    return tuple(folder / name for name in plan.weather.files), faults


def _outlines(folder: Path, plan: Plan, tree: Any) -> tuple[dict[str, Any], list[Notice]]:
    wanted: dict[str, str] = {}
    for index, block in enumerate(plan.ground.blocks):
        if block.outline is not None:
            wanted[block.outline] = located(PLAN_FILE, tree, ("ground", "blocks", index, "outline"))
    if plan.ground.obstacles is not None:
        wanted[plan.ground.obstacles] = located(PLAN_FILE, tree, ("ground", "obstacles"))
    outlines, faults = {}, []
    for name, where in wanted.items():
        path = folder / name
        try:
            if path.stat().st_size > LARGEST_OUTLINE:
                faults.append(fault(where, f"“{name}” is larger than an outline can be."))
                continue
            outlines[name] = json.loads(path.read_text(encoding="utf-8-sig"))
        except FileNotFoundError:
            faults.append(fault(where, f"there is no file “{name}” in {folder}."))
        except UnicodeDecodeError:
            faults.append(fault(where, f"“{name}” is not a text file.", "An outline is a GeoJSON file."))
        except json.JSONDecodeError as error:
            says = f"“{name}” is not JSON: {error.msg} at line {error.lineno}, column {error.colno}."
            faults.append(fault(where, says, "An outline is a GeoJSON file."))
    return outlines, faults


def _standing(folder: Path, plan: Plan, catalogue: Catalogue, tree: Any) -> tuple[StandingTree, ...]:
    """Trees of planted.csv where there is such a file, and of the list the plan names; planted.csv wins."""
    found: dict[tuple[str, int, int], StandingTree] = {}
    names = [plan.trees.standing] if plan.trees.standing is not None else []
    if (folder / PLANTED).exists() and plan.trees.standing != PLANTED:
        names.append(PLANTED)
    for name in names:
        where = located(PLAN_FILE, tree, ("trees", "standing")) if name == plan.trees.standing else name
        try:
            text = (folder / name).read_text(encoding="utf-8-sig")
        except FileNotFoundError:
            raise Faults([fault(where, f"there is no file “{name}” in {folder}.")]) from None
        except UnicodeDecodeError:
            raise Faults([fault(where, f"“{name}” is not a text file in UTF-8.")]) from None
        trees = parse_standing(
            text,
            name,
            cultivars=catalogue.cultivar,
            rootstocks=catalogue.rootstock,
            blocks=[block.name for block in plan.ground.blocks],
            synonyms=synonyms_of(catalogue),
        )
        found.update({(tree.block, tree.row, tree.place): tree for tree in trees})
    return tuple(found.values())


def _digest(parts: Iterable[bytes]) -> str:
    total = hashlib.sha256()
    for part in parts:
        total.update(len(part).to_bytes(8, "big"))
        total.update(part)
    return total.hexdigest()
