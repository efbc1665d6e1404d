"""The Protection's question: the only file of the room that sees the plan and the catalogue."""

from dataclasses import dataclass

from topwire.catalogue.model import Catalogue
from topwire.choice.disease_question import ratings_of
from topwire.layout.findings import Layout
from topwire.phenology.frost import HARDIER
from topwire.plan.model import Plan
from topwire.protection.asked import Guarded, ProtectionBasis, WeakestRow
from topwire.protection.insects import InsectClock, InsectEvent
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.kinds import RowLoad
from topwire.trellis.row_findings import first_to_give
from topwire.values.address import row_name
from topwire.values.insect_clock import ClockStart, CutOff, DayCurve

_F = 1.8  # degrees Fahrenheit in a kelvin


@dataclass(frozen=True)
class ClockRow:
    """A row of insect_clocks.csv."""

    clock: str
    insect: str
    lower_f: float
    upper_f: float | None
    curve: DayCurve
    cut_off: CutOff
    starts: ClockStart
    first_low_f: float | None
    first_high_f: float | None
    region: str | None
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class EventRow:
    """A row of insect_events.csv."""

    entry: str
    clock: str
    event: str
    low_f: float
    high_f: float
    danger: str
    action: str
    source: str | None
    mark: str | None


def question(
    plan: Plan, catalogue: Catalogue, layout: Layout, trellis: TrellisFindings | None
) -> ProtectionBasis:
    """What every day's question rests on."""
    return ProtectionBasis(
        latitude=plan.place.latitude,
        colder=plan.place.colder_than_station,
        planting=plan.years.planting,
        guarded=_guarded(catalogue, layout),
        clocks=clocks_of(catalogue),
        weakest=_weakest(trellis),
    )


def _guarded(catalogue: Catalogue, layout: Layout) -> tuple[Guarded, ...]:
    """Every cultivar that stands in the rows, with its rows."""
    ratings = ratings_of(catalogue)
    rows: dict[str, dict[str, None]] = {}
    for run in layout.runs:
        rows.setdefault(run.cultivar, {})[row_name(run.block, run.row)] = None
    return tuple(
        Guarded(name, tuple(its), layout.trees_of(name), ratings[name], HARDIER.get(name, 0.0))
        for name, its in sorted(rows.items())
    )


def clocks_of(catalogue: Catalogue) -> tuple[InsectClock, ...]:
    """Every clock with its events, in degrees Celsius."""
    events: dict[str, list[InsectEvent]] = {}
    for row in catalogue.rows("insect_events", EventRow):
        event = InsectEvent(
            row.event, row.low_f / _F, row.high_f / _F, row.danger, row.action, row.source or row.mark or ""
        )
        events.setdefault(row.clock, []).append(event)
    return tuple(
        InsectClock(
            insect=row.insect,
            lower=_celsius(row.lower_f),
            upper=None if row.upper_f is None else _celsius(row.upper_f),
            curve=row.curve,
            cut_off=row.cut_off,
            starts=row.starts,
            first_low=None if row.first_low_f is None else row.first_low_f / _F,
            first_high=None if row.first_high_f is None else row.first_high_f / _F,
            region=row.region or "",
            events=tuple(events.get(row.clock, ())),
        )
        for row in catalogue.rows("insect_clocks", ClockRow)
    )


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / _F


def _weakest(trellis: TrellisFindings | None) -> WeakestRow | None:
    """Rows that give first with a full crop on them."""
    found = []
    for row in () if trellis is None else trellis.rows:
        gusts = tuple(gust for gust in row.gusts if gust.canopy is RowLoad.CROPPED)
        if gusts:
            first = first_to_give(gusts)
            found.append(WeakestRow(row.rows, first.low, first.middle))
    return min(found, key=lambda one: one.low, default=None)
