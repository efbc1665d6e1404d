"""Sheets of the Water department: need, zones, schedule, bill."""

from functools import partial

import numpy as np

from topwire.show.bill_sheet import bill_sheet
from topwire.show.sheet import Column, LinkKind, Sheet, StandsIn, Value, setting, sheet_of, source, table
from topwire.tell.reader import Reader, counted, listed
from topwire.tell.row_names import addresses
from topwire.tell.water import CHANGES, JOBS, LOSSES, MISSES, POINTS
from topwire.tell.words import in_system
from topwire.values.calendar import MONTHS, day_label, week_label
from topwire.values.notice import Measured
from topwire.values.quantities import Plain, Quantity
from topwire.values.units import Kind
from topwire.water.findings import BlockNeed, LineTried, PointKind, Store, Trench, WaterJob, WaterPlan
from topwire.water.schedule import WORTH_RUNNING

_WEATHER = setting("weather.files")
_GOODS = table("emitters", "tubing", "pumps_filters")
_STORE = setting("water.storage", "water.catchment")
_SPREAD = ("low", "middle", "high")
_ALIKE = 0.25  # [h a week]
# Leaves whose hours the schedule shows; those between lie between.
_LEAVES = {0: "first leaf", 2: "third leaf", -1: "full grown"}


def sheets(water: WaterPlan, currency: str, reader: Reader) -> list[Sheet]:
    return [
        need(water, currency, reader),
        by_age(water),
        wetting(water, reader),
        what_ifs(water, reader),
        evaporation(water),
        zones(water),
        pipe_points(water, reader),
        pipes(water),
        *([store(water.store, len(water.years), reader)] if water.store else []),
        losses(water),
        lines_tried(water, currency, reader),
        schedule(water),
        calendar(water, reader),
        quality(water),
        bill_sheet("water.bill", "Bill of the water", water.bill, currency, reader),
    ]


def _over(water: WaterPlan) -> str:
    return f"Over {len(water.years)} weather years, after the rain that counts."


def _spread(
    kind: Quantity, digits: int | tuple[int, int] | None, caption: str = "", of: str = "", width: float = 0.0
) -> tuple[Column, ...]:
    """Low, middle and high of a field; the caption stands before the first."""
    said = (f"{caption}, low" if caption else "low", "middle", "high")
    return tuple(
        Column(key, told, kind, digits, width, links=_WEATHER, of=partial(_part, of, at))
        for at, (key, told) in enumerate(zip(_SPREAD, said, strict=True))
    )


def _part(of: str, at: int, line: object) -> float:
    return float(getattr(line, of)[at])


def need(water: WaterPlan, currency: str, reader: Reader) -> Sheet:
    season = np.percentile(water.season_need, [10, 50, 90]) if water.season_need.size else np.full(3, np.nan)
    notes = [
        f"{water.emitters_per_tree:.3g} emitter{'' if water.emitters_per_tree == 1 else 's'} a tree; on level "
        f"ground a row of this drip line may be "
        f"{reader.text(water.longest_row, Kind.LENGTH, 0)} long.",
        pressure(water, reader),
        f"At the peak all zones run {water.hours_at_peak:.1f} h a day; the plan allows {water.hours_allowed:g} h.",
        stored(water, reader),
    ]
    if water.water_cost_per_year:
        notes.append(f"Water costs {water.water_cost_per_year:,.0f} {currency} in a middle year.")
    return Sheet(
        "water.need",
        "Water wanted",
        (
            Column("what", "what", width=2.6),
            *(Column(name, name, width=1, links=_WEATHER) for name in _SPREAD),
        ),
        (
            (
                "a full-grown tree on a hot week’s day",
                *(Measured(value, Kind.SMALL_VOLUME, 1 if reader.us else 0) for value in water.peak_need),
            ),
            ("the orchard in a season", *(Measured(float(value), Kind.VOLUME) for value in season)),
        ),
        _over(water),
        tuple(notes),
    )


def pressure(water: WaterPlan, reader: Reader) -> str:
    """What the source must give; a pump only where its own pressure is short."""
    wanted, has, short = (
        reader.text(value, Kind.PRESSURE)
        for value in (water.pressure_wanted, water.source_pressure, water.booster_pressure)
    )
    watts = f"{water.booster_power:,.0f} W at its shaft."
    said = f"The source must give {reader.text(water.most_flow, Kind.FLOW)} at {wanted}; it has {has}"
    if water.booster_pressure > water.pressure_wanted - 1e-6:
        return f"{said}, which ends in the settling tank: a pump behind it gives {short}, " + watts
    if water.booster_pressure:
        return f"{said}: a booster pump adds {short}, {watts}"
    return f"{said}, so no further pump is wanted."


