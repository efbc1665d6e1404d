"""A garden's plan in a few lines: what stands, what it gives, what it takes."""

from topwire.engine.orchard import Orchard
from topwire.ledger.findings import Running, Spent
from topwire.show.garden_sheets import grown_hours
from topwire.tell.choice import worst_years
from topwire.tell.reader import Reader, counted
from topwire.tell.trellis_ground import CURES
from topwire.tell.words import in_system
from topwire.trellis.kinds import FenceCure
from topwire.values.units import Kind

Facts = list[tuple[str, str]]


def opening(orchard: Orchard) -> str:
    """Under the title."""
    layout = orchard.layout
    assert layout is not None
    planted = layout.cultivar >= 0
    kinds = len(set(layout.cultivar[planted].tolist()))
    return (
        f"{counted(planted.sum(), 'apple tree').capitalize()} of {counted(kinds, 'kind')}, to be planted in autumn "
        f"{orchard.origin.planting_year}"
    )


def outline(orchard: Orchard, reader: Reader) -> Facts:
    """What one wants to know first."""
    lines = (
        ("What it gives", _gives(orchard, reader)),
        ("What it costs", _costs(orchard)),
        ("Your time", _time(orchard)),
        ("The support", _support(orchard, reader)),
        ("Frost", _frost(orchard)),
        ("First fruit", _first(orchard, reader)),
    )
    return [(title, says) for title, says in lines if says]


def _gives(orchard: Orchard, reader: Reader) -> str:
    choice = orchard.choice
    if choice is None:
        return ""
    years = len(choice.years)
    worst = worst_years(years)
    wanted, served = (reader.text(mass, Kind.MASS, 0) for mass in (choice.wanted_kg, choice.served_kg))
    return (
        f"Of {wanted} you want in a year, {served} once the "
        f"trees are grown; in {worst} {choice.worst_fifth:.0%} of it."
    )


def _costs(orchard: Orchard) -> str:
    ledger = orchard.ledger
    if ledger is None:
        return ""
    money, work = ledger.currency, ledger.establishment.get(Spent.WORK, 0.0)
    goods = sum(cost for kind, cost in ledger.cost_by_kind.items() if kind is not Running.WORK)
    own = f", {work:,.0f} of it for your own work at the plan’s wage" if work >= 1 else ""
    return (
        f"{ledger.cost_to_establish:,.0f} {money} until the trees stand{own}; then about {goods:,.0f} {money} a year "
        f"for goods and water. Bought apples for the same plates would cost {sum(ledger.value_by_use.values()):,.0f} "
        f"{money} a year."
    )


def _time(orchard: Orchard) -> str:
    ledger = orchard.ledger
    if ledger is None:
        return ""
    year = grown_hours(ledger)
    first = sum(float(task.hours[0].sum()) for task in ledger.tasks)
    return f"About {counted(first, 'hour')} until the trees stand, then {counted(year, 'hour')} a year."


def _support(orchard: Orchard, reader: Reader) -> str:
    trellis = orchard.trellis
    if trellis is None:
        return ""
    if not trellis.fences:
        return f"Posts and wires of their own, about {counted(trellis.labour_hours, 'hour')} to build."
    worst = trellis.fences[0]
    if worst.wall:
        return (
            "The wall’s eyes bear the wires."
            if worst.bears
            else "The wall’s eyes bear the wires on springs only."
        )
    if worst.bears is None:
        return "Whether the fence bears the wires is not known: look at its posts (page on wires)."
    if worst.bears:
        return "The fence bears the wires as it stands."
    says = "The fence does not bear the wires as it stands"
    if worst.cure is FenceCure.NONE:
        return f"{says}."
    return f"{says}. Cheapest cure: {in_system(CURES[worst.cure], reader)}."


def _frost(orchard: Orchard) -> str:
    place, choice = orchard.place, orchard.choice
    if place is None or choice is None:
        return ""
    lost = []
    for line in choice.chosen:
        if line.name in place.cultivars:
            left = place.crop_after_frost[:, place.cultivars.index(line.name)]
            lost.append(float(1 - left[left == left].mean()) if (left == left).any() else 0.0)
    return (
        f"Spring frost takes {max(lost, default=0):.0%} of the crop of the earliest kind in the mean year."
        if lost
        else ""
    )


def _first(orchard: Orchard, reader: Reader) -> str:
    years = orchard.years
    if years is None:
        return ""
    crop = years.orchard_kg[:, 1]
    at = next((index for index, kg in enumerate(crop) if kg > 0), None)
    if at is None:
        return ""
    return (
        f"In {orchard.origin.planting_year + int(years.leaf[at])}, about {reader.text(float(crop[at]), Kind.MASS)}; "
        f"grown trees bear about {reader.text(float(crop.max()), Kind.MASS)} a year."
    )
