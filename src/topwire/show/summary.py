"""The job in a few lines: what is planted, what it serves, what it takes."""

from collections.abc import Callable, Mapping

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.soil.nutrients import Level
from topwire.tell.choice import no_better, worst_years
from topwire.tell.nursery import in_time
from topwire.tell.reader import Reader, counted
from topwire.tell.trellis import condition_words, part_words
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.row_findings import first_to_give
from topwire.values.calendar import week_label
from topwire.values.units import Kind

Facts = list[tuple[str, str]]


def job(orchard: Orchard) -> Facts:
    """One line a department, in the order of the journey; absent ones say so."""
    found = found_by(orchard, Reader(orchard.origin.units))
    return [
        (title, found.get(name, "Not computed; the chapter says why."))
        for name, (title, _) in _LINES.items()
        if name != "press" or orchard.press is None or orchard.press.drinks
    ]


def headline(orchard: Orchard) -> Facts:
    """Four figures to remember, each with what it is."""
    layout, choice, ledger = orchard.layout, orchard.choice, orchard.ledger
    found: Facts = []
    if layout is not None:
        planted = layout.cultivar[layout.cultivar >= 0]
        kinds = counted(len(set(planted.tolist())), "cultivar")
        found.append((f"{planted.size:,}", f"trees of {kinds}"))
    if choice is not None and choice.wanted_kg:
        share = f"{choice.served_kg / choice.wanted_kg:.0%}"
        found.append((share, "of what the kitchen wants, in the mean year of full crop"))
    if ledger is not None:
        found.append((f"{ledger.cost_to_establish:,.0f}", f"{ledger.currency} to establish"))
        paid = ledger.payback_year
        says = "years until it has paid for itself" if paid else "not paid back in the plan’s years"
        found.append((f"{paid or '–'}", says))
    return found


def found_by(orchard: Orchard, reader: Reader) -> dict[str, str]:
    """What each department that has answered found, in a line."""
    return {
        name: tell(orchard, reader)
        for name, (_, tell) in _LINES.items()
        if orchard.departments[name] is not None
    }


def _place(orchard: Orchard, reader: Reader) -> str:
    place = orchard.place
    assert place is not None
    free = np.nanmedian(place.frost_free_days) if np.isfinite(place.frost_free_days).any() else None
    days = f"; {free:.0f} days without frost in the middle year" if free is not None else ""
    return (
        f"{len(place.years)} weather years, {int(place.years[0])} to {int(place.years[-1])}{days}; "
        f"of {len(place.cultivars)} known cultivars its cold, chill and season rule out {len(place.unfit) or 'none'}."
    )


def _planting(orchard: Orchard, reader: Reader) -> str:
    layout, ground = orchard.layout, orchard.ground
    assert layout is not None
    planted = layout.cultivar >= 0
    standing = int((layout.standing & planted).sum())
    kinds = len(set(layout.cultivar[planted].tolist()))
    says = f"{counted(planted.sum(), 'tree')} of {counted(kinds, 'cultivar')}"
    if ground is not None:
        rows, used = (
            sum(len(block.rows) for block in ground.blocks),
            {(run.block, run.row) for run in layout.runs},
        )
        area = reader.text(sum(block.area for block in ground.blocks), Kind.AREA)
        ground_has = f"on {area}" if len(used) >= rows else f"of the {rows} that {area} hold"
        says += f" in {counted(len(used), 'row')} {ground_has}"
    if standing:
        says += f", {standing} of them standing already"
    year = orchard.origin.planting_year
    in_spring = orchard.ledger is not None and orchard.ledger.planted_in_spring
    set_in = (
        f"lifted in autumn {year} and set in spring {year + 1}" if in_spring else f"planted in autumn {year}"
    )
    return f"{says}, {set_in}."


