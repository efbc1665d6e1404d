"""What the chosen fruit asks of the cellar and gives to the press, told as remarks."""

from collections.abc import Sequence

import numpy as np

from topwire.cellar.cider import STRENGTH, STRENGTH_SPREAD, gravity_of_brix, strength
from topwire.cellar.moisture import water_loss
from topwire.cellar.respiration import PULL_DOWN, breathing_heat, field_heat
from topwire.choice.needs import WeeklyNeed
from topwire.choice.serving import Service
from topwire.choice.supply import Supply
from topwire.notices import Notice, remark, warning
from topwire.plan.kitchen import Use
from topwire.plan.model import Plan
from topwire.values.calendar import week_label
from topwire.values.units import Kind, shown

HUMIDITY = 0.9  # of a good cellar's air
MONTH = 30.0  # [d]
PICKED_AT = 18.0  # [deg C] fruit of an autumn afternoon: planning figure, no source


def cellar_notices(plan: Plan, service: Service) -> list[Notice]:
    """The fullest week of the middle year, and the cooling it asks for."""
    middle = np.median(service.stored, axis=0)
    if middle.max() < 1.0:
        return []
    week = int(np.argmax(middle)) + 1
    most = float(middle.max())
    cold = plan.kitchen.cellar.temperature
    breath = float(breathing_heat(most, cold))
    day = (
        float(np.max(np.diff(middle, append=middle[:1]), initial=0.0)) / 6
    )  # a week's harvest on six picking days
    fresh = float(field_heat(day, PICKED_AT, cold)) / PULL_DOWN
    dried = float(water_loss(cold, HUMIDITY, MONTH))
    units = plan.unit_system
    says = (
        f"the cellar is fullest about {week_label(week)} with {shown(most, Kind.MASS, units)} in the middle year; the "
        f"fruit breathes out about {breath:,.0f} W, and a day's warm picking asks for about {fresh:,.0f} W more. At "
        f"{HUMIDITY:.0%} humidity it dries by {dried:.1%} a month."
    )
    return [
        remark(
            "choice",
            says,
            "Walls and doors come on top; they mostly ask for more than the fruit.",
            "NCSTATE-COOL",
        )
    ]


def press_notices(supply: Supply, needs: Sequence[WeeklyNeed], service: Service) -> list[Notice]:
    """Sugar of the cider's juice and the strength to expect, from the cultivars that go into it."""
    numbers = [number for number, need in enumerate(needs) if need.use is Use.CIDER]
    fruit = service.given[:, :, numbers].sum(axis=(0, 2))
    known = np.array([row.brix is not None for row in supply.cultivars])
    if not fruit[known].sum() > 0:
        return []
    sugar = np.array([row.brix or 0.0 for row in supply.cultivars])
    brix = float((fruit * sugar)[known].sum() / fruit[known].sum())
    gravity = gravity_of_brix(brix)
    low, high = (float(strength(gravity, STRENGTH + sign * STRENGTH_SPREAD)) for sign in (-1, 1))
    says = (
        f"the cider fruit together has about {brix:.1f} °Brix (gravity {gravity:.3f}); fermented dry that is "
        f"{low:.1f} to {high:.1f} % alcohol."
    )
    return [
        remark(
            "choice",
            says,
            "Measure the juice of the year: sugar moves by two degrees with weather and crop.",
            "CIDER-SG",
        )
    ]


def shelf_notices(needs: Sequence[WeeklyNeed]) -> list[Notice]:
    """Products wanted in weeks when what was made is no longer good, or not yet made."""
    found = []
    for need in needs:
        none = need.off_the_shelf()
        if none:
            says = (
                f"{need.label}: it keeps {need.shelf_weeks:.0f} weeks after it is made, so in {len(none)} of its "
                f"{len(need.used)} weeks, from {week_label(none[0])} to the week of {week_label(none[-1])}, none is to "
                "be had however many trees there are."
            )
            remedy = "Make it later in the season, eat it sooner, or state keeps if your own keeps longer."
            found.append(warning("choice, kitchen.needs", says, remedy))
    return found


def blend_notices(supply: Supply, needs: Sequence[WeeklyNeed], service: Service) -> list[Notice]:
    """Acid and tannin of each bounded blend in the middle year, beside its bounds."""
    found = []
    for number, need in enumerate(needs):
        if need.blend is None:
            continue
        fruit = service.given[:, :, number]
        pressed = fruit.sum(axis=1) > 1.0
        if not pressed.any():
            continue
        said = []
        sides = zip(("acid", "tannin"), need.blend.sides(supply.cultivars), strict=True)
        for name, (of_fruit, low, high) in sides:
            mixed = (fruit[pressed] @ np.nan_to_num(of_fruit)) / fruit[pressed].sum(axis=1)
            least = "" if low is None else f"at least {low:g}"
            most = "" if high is None else f"at most {high:g}"
            bounds = " and ".join(filter(None, (least, most))) or "no bound"
            said.append(f"{float(np.median(mixed)):.1f} g/L {name} ({bounds})")
        says = f"{need.label}: in the middle year the mixed juice has {' and '.join(said)}."
        source = "JOLICOEUR-ACID" if need.need.blend == "usual" else ""
        remedy = "Measure acid and pH before you blend: many cultivars stand with the figures of their class."
        found.append(remark("choice", says, remedy, source))
    return found