def stored(water: WaterPlan, reader: Reader) -> str:
    wanted = water.storage_wanted
    if wanted is None:
        return "No store serves the trees in nine years of ten."
    if wanted == 0:
        return "The source does without a store in nine years of ten."
    return f"A store of about {reader.text(wanted, Kind.VOLUME, 0)} serves the trees in nine years of ten."


def store(found: Store, years: int, reader: Reader) -> Sheet:
    """A pond's or tank's year."""
    volumes = (
        ("rain", "rain on it"),
        ("runoff", "runs or is pumped in"),
        ("lost", "evaporates, seeps"),
        ("draw", "trees want"),
        ("level", "holds at the end, middle"),
        ("dry_level", "1 year in 10"),
    )
    size, surface = reader.text(found.size, Kind.VOLUME, 0), reader.text(found.surface, Kind.GROUND, 0)
    begins = "carries over from year to year" if found.carries_over else "full when the irrigation opens"
    return Sheet(
        "water.store",
        "Pond or tank through the year, trees full grown",
        (
            Column("month", "month"),
            *(Column(key, said, Kind.VOLUME, 0, links=_STORE) for key, said in volumes),
        ),
        tuple(
            (month, line.rain, line.runoff, line.lost, line.draw, line.level, line.dry_level)
            for month, line in zip(MONTHS, found.months, strict=True)
        ),
        f"Of {size} and {surface}, {begins}; day by day over {counted(years, 'weather year')}, middle of each month.",
        (f"In {found.dry_years} of {counted(years, 'year')} the trees want more than it holds.",),
    )


def pipes(water: WaterPlan) -> Sheet:
    """Every buried pipe from point to point; east and north of the map's origin."""
    return Sheet(
        "water.pipes",
        "Pipes in the ground",
        (
            Column("kind", "pipe"),
            Column("zone", "zone"),
            Column("item", "of pipe", links=table("tubing")),
            Column("length", "length", Kind.LENGTH, 1),
            Column("flow", "flow", Kind.FLOW, 1),
            *(
                Column(f"{end}_{axis}", f"{end}, {axis}", Kind.LENGTH, 1)
                for end in ("from", "to")
                for axis in ("east", "north")
            ),
        ),
        tuple(
            (
                str(run.kind),
                run.zone,
                run.item,
                run.length,
                run.flow,
                *(run.start[:2] if run.start else (None, None)),
                *run.end[:2],
            )
            for run in water.pipes.runs
        ),
        "From the orchard’s origin; a pipe without a beginning comes from the source.",
        stands_in=StandsIn.SPREADSHEET,
    )


def pipe_points(water: WaterPlan, reader: Reader) -> Sheet:
    """What stands on the pipes and where; how deep the trench is."""
    return Sheet(
        "water.points",
        "Filter, valves, drains and ends",
        (
            Column("what", "what", width=2.4),
            Column("zone", "zone", width=0.7),
            *(Column(axis, axis, Kind.LENGTH, 1, 0.8) for axis in ("east", "north", "height")),
        ),
        tuple(
            (POINTS[point.kind], point.zone or "main", *point.position)
            for kind in PointKind
            for point in water.pipes.points
            if point.kind is kind
        ),
        "From the orchard’s origin, as the posts are staked out.",
        (trench(water.pipes.trench, reader),),
    )


def trench(found: Trench, reader: Reader) -> str:
    depth = reader.text(found.depth, Kind.SMALL_LENGTH, 0)
    if found.frost is None:
        return (
            f"Trench {depth} deep; how deep the ground freezes is not known, so drain the pipes every autumn."
        )
    frost = reader.text(found.frost, Kind.SMALL_LENGTH, 0)
    if found.below_frost:
        return f"Trench {depth} deep, below the frost ({frost}). What stands above ground is drained every autumn."
    return f"Trench {depth} deep; the ground freezes to {frost}, so the pipes are drained every autumn."


def by_age(water: WaterPlan) -> Sheet:
    """A tree's water at each leaf, block by block."""
    return sheet_of(
        "water.by_age",
        "A tree’s water by its age",
        (
            Column("block", "block"),
            Column("leaf", "leaf"),
            Column("ground_cover", "floor under crowns", Plain.SHARE),
            Column("coefficient", "crop coefficient", Plain.RATIO, links=source("AP09")),
            Column("readily_available", "its soil holds ready", Kind.SMALL_VOLUME),
            *_spread(Kind.SMALL_VOLUME, 0, "in a season", of="season"),
            Column("peak", "on a hot week’s day", Kind.SMALL_VOLUME, (1, 0), of=lambda line: line.peak[1]),
            Column("waterings", "waterings, middle", Plain.COUNT),
            Column("each", "each", Kind.SMALL_VOLUME, (1, 0)),
            Column("hours_each", "each runs", Plain.HOURS, 1),
        ),
        water.blocks,
        _over(water),
        (
            "What leaves the emitters: in the first summer part of it sinks between the trees, where no roots are yet.",
        ),
    )