def _kitchen(orchard: Orchard, reader: Reader) -> str:
    choice = orchard.choice
    assert choice is not None
    wanted, served = choice.wanted_kg, choice.served_kg
    share = f" ({served / wanted:.0%})" if wanted else ""
    weakest = [
        (need.weakest[1], need.use, need.weakest[0]) for need in choice.needs if need.weakest is not None
    ]
    least = ""
    if weakest:
        served_least, use, week = min(weakest)
        least = f" The weakest week is that from {week_label(week)}, with {served_least:.0%} of {use} in the mean year."
    return (
        f"Of {reader.text(wanted, Kind.MASS, 0)} wanted a year, {reader.text(served, Kind.MASS, 0)}{share} served in "
        f"the mean year of full crop, {choice.worst_fifth:.0%} in {worst_years(len(choice.years))}.{least} By the "
        f"plan’s own measure {no_better(choice.gap_of_avoidable)}."
    )


def _press(orchard: Orchard, reader: Reader) -> str:
    press = orchard.press
    assert press is not None
    if not press.drinks:
        return "Nothing is pressed."
    made = ", ".join(
        f"{reader.text(drink.mean_made, Kind.SMALL_VOLUME, 0)} of {drink.product}" for drink in press.drinks
    )
    weeks = [line for line in press.weeks if line.mean > 0]
    fullest = max(weeks, key=lambda line: line.mean)
    lacking = sum(press.lacking.values())
    tanks = (
        f"; vessels for {reader.text(lacking, Kind.SMALL_VOLUME, 0)} are wanting"
        if lacking
        else f"; {counted(sum(bool(use.product) for use in press.vessels), 'vessel')} filled"
        if press.vessels
        else ""
    )
    return (
        f"In the mean year {made}, pressed in {counted(len(weeks), 'week')} from that of {week_label(weeks[0].week)}; "
        f"most in that of {week_label(fullest.week)}, {reader.text(fullest.mean, Kind.MASS, 0)} in "
        f"{'under an hour' if fullest.hours < 0.5 else counted(fullest.hours, 'hour')}{tanks}."
    )


def _nursery(orchard: Orchard, reader: Reader) -> str:
    nursery = orchard.nursery
    assert nursery is not None
    grafts = sum(line.grafts for line in nursery.lines)
    bought = sum(line.bought_trees for line in nursery.lines)
    stocks = sum(line.number for line in nursery.stocks)
    culls = sum(line.culls for line in nursery.stocks)
    spare = f"{nursery.spare_stocks:,} spare for August buds and " if nursery.spare_stocks else ""
    on = f"{counted(stocks, 'rootstock')} ({spare}{culls:,} for culls among them)"
    parts = [f"{counted(grafts, 'graft')} on {on}"] if grafts else []
    if bought:
        parts.append(f"{counted(bought, 'tree')} to buy")
    says = "; ".join(parts) or "Nothing to graft and nothing to buy"
    chosen = next((line for line in nursery.policies if line.chosen), None)
    if chosen is not None:
        says += (
            f"; {chosen.joint_chance:.0%} sure that {in_time(chosen.late_trees)}; else about "
            f"{counted(max(chosen.missing, 1.0), 'tree')} missing: "
            f"{'' if chosen.late_trees else 'budded in August, '}bought, or a winter later"
        )
    return f"{says}." + (f" First date: {reader.date(nursery.dates[0].first)}." if nursery.dates else "")


def _trellis(orchard: Orchard, reader: Reader) -> str:
    trellis = orchard.trellis
    assert trellis is not None
    parts = []
    if trellis.rows:
        parts.append(f"Built for a gust of {reader.text(trellis.design_gust, Kind.SPEED, 0)}")
    gusts = tuple(gust for row in trellis.rows for gust in row.gusts)
    if gusts:
        first = first_to_give(gusts)
        low, middle, high = (reader.text(at, Kind.SPEED, 0) for at in (first.low, first.middle, first.high))
        parts.append(
            f"the first part to give: {part_words(first)} at {middle}, from {low} to {high} by how much the leaves "
            f"drag ({condition_words(first)})"
        )
    if trellis.fences:
        parts.append(_fences(trellis))
    says = "; ".join(parts) or "nothing to build"
    hours = counted(trellis.labour_hours, "hour")
    return f"{says[0].upper()}{says[1:]}. Material {trellis.cost:,.0f}{_currency(orchard)}, about {hours}."


