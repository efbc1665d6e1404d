"""Words of the Water."""

from collections.abc import Mapping

from topwire.tell.words import Facts, Speech, Words
from topwire.water.findings import LossPart, NeedChange, PointKind, Shortcoming, WaterJob

WORDS: Mapping[str, Speech] = {
    "water.no_tree": Words("there is no tree to water.", "Choose and lay out trees first."),
    "water.unknown_emitter": Words(
        "there is no emitter “{emitter}” in the catalogue.", "Write choose, or one of: {known}."
    ),
    "water.no_fitting": Words("the catalogue has no item of the kind “{kind}”.", "Add one to {setting}."),
    "water.no_tube": Words(
        "the tube “{tube}” of {line} is not in tubing.csv.", "Add it, or name another tube."
    ),
    "water.no_whole_year": Words(
        "no weather year has fewer than {gaps} days missing from April to October.",
        "Add weather files until at least one year is whole; five are better.",
    ),
    "water.no_line": Words(
        "no line of the catalogue waters these rows with an emission uniformity of {goal:.0%}.",
        "Add a compensating line of a larger inside diameter to emitters.csv, or shorten the rows.",
    ),
    "water.no_rain": Words(
        "the weather files have no rain, so every need of water is worked out as if none fell: the most it can be.",
        "Add a record with rain; need and bill then become those of the place.",
    ),
    "water.no_wind": Words(
        "the weather files have no wind: [2 m/s|4.5 mph] is taken, as FAO-56 advises. In a windy place need is higher.",
        "A wind column in the weather file replaces it.",
    ),
    "water.gaps_filled": Words(
        "{days:empty day|empty days} in {years} of {of:weather year was|weather years were} filled with the usual "
        "weather of the day for the "
        "water balance."
    ),
    "water.years_left_out": Words(
        "{years:weather year is|weather years are} too broken for a water balance and left out; bloom and frost count "
        "whole years by a rule of their own (the page Place)."
    ),
    "water.few_years": Words(
        "only {years:summer|summers} of weather: too few to say what a dry one asks for.",
        "Add a longer record of a station near by.",
    ),
    "water.need": lambda facts: Words(
        "tree size, roots and ground cover by leaf are common practice ("
        + ("grass in the alleys" if facts["grassed"] else "bare alleys")
        + "); the coefficients for a tall, narrow wall (multiplier 1.5, stomata 0.90) are from memory and weak: need "
        "may be a quarter off either way. At the peak we count {peak} a tree and day; the plain table of FAO-56 for a "
        "full orchard gives {table}.",
        "Watch the soil with an auger or a probe at two depths and correct the run time.",
    ),
    "water.efficiency": Words(
        "of what leaves the emitters {efficiency:.0%} soaks in evenly, and in the first summer {roots:.0%} wets ground "
        "that has roots: the wetted ground is {width} wide, a first summer’s ball of roots {ball}; soil figures are "
        "the middle of the table for the texture named. Measured drip systems mostly stand at a distribution "
        "uniformity of 65 to 80 %: flushing and filters keep it up."
    ),
    "water.away": Words(
        "no line on offer has an emitter at every trunk: some stand {away} away, where a first summer’s roots do not "
        "reach.",
        "Add a line to emitters.csv whose spacing is the trees’ or a whole part of it, or a button at every trunk.",
    ),
    "water.prices": Words(
        "the prices of the water bill are planning figures where no source stands beside them.",
        "Replace them by quotes in the catalogue.",
    ),
    "water.too_little": lambda facts: _too_little(facts),
    "water.low_pressure": Words(
        "the source’s pressure is too low: {wanted} is wanted at it, it has {has}.",
        "Smallest change: a booster pump that adds {short} at {flow} (in the bill).",
    ),
    "water.store_at_hand": Words("the dry year of ten asks for {size} in store, which is at hand."),
    "water.pond": lambda facts: Words(
        "to serve the trees in nine years of ten the pond must hold about {size}, rain, evaporation and seepage counted"
        + (", if it is full each spring" if facts["full"] else "")
        + (
            "; it holds {has} and runs dry in {dry} of the weather years."
            if facts["stated"]
            else "; the plan does not say what it holds."
        ),
        "Dig it larger, water fewer trees, or state water.storage and water.catchment.",
    ),
    "water.never_full": Words(
        "rain on the pond and on the {catchment} that drain into it do not carry the trees through nine years of ten, "
        "however large the pond.",
        "Look for a second source, a larger catchment, or water fewer trees; check water.catchment.",
    ),
    "water.store": lambda facts: Words(
        "the dry year of ten asks for {size} in store; "
        + ("{has} is at hand." if facts["stated"] else "none is named in the plan."),
        "State water.storage if there is one; to dig and line it costs about {price} (proposal).",
    ),
    "water.uneven": Words(
        "emission uniformity is {uniformity:.0%} in the worst zone; {goal:.0%} is aimed at.",
        "Choose a compensating line.",
    ),
    "water.floods": Words(
        "the line gives {rate} an hour to its strip, more than {soil} takes in for long ({takes} an hour): water will "
        "stand or run.",
        "Water in several short runs a day, or take a line with emitters of lower flow.",
    ),
    "water.spots": Words(
        "on {soil} emitters every {spacing} wet spots rather than one strip.",
        "Closer emitters, or two lines a row, wet more of it.",
    ),
    "water.narrow_strip": Words(
        "one line wets about {share:.0%} of the floor; a fifth is wanted where it rains in summer, a third where it "
        "does not."
    ),
    "water.make": Words(
        "emitters of this drip line differ by {variation:.0%} as made, which is {grade}.",
        "The figure is the maker’s to give: ask.",
    ),
    "water.flushing": Words(
        "flush lines by opening no more than {ends:end|ends} of a zone at a time, so that water leaves at {speed} a "
        "second or more."
    ),
    "water.hangs": Words(
        "the drip line (lateral) hangs on the low wire, {height} above ground; its length in the bill is post to post "
        "with the riser."
    ),
    "water.fast": Words(
        "even the widest main of the catalogue runs faster than {speed} a second.",
        "Add a wider pipe to tubing.csv, or water in smaller sets.",
    ),
    "water.pipe_crosses": Words(
        "the pipe of {concerns} crosses obstacle {obstacle} of ground.obstacles: a way around is over {around} longer.",
        "Lay a sleeve under or through it first, or carry the pipe around where it can be dug.",
    ),
    "water.pipe_unseen": Words(
        "the source’s pipe counts as {length} long, as stated; what of ground.obstacles lies in its way is not known.",
        "State water.at: it is then laid around them. Or measure it so and state that as water.distance.",
    ),
    "water.untested": Words(
        "nobody has said what is in this water: {concerns} decide filter and upkeep.",
        "Have a laboratory test it (the table of water quality says for what) before ordering, and state the figures "
        "under water: filter and flushing then follow them.",
    ),
    "water.salty": Words(
        "water of {salt} dS/m: {does}; in the long run about {crop:.0%} of a full crop (indicative).",
        "Give about {more:.0%} more than the need where winter rain does not wash salt down; {remedy}.",
    ),
    "water.laden": lambda facts: Words(
        f"{{what}} {{value:g}}{'' if facts['unit'] in ('pH', '-') else ' {unit}'} in the water: {{does}}.",
        (
            ("Too much for drip as it comes: " if facts["drip"] else "Too much for apple as it comes: ")
            if facts["too_much"]
            else ""
        )
        + "{remedy}.",
    ),
    "water.cleaned": lambda facts: Words(
        "by the water’s test a "
        + ("media filter with a screen behind it" if facts["media"] else "screen filter")
        + " stands at the source (in the bill) and the lines are flushed every {days} days (in the calendar).",
        "Test again each spring: wells change. Longer between flushes where a catch of the ends runs clear.",
    ),
    "water.settled": lambda facts: Words(
        "water from the well is sprayed through the air into a tank of {size} and stands there {minutes} minutes at "
        "the system’s flow, while "
        + ("its iron turns to rust and sinks" if facts["iron"] else "its gas leaves")
        + "; the well’s pressure ends there, and a pump behind it gives the system’s (all in the bill)."
        + (
            " pH {acidity:g} is taken: a tenth lower takes half as long again."
            if facts["iron"] and not facts["tested"]
            else ""
        ),
        ("" if facts["tested"] or not facts["iron"] else "Have the pH tested and state water.acidity. ")
        + "Let the water in high at one end and out at the other, a hand above the floor; draw off the sludge each "
        "month. Keep it covered and locked against children and light; a float stops well and pump.",
    ),
    "water.too_sour_to_air": Words(
        "at pH {acidity:g} iron takes {hours:.0f} hours in the air to turn to rust: a tank is no cure, and none is in "
        "the bill.",
        "Another source, or ask a water laboratory how the iron is got out of it. Do not build drip on it as it comes.",
    ),
    "water.flows_back": Words(
        "the source is drinking water: orchard water must never be able to flow back into it.",
        "A reduced-pressure backflow assembly stands first on the line, above ground, tested every year; the water "
        "supplier and the plumbing code have the last word. A licensed plumber makes the connection.",
    ),
    "water.tap_flows_back": Words(
        "the tap gives drinking water: what was in the lines must never be able to flow back into it.",
        "A vacuum breaker for hose connections stands first on the tap, above the highest emitter, and nothing is ever "
        "fed into the line; the water supplier and the plumbing code have the last word, and may ask for more.",
    ),
    "water.permit": Words(
        "taking water from a {kind} for irrigation often needs a permit, and the right to it may be limited in a dry "
        "year.",
        "Ask the local water authority before the system is bought. A check valve with vacuum relief keeps orchard "
        "water out of the source.",
    ),
    "water.feeding_in": Words(
        "fertiliser or anything else is fed into the lines only behind a working backflow assembly.",
        "With an injector also a check valve on the injection line and an interlock that stops it with the pump; local "
        "rules on chemigation apply. Never feed anything in where people drink from the same pipe.",
    ),
    "water.drowns": Words(
        "a pond or tank drowns children, a full-grown person too where its sides are steep or lined.",
        "Fence it, gate locked, or cover and lock it, before it holds water; a way to climb out; nobody on its ice.",
    ),
    "water.germs": Words(
        "water from open sources may carry germs; drip under the trees keeps it off the fruit, overhead water does "
        "not.",
        "Have it tested each year; fruit that touched water of unknown quality is washed with drinking water.",
    ),
    "water.electricity": Words(
        "electricity at pump, valves and controller stands in wet places.",
        "A licensed electrician, a residual-current (ground-fault) breaker, and power off before the pump or filter is "
        "opened; let the pressure out first.",
    ),
    "water.frost": lambda facts: Words(
        "drip does not protect bloom from frost: that takes overhead water, about {wanted} all night, the source gives "
        "{has}. " + ("It is enough, with sprinklers of its own." if facts["enough"] else "It is not enough."),
        "Overhead water once begun must run until the ice melts by itself; ice breaks branches and wires, and wet "
        "ground at night is slippery. Soil moist from an afternoon’s drip holds a little heat, no more.",
    ),
    # this week
    "water.not_planted": Words("no tree stands in its first leaf before {year}."),
    "water.no_forecast": Words(
        "the forecast has no day {day}.",
        "It must hold today and the days after, with lowest and highest temperature and rain.",
    ),
    "water.past_days_missing": Words(
        "{days} past days of this year are missing: usual days of the record stand in."
    ),
    "water.short_forecast": Words(
        "the forecast has {days:day|days}; the days after are not planned.", "Ask again on {again}."
    ),
    "water.known_late": Words(
        "this year’s weather is known only from day {day} on: the soil is taken as full on that day.",
        "Read the soil with an auger before trusting the hours.",
    ),
    "water.computed_soil": Words(
        "the hours follow a computed soil; rain differs from one field to the next.",
        "Dig or auger at two depths once a week; a gauge in the orchard beats any forecast.",
    ),
}
_WAYS = {
    "hours": "let it run {hours} a day",
    "flow": "a source of {flow}",
    "tank": "a tank of {tank} that fills round the clock, with a pump of {flow}",
    "fewer": "fewer trees: about {fewer} instead of {trees}",
}


