"""Words on what threatens: why, what to look for, what hands can do. Never a product, never a dose."""

from collections.abc import Mapping

from topwire.choice.disease import Disease
from topwire.protection.findings import Danger, Threat
from topwire.tell.disease import WATCH, Watch
from topwire.tell.words import Facts, Speech, Words

DANGERS: Mapping[Danger, str] = {
    Danger.SEVERE: "severe",
    Danger.MODERATE: "moderate",
    Danger.LIGHT: "light",
    Danger.WATCH: "watch",
}
THREATS: Mapping[Threat, Watch] = {
    Threat.SCAB: WATCH[Disease.SCAB],
    Threat.FIRE_BLIGHT: WATCH[Disease.FIRE_BLIGHT],
}
_REACHED = ("less than a light infection needs, as far as hours are known", "light", "moderate", "severe")


def _scab(facts: Facts) -> Words:
    reached = _REACHED[int(facts["reached"])]  # type: ignore[arg-type]
    infected = f"{reached} infection" if facts["reached"] else reached
    second = "" if float(facts["tree"]) < 0 else "; {tree:.0f} h by a second rule"  # type: ignore[arg-type]
    return Words(
        "{hours:.0f} h wet ({low:.0f} to {high:.0f}"
        + second
        + ") at {temperature} from {day}: "
        + infected
        + "; "
        "light from {light:.0f} h, moderate from {moderate:.0f} h, severe from {severe:.0f} h. Up to {ripe:.0%} of the "
        "year's spores were ripe. Look for lesions {look_from} to {look_to}."
    )


def _blight(facts: Facts) -> Words:
    if facts["rained"]:
        water = "rain wetted the blossoms ({rain} that day)"
    elif facts["dew"]:
        water = "no rain, but dew is likely"
    else:
        water = "no water on the blossoms yet: rain, dew or a sprinkler would complete it"
    met = "All four conditions met" if facts["met"] == 4 else "{met} of 4 conditions met"
    young = " Pull the blossoms off these young trees now." if facts["young"] else ""
    look = " Look for blighted blossoms {look_from} to {look_to}." if facts["met"] == 4 else ""
    return Words(
        "Flowers open; heat on the oldest of them at {share:.0%} of what infection needs on {day}; that day's mean "
        "{mean} (needs {least}); " + water + ". " + met + "." + look + young,
    )


WORDS: Mapping[str, Speech] = {
    "protection.scab": _scab,
    "protection.scab_summer": Words(
        "{hours:.0f} h wet ({low:.0f} to {high:.0f}) at {temperature} from {day}: where lesions are about, their "
        "spores infect from {light:.0f} h. Look for new ones {look_from} to {look_to}."
    ),
    "protection.blight": _blight,
    "protection.wounds": Words(
        "Hail or storm on {day} opened wounds: blight enters by them within hours on every susceptible cultivar. Look "
        "for wilting shoot tips {look_from} to {look_to}."
    ),
    "protection.law": Words(
        "Follow the product label and your local extension service; have treatments done by a licensed applicator "
        "where the law asks it. When rows may be entered again and fruit picked: see the label.",
    ),
    "protection.bees": Words(
        "Open flowers today on {concerns}: bees are in the block. Nothing that can harm them while any flower is open, "
        "weeds in the grass and drift included.",
    ),
    "protection.no_weather": Words(
        "No weather of {year:.0f} is known before this day: stages are those of the years before.",
        "Bring this year's weather with --weather.",
    ),
    "protection.gaps": Words(
        "Weather of {days:day|days} of {year:.0f} is missing: what threatened then is not told.",
        "Bring the missing days with --weather.",
    ),
    "protection.no_forecast": Words(
        "No forecast was given: nothing is said of infections, frost and heat in the days ahead.",
        "Bring one with --forecast.",
    ),
    "protection.daily": Words(
        "Hours of wetness are made out of daily rain and temperature, without humidity: one day's are known to about "
        "6 h either way (a year of hours measured at one station), and dew counts where the night comes near its dew "
        "point.",
        "An hourly file with dew point and rain makes it an hour or two.",
    ),
    "protection.daily_dew": Words(
        "Hours of wetness are made out of daily rain and dew point: one day's are known to about 6 h either way (a "
        "year of hours measured at one station).",
        "An hourly file with dew point and rain makes it an hour or two.",
    ),
    "protection.not_planted": Words(
        "The trees are planted in the autumn of {year}: this is what would have threatened them."
    ),
    "protection.present": Words(
        "Every pest and disease is taken to be about; that none is shown does not mean that there is none."
    ),
}