def wetting(water: WaterPlan, reader: Reader) -> Sheet:
    """What becomes of one watering, leaf by leaf: what is emitted is what the roots get and what they do not."""
    away = max(line.wetting.to_trunk for line in water.blocks)
    near = reader.text(away, Kind.SMALL_LENGTH, 0) if away >= 0.02 else ""
    days = {entry.job: day_label(entry.day) for entry in water.calendar}
    return sheet_of(
        "water.wetting",
        "Where a watering goes",
        (
            Column("block", "block"),
            Column("leaf", "leaf"),
            Column("each", "out of the emitters, a tree", Kind.SMALL_VOLUME, (1, 0)),
            *(
                Column(key, said, Plain.SHARE, links=source("SZ86"), of=partial(_wetted, key))
                for key, said in (
                    ("roots", "wets its roots"),
                    ("beside", "beside them"),
                    ("below", "below them"),
                    ("lost", "leaks, unevenness"),
                )
            ),
            Column("width", "wetted width", Kind.LENGTH, 1, of=partial(_wetted, "width")),
            Column("depth", "wetted depth", Kind.SMALL_LENGTH, 0, of=partial(_wetted, "depth")),
        ),
        water.blocks,
        "Together all that leaves the emitters; ground beside the roots is taken as dry as theirs.",
        (
            (
                f"An emitter stands within {near} of every trunk"
                if near
                else "An emitter stands at every trunk"
            )
            + ": begin each line so that its first emitter is at the first tree.",
            f"The first summer is watered from {days[WaterJob.BEGIN]} to {days[WaterJob.LAST]}, as every other.",
        ),
        charts=("wetting",),
    )


def _wetted(of: str, line: BlockNeed) -> float:
    return float(getattr(line.wetting, of))


def what_ifs(water: WaterPlan, reader: Reader) -> Sheet:
    says = {change: in_system(words.says, reader) for change, words in CHANGES.items()}
    remarks = {change: in_system(words.remedy, reader) for change, words in CHANGES.items()}
    return sheet_of(
        "water.what_ifs",
        "What a change would do",
        (
            Column("change", "change", width=1.5, words=says),
            *_spread(Kind.SMALL_VOLUME, 0, "a tree’s season", of="season", width=0.7),
            Column(
                "lost",
                "growth lost in a dry year",
                Plain.SHARE,
                1,
                0.9,
                of=lambda line: line.transpiration_lost[2],
            ),
            Column("remark", "remark", width=2.4, of="change", words=remarks),
        ),
        water.what_ifs,
        "Full-grown trees of the largest block; growth lost: share of full transpiration, high year.",
    )


def losses(water: WaterPlan) -> Sheet:
    rows: list[tuple[Value, ...]] = [(LOSSES[loss.part] or loss.item, loss.pressure) for loss in water.losses]
    rows.append(("together", water.pressure_wanted))
    rows.append(("the source has", water.source_pressure))
    return Sheet(
        "water.losses",
        "Where the pressure goes",
        (Column("item", "part"), Column("pressure", "pressure", Kind.PRESSURE, 1, links=_GOODS)),
        tuple(rows),
        "At the flow of the thirstiest set.",
    )


def lines_tried(water: WaterPlan, currency: str, reader: Reader) -> Sheet:
    return sheet_of(
        "water.lines_tried",
        "Drip lines tried",
        (
            Column("line", "line", width=2, links=_GOODS, of="name"),
            Column("cost", "lines and pipes", Plain.MONEY, width=0.9, unit=currency),
            Column("verdict", "verdict", width=2, of=lambda line: _verdict(line, reader)),
        ),
        water.lines_tried,
        stands_in=StandsIn.SPREADSHEET,
    )


def _verdict(line: LineTried, reader: Reader) -> str:
    facts = {
        "hours": reader.text(line.hours, Plain.HOURS, 1),
        "pressure": reader.text(line.pressure or 0.0, Kind.PRESSURE),
    }
    return "; ".join(MISSES[miss].format(**facts) for miss in line.misses) or "would do"