def _too_little(facts: Facts) -> Words:
    known = facts["ways"]
    assert isinstance(known, tuple)
    ways = [_WAYS[str(way)] for way in known]
    others = f" Or: {'; or '.join(ways[1:])}." if ways[1:] else ""
    return Words(
        "the source gives too little: at the peak all zones together run {hours} a day, it may run {allowed}.",
        f"Smallest change: {ways[0]}.{others}",
    )


CHANGES: Mapping[NeedChange, Words] = {
    NeedChange.AS_PLANNED: Words("as planned", "the plain rule: water when 80 % of the ready water is gone"),
    NeedChange.MULCH: Words("mulch along the row", "mulch halves what the wet strip steams off"),
    NeedChange.DEEPER_ROOTS: Words("roots [0.3 m|1 ft] deeper", "deeper soil holds more of the rain"),
    NeedChange.HALF_AFTER_BLOOM: Words(
        "half water from 40 to 80 days after bloom",
        "holds back shoots; not in a hot spell, and never while young trees are wanted to fill the wires",
    ),
    NeedChange.HALF_AFTER_HARVEST: Words(
        "half water after the middle harvest", "saves water late; keep some for buds and roots"
    ),
    NeedChange.NO_WATER: Words("no watering", "what rain alone does to full-grown trees"),
}
# Of each job: what, and how.
JOBS: Mapping[WaterJob, Words] = {
    WaterJob.OPEN: Words(
        "open the irrigation",
        "Close the drains, clean the filter, fill slowly, open each line’s end until it runs clear, look for leaks.",
    ),
    WaterJob.TEST_BACKFLOW: Words(
        "have the backflow assembly tested", "By a certified tester, every year, before use."
    ),
    WaterJob.BEGIN: Words(
        "water from now on",
        "Leaves unfold. Hours in the schedule, by week and leaf; less after rain, more in drought: look at the soil.",
    ),
    WaterJob.FLUSH: Words(
        "flush lines, read the meter",
        "Open a few ends at a time, so that water leaves at [0.3 m|1 ft] a second; compare flow with the plan: "
        "less means clogging, more means a leak.",
    ),
    WaterJob.LAST: Words("last watering", "Trees harden for winter: water no longer than the soil asks."),
    WaterJob.EMPTY: Words(
        "empty the irrigation",
        "Open drains and line ends before hard frost; take in filter, gauges and controller. Compressed air above "
        "[350 kPa|50 psi] breaks drip line and can hurt: stand clear of the ends.",
    ),
}
MISSES: Mapping[Shortcoming, str] = {
    Shortcoming.AWAY: "no emitter at every trunk",
    Shortcoming.DEARER: "with the narrowest pipes it costs more than the system chosen",
    Shortcoming.HOURS: "runs {hours} a day at the peak, more than allowed",
    Shortcoming.UNEVEN: "emission uniformity of 90 % cannot be had with it here",
    Shortcoming.PRESSURE: "needs {pressure} at the source, which has less",
    Shortcoming.FLOW: "one row alone takes more than the source gives",
}
LOSSES: Mapping[LossPart, str] = {
    LossPart.HEIGHT: "height of the valve above the source",
    LossPart.MAIN: "main",
    LossPart.FITTING: "",
    LossPart.VALVE: "",
    LossPart.ZONE: "behind the valve",
}
POINTS: Mapping[PointKind, str] = {
    PointKind.ARRIVAL: "the source’s pipe; filter, meter and guard against backflow stand at the source",
    PointKind.SOURCE: "the source, with filter, meter and guard against backflow",
    PointKind.VALVE: "zone valve and regulator, in a box",
    PointKind.DRAIN: "drain valve at a low point",
    PointKind.FLUSH: "flush valve at a manifold’s end",
    PointKind.AIR: "air release valve",
}
