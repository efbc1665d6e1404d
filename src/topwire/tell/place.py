"""Words of the Place."""

from collections.abc import Mapping, Sequence

from topwire.phenology.findings import Misfit, MisfitReason
from topwire.tell.reader import listed
from topwire.tell.words import Facts, Speech, Words

MISFITS: Mapping[MisfitReason, str] = {
    MisfitReason.CHILL: "chill not met",
    MisfitReason.COLD_SPRING: "too cold to bloom by midsummer",
    MisfitReason.UNRIPE: "does not ripen before winter",
    MisfitReason.FROST: "frost takes more than half its crop",
    MisfitReason.WOOD: "midwinter cold hurts its wood",
}


_FROST_WAYS = {
    "open": "whether warmth brings more frost loss here or less is open.",
    "less": "each way brings less frost loss here.",
    "more": "each way brings more frost loss here.",
}


def misfit_words(reasons: Sequence[Misfit]) -> str:
    """ "chill not met in 9 of 30 years; does not ripen before winter in 7 of 21 years"."""
    return "; ".join(f"{MISFITS[one.reason]} in {one.years} of {one.of} years" for one in reasons)


def _some(names: Sequence[str], most: int = 8) -> str:
    return (
        f"{', '.join(names[:most])} and {len(names) - most} more"
        if len(names) > most
        else listed(tuple(names))
    )


def _frost_from_cell(facts: Facts) -> Words:
    mornings = int(str(facts["mornings"]))
    own = (
        f"They were brought to the orchard by {mornings} clear mornings of your own thermometer; which nights freeze "
        "is still the cell's guess."
        if mornings
        else "A cell tens of kilometres wide has no hollows, and its nights are mostly too warm (LOPES2024)."
    )
    return Words(
        "{nights} of the nights of April and May are of a grid cell, not of a station, so no frost figure here is a "
        f"verdict. {own} Even moved to a station's level a cell missed a quarter to a third of the frosts (CELLTRIAL). "
        "{concerns} keeps {left} of its crop by these nights, {colder_left} were every night {step:.1} colder: take "
        "the truth to lie between, and lower in a hollow.",
        "Join a near station's record (topwire weather find)"
        + (
            "."
            if mornings
            else "; a dozen clear spring mornings read in the orchard and named as weather.mornings tell how much "
            "colder it is."
        ),
    )


WORDS: Mapping[str, Speech] = {
    "place.no_year": Words(
        "no year has daily temperatures from 1 October before to 31 October.",
        "Give at least one whole season, better twenty years.",
    ),
    "place.years_left_out": Words(
        "weather of {years} is missing for too many days; {count:year|years} left out.",
        "Add a second weather file that covers them.",
    ),
    "place.few_years": Words(
        "only {years:year|years} of weather can be used; rare frosts and cold winters will be missed.",
        "Add the record of a station near by, 20 years or more.",
    ),
    "place.wall": Words(
        "{concerns}: the wall in the sun makes it {warm_low} to {warm_high} warmer before it (worked out by hand, "
        "measured by nobody), while the plan’s dates are those of open ground. Before the wall trees may bloom "
        "{bloom_low} to {bloom_high} days and ripen {ripe_low} to {ripe_high} days sooner; spring frost takes "
        "{frost_low:.0%} to {frost_high:.0%} of the crop in the mean year instead of {frost_open:.0%}; "
        "{burnt_low} to {burnt_high} days a year are hot enough to brown fruit in full sun, {burnt_open} in the open.",
        "Wires stand off the wall so that air passes behind the leaves: still air and a dry foot bring mildew and "
        "mites, and rain hardly reaches the soil there. A fleece hung from the wall on frost nights, shade cloth or "
        "paper bags on the fruit in great heat; write down your own dates.",
    ),
    "place.chill_missed": Words(
        "chill not met: {concerns} has too little winter chill in {missed} of {years:year|years}, so no bloom date "
        "is given "
        "for them.",
        "Choose cultivars of low chill need.",
    ),
    "place.warm_winters": Words(
        "winters bring {portions} chill portions here; on the one record of such winters the bloom model misses by "
        "six days in the mean and by eight days more before it knows the place.",
        "Enter bloom dates of your own (records/bloom.csv).",
    ),
    "place.far_latitude": Words(
        "bloom at latitude {latitude:.1f} is beyond the places the model was fitted to, 33 to 51 degrees north.",
        "Enter bloom dates of your own (records/bloom.csv).",
    ),
    "place.does_not_fit": lambda facts: Words(
        f"does not fit here ({MISFITS[MisfitReason(str(facts['reason']))]}): {_some(facts.concerns)}."
    ),
    "place.harvest_unknown": lambda facts: Words(
        f"no harvest date is known for {_some(facts.concerns)}; none is shown."
    ),
    "place.wood_after_thaw": Words(
        "the coldest night of the record is {lowest}: after a thaw even hardy wood can be hurt from {limit} down, and "
        "dwarfing rootstocks in bare, dry soil earlier.",
        "Keep mulch or snow on the roots, paint trunks white, and choose hardy rootstocks.",
    ),
    "place.roots_unknown": Words(
        "how much cold the roots of {concerns} stand is not known here.",
        "Ask the nursery before planting in a cold place.",
    ),
    "place.roots_in_cold": Words(
        "in {share} of winters bare, snowless soil may get as cold as kills about half the roots of {concerns} in "
        "tests.",
        "Keep the strip mulched or grassed in winter and the soil moist, or choose a hardier rootstock.",
    ),
    "place.today": lambda facts: Words(
        "today's climate is that of the last {years} weather years, {first:d} to {last:d}: ranges of dates and every "
        "step of warming start from them. "
        + (
            "Over all {all} years bloom has come "
            f"{abs(float(str(facts['trend'])))} days {'earlier' if float(str(facts['trend'])) < 0 else 'later'} "
            "a decade. "
            if abs(float(str(facts["trend"]))) >= 0.1
            else ""
        )
        + "The choice weighs all {all} years alike, so that rare frosts count.",
    ),
    "place.frost_in_warmth": lambda facts: Words(
        "{step} warmer, frost kills more than half the bloom in {low} to {high} of years, against {today} today, as "
        "days and nights warm alike or apart: "
        + _FROST_WAYS[str(facts["way"])]
        + " Published studies disagree in sign: some find the loss kept or raised (KUNZ2022, HOFFMANN2013), some "
        "lowered (ECCEL2009).",
    ),
    "place.dates_error": Words(
        "a bloom date is good to about {bloom} days and a harvest date to about {harvest} (root-mean-square); offsets "
        "of {remembered_bloom:cultivar|cultivars} in bloom and {remembered_harvest} in harvest are remembered, not "
        "read in a source.",
        "Three years of your own dates (records/bloom.csv) are worth more than any list.",
    ),
    "place.frost_from_cell": _frost_from_cell,
    "place.frost_by_the_screen": Words(
        "frost kill is reckoned from the screen minimum less what the plan says the orchard is colder; on clear nights "
        "buds can be another [1 to 2 K|2 to 4 °F] colder, and nights are taken as independent.",
        "Hang a thermometer in the orchard for a spring and state the difference as place.colder_than_station.",
    ),
    "place.frost_nights": Words(
        "frost protection means work at night with engines, fuel, ladders or water that freezes.",
        "Have someone with you, keep fires and exhaust away from people, and ask the local advisory service first.",
    ),
}
