"""What a week needs of the plan, the catalogue and the weather, made once and kept beside the plan."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from topwire.engine.inputs import PLAN_FILE, read_inputs
from topwire.engine.keys import program
from topwire.engine.orchard import LastPlan
from topwire.engine.recall import last_plan, orchard_of
from topwire.engine.state import input_files
from topwire.engine.store import keep, load
from topwire.phenology.seasons import cut
from topwire.phenology.traits import Traits
from topwire.records.place_kept import TABLES as RECORDS
from topwire.season.asked import WeekBasis
from topwire.season.dates import KnownPlace, known_place
from topwire.season.packed import keep_packed, load_packed
from topwire.season.question import basis_of, measured_weather, season_traits
from topwire.values.fault import Faults, fault
from topwire.values.key import key_of
from topwire.values.own_date import OwnDate
from topwire.weather.record import Weather

BASIS, _RECORD, _KNOWN = "week-basis", "week-weather", "week-known"


@dataclass(frozen=True)
class _Record:
    """The weather and the cultivars, as one file."""

    weather: Weather
    traits: Traits


@dataclass(frozen=True)
class OpenedFolder:
    """An orchard's folder as a week reads it; `plan_changed`: plan.yaml is no longer what was planned."""

    folder: Path
    key: str
    basis: WeekBasis
    weather: Weather
    traits: Traits
    plan_changed: bool

    def known(self, year: int, own: Sequence[OwnDate]) -> KnownPlace:
        """What was known when the season of `year` began, by the dates of earlier years.

        Raises
        ------
        Faults
            Where no year of the record can be used.
        """
        earlier = tuple(row for row in own if row.date.year < year)
        dates = sorted(f"{row.cultivar}|{row.event}|{row.date}" for row in earlier)
        key = sha256("\n".join((self.key, str(year), *dates)).encode()).hexdigest()
        found = load_packed(self.folder, _KNOWN, key, KnownPlace)
        if found is None:
            seasons = cut(self.weather, self.basis.latitude)
            if not seasons.years.size:
                raise Faults([fault("weather", "no year of the record is whole.", "Bring a longer record.")])
            found = known_place(seasons, self.traits, earlier, year=year, colder=self.basis.colder)
            keep_packed(self.folder, _KNOWN, key, found)
        return found


def open_folder(folder: Path) -> OpenedFolder:
    """The orchard as it was last planned.

    Raises
    ------
    Faults
        Where it has not been planned, or its inputs are faulty.
    """
    if not (folder / PLAN_FILE).is_file():
        raise Faults([fault(str(folder), "holds no plan.yaml.", "Name the orchard's folder.")])
    last = last_plan(folder)
    if last is None:
        raise Faults([fault(str(folder), "has not been planned yet.", f"Run: topwire plan {folder}")])
    key = _state(folder, last)
    basis = load(folder, BASIS, key, WeekBasis)
    record = load_packed(folder, _RECORD, key, _Record)
    if basis is None or record is None:
        inputs, orchard = read_inputs(folder), orchard_of(folder, last)
        if orchard is None:
            raise Faults(
                [fault(str(folder), "was planned by another version.", f"Run: topwire plan {folder}")]
            )
        basis = basis_of(inputs, orchard)
        weather = replace(measured_weather(inputs), files=(), notices=(), stations=())
        record = _Record(weather, season_traits(inputs, basis))
        keep(folder, BASIS, key, basis)
        keep_packed(folder, _RECORD, key, record)
    text = (folder / PLAN_FILE).read_bytes()
    changed = sha256(text).hexdigest() != last.origin.plan_hash
    return OpenedFolder(folder, key, basis, record.weather, record.traits, changed)


def _state(folder: Path, last: LastPlan) -> str:
    """Hash of all a week rests on but what changes from day to day, and of the program."""
    total = sha256(program().encode())
    total.update(key_of((last.origin, tuple(run.key for run in last.steps))).encode())
    for path in sorted(input_files(folder)):
        name = path.relative_to(folder).as_posix()
        if not name.startswith("records") or name.startswith(f"{RECORDS}/"):
            total.update(name.encode())
            total.update(sha256(path.read_bytes()).digest())
    return total.hexdigest()