def _fences(trellis: TrellisFindings) -> str:
    """What stands already instead of a trellis, by the fence that bears least."""
    bear = {fence.bears for fence in trellis.fences}
    if False in bear:
        return "the standing fence does not bear the wires as it stands (the chapter has the cheapest cure)"
    if None in bear:
        return "whether the standing fence bears the wires is not known (the chapter says what to look at)"
    return "the standing fence bears the wires"


def _water(orchard: Orchard, reader: Reader) -> str:
    water = orchard.water
    assert water is not None
    digits = 1 if reader.us else 0
    zones = len(water.zones)
    return (
        f"{reader.text(water.peak_need[1], Kind.SMALL_VOLUME, digits)} a tree on a hot week's day, full grown; "
        f"{counted(zones, 'zone')} of drip line. Material {water.cost:,.0f}{_currency(orchard)}."
    )


def _soil(orchard: Orchard, reader: Reader) -> str:
    soil = orchard.soil
    assert soil is not None
    if not soil.tested:
        bill = f"{soil.cost:,.0f}{_currency(orchard)}"
        return f"No test yet: it decides on lime and feeding, two years ahead. Bill so far {bill}."
    lime = sum(line.amount for line in soil.dressings)
    says = (
        "No lime"
        if lime <= 0
        else f"{reader.text(lime, Kind.MASS, 0)} of lime in {counted(len(soil.dressings), 'dressing')}"
    )
    low = [str(line.nutrient) for line in soil.readings if line.verdict is Level.LOW]
    return f"{says}{'; low: ' + ', '.join(low) if low else ''}. Bill {soil.cost:,.0f}{_currency(orchard)}."


def _years(orchard: Orchard, reader: Reader) -> str:
    years = orchard.years
    assert years is not None
    crop = years.orchard_kg[:, 1]
    first = next((index for index, kg in enumerate(crop) if kg > 0), None)
    if first is None:
        return "No crop within fifteen leaves."
    says = (
        f"First crop in leaf {int(years.leaf[first])} ({orchard.origin.planting_year + int(years.leaf[first])}), about "
        f"{reader.text(float(crop[first]), Kind.MASS, 0)}"
    )
    sound = f", {orchard.choice.sound_share:.0%} of it sound" if orchard.choice is not None else ""
    return (
        f"{says}; {reader.text(float(crop.max()), Kind.MASS)} in the best of fifteen, middle weather{sound}."
    )


def _money(orchard: Orchard, reader: Reader) -> str:
    ledger = orchard.ledger
    assert ledger is not None
    later = sum(line.spent for line in ledger.capital if not line.at_planting)
    cost = f"{ledger.cost_to_establish:,.0f} {ledger.currency} to establish"
    if later:
        cost += f", {later:,.0f} more for goods with the first crop"
    if orchard.is_garden:  # nobody asks a garden when it has paid for itself
        return f"{cost}."
    if ledger.payback_year is None:
        return f"{cost}; not paid back within the plan's years."
    paid = f"{cost}; paid back after {counted(ledger.payback_year, 'year')}"
    if ledger.payback_discounted is None:
        paid += ", not with interest"
    return f"{paid}, fruit valued at what it would cost to buy."


def _currency(orchard: Orchard) -> str:
    return f" {orchard.ledger.currency}" if orchard.ledger else ""


_LINES: Mapping[str, tuple[str, Callable[[Orchard, Reader], str]]] = {
    "place": ("The place", _place),
    "layout": ("The planting", _planting),
    "choice": ("The kitchen", _kitchen),
    "press": ("The press", _press),
    "nursery": ("The nursery", _nursery),
    "trellis": ("The trellis", _trellis),
    "water": ("The water", _water),
    "soil": ("The soil", _soil),
    "years": ("The years", _years),
    "ledger": ("The money", _money),
}