def schedule(water: WaterPlan) -> Sheet:
    """Weeks with water to give, by zone and leaf."""
    rows: list[tuple[Value, ...]] = []
    alike = zones_alike(water)
    for week in range(water.zone_hours.shape[-1]):
        for names, members in alike.items():
            hours = water.zone_hours[members][..., week].max(axis=0)[list(_LEAVES)]
            if hours.max() >= WORTH_RUNNING:
                rows.append((week_label(week + 1), names, *(float(value) for value in hours.ravel())))
    return Sheet(
        "water.schedule",
        "Hours to run each zone, week by week",
        (
            Column("week", "week from"),
            Column("zone", "zone"),
            *(
                Column(f"{key}_{leaf % 6 + 1}", f"{name}, {said}", Plain.HOURS, 1)
                for leaf, name in _LEAVES.items()
                for key, said in (("middle", "middle"), ("dry", "9 years in 10"))
            ),
        ),
        tuple(rows),
        f"Weekly need of {len(water.years)} weather years: the middle one, and what is enough in nine of ten.",
        ("A small root ball dries out fast: little and often. Leaves between lie between.",),
        charts=("watering",),
    )


def zones_alike(water: WaterPlan) -> dict[str, list[int]]:
    """Zones that run the same hours to within a few minutes, by their names together."""
    groups: list[list[int]] = []
    for at, hours in enumerate(water.zone_hours):
        for group in groups:
            if np.abs(water.zone_hours[group[0]] - hours).max() < _ALIKE:
                group.append(at)
                break
        else:
            groups.append([at])
    return {listed([water.zones[at].name for at in group]): group for group in groups}


def calendar(water: WaterPlan, reader: Reader) -> Sheet:
    return sheet_of(
        "water.calendar",
        "The irrigation’s year",
        (
            Column("day", "day", Plain.DAY_OF_YEAR, width=0.6),
            Column("what", "what", width=1.4, of=lambda entry: in_system(JOBS[entry.job].says, reader)),
            Column("how", "how", width=3.4, of=lambda entry: in_system(JOBS[entry.job].remedy, reader)),
        ),
        water.calendar,
        "Days of the middle year: filled at bud break, emptied when watering ends; between, the weeks that need water "
        "in nine years of ten.",
    )


def quality(water: WaterPlan) -> Sheet:
    return sheet_of(
        "water.quality",
        "Have the water analysed",
        (
            Column("what", "what", width=1.1, of="name"),
            Column("below", "no trouble below", width=0.7, of=lambda note: f"{note.well_below:,g}"),
            Column("above", "trouble above", width=0.7, of=lambda note: f"{note.trouble_above:,g}"),
            Column(
                "found",
                "found",
                width=0.6,
                of=lambda note: None if note.found is None else f"{note.found:,g}",
            ),
            Column("unit", "unit", width=0.6, of="measure"),
            Column("does", "what it does", width=2, of=lambda note: note.remarks[0]),
            Column("remedy", "what to do", width=2, of=lambda note: note.remarks[1]),
            Column("source", "source", width=0.7, leads=LinkKind.SOURCE),
        ),
        water.quality,
    )


def evaporation(water: WaterPlan) -> Sheet:
    return Sheet(
        "water.evapotranspiration",
        "Reference evapotranspiration by month",
        (Column("month", "month"), *_spread(Kind.RAIN, (2, 1), "a day")),
        tuple(
            (month, *(float(value) for value in line))
            for month, line in zip(MONTHS, water.reference_et, strict=True)
        ),
        f"What short grass would use (FAO-56); monthly means over {counted(len(water.years), 'weather year')}.",
    )


def zones(water: WaterPlan) -> Sheet:
    return sheet_of(
        "water.zones",
        "Zones",
        (
            Column("zone", "zone", width=0.6, of="name"),
            Column("rows", "rows", width=2.4, of=lambda zone: addresses(zone.rows)),
            Column("trees", "trees", width=0.6),
            Column("flow", "flow", Kind.FLOW, 1, 0.7),
            Column("pressure", "pressure at its valve", Kind.PRESSURE, width=1, links=_GOODS),
            Column("evenness", "evenness", Plain.SHARE, width=0.8, links=source("KK75"), of="uniformity"),
            Column("quarter", "driest quarter", Plain.SHARE, width=0.8, of="lowest_quarter"),
            Column("line", "drip line", width=1, links=_GOODS, of=lambda zone: water.emitter),
            Column(
                "manifold",
                "manifold pipe",
                width=1,
                of=lambda zone: zone.manifold or "none: one row on the valve",
            ),
            Column("set", "runs in set", width=0.6, of="runs_in_set"),
            Column("peak_hours", "each day at the peak", Plain.HOURS, 1, 0.8),
        ),
        water.zones,
        "Evenness: emission uniformity over all emitters of the zone, make included; "
        "driest quarter: its mean over the mean of all, by pressure alone.",
    )
