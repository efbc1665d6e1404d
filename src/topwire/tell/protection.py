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
_WET = "after wet weather in the dates named"
_DROPS = "pick up dropped fruit weekly and take it out of the orchard"
_OPEN = "keep trees open so that they dry; thin to single fruit; take out mummies and dead wood in winter"
THREATS: Mapping[Threat, Watch] = {
    Threat.SCAB: WATCH[Disease.SCAB],
    Threat.FIRE_BLIGHT: WATCH[Disease.FIRE_BLIGHT],
    Threat.CEDAR_RUST: WATCH[Disease.CEDAR_RUST],
    Threat.QUINCE_RUST: WATCH[Disease.QUINCE_RUST],
    Threat.MILDEW: WATCH[Disease.MILDEW],
    Threat.BLACK_ROT: Watch(
        "purple-rimmed tan spots on leaves; a black rot from the fruit's eye", _WET, _OPEN
    ),
    Threat.BITTER_ROT: Watch("sunken brown rings of dots on ripening fruit, sunny side first", _WET, _OPEN),
    Threat.GLOMERELLA: Watch(
        "purple flecks on leaves, then yellow leaves that fall within days; small spots on fruit",
        _WET,
        "rake up fallen leaves; keep trees open; look at Gala and Golden Delicious and their kin first",
    ),
    Threat.MARSSONINA: Watch(
        "dark blotches on upper sides of old leaves, yellow leaves in the lower tree",
        _WET,
        "rake or shred fallen leaves; keep trees open; scab-resistant cultivars that nobody sprays get it worst",
    ),
    Threat.SOOTY_BLOTCH: Watch(
        "smudges and clusters of black specks on the skin; they rub off and spoil nothing in the kitchen",
        "when the hours are full",
        "summer pruning, mowing, single fruit, no brambles at the edge",
    ),
    Threat.CODLING_MOTH: Watch(
        "stings and frass at the eye of fruit and where fruits touch",
        "from first hatch on",
        f"cardboard bands, bags on fruit, single fruit; {_DROPS}",
    ),
    Threat.ORIENTAL_FRUIT_MOTH: Watch(
        "wilted shoot tips, later worms without a trace outside the fruit",
        "by the dates",
        f"cut strikes off; {_DROPS}",
    ),
    Threat.PLUM_CURCULIO: Watch(
        "half-moon cuts on fruitlets, first in rows by the wood",
        "from petal fall, most after warm nights",
        f"knock beetles down on sheets in the cool of the morning; {_DROPS}",
    ),
    Threat.APPLE_MAGGOT: Watch(
        "dimples on fruit and brown trails within",
        "from the first flies to harvest",
        f"red sticky balls; {_DROPS}",
    ),
    Threat.SAN_JOSE_SCALE: Watch(
        "red rings on fruit, grey crusts on limbs", "when crawlers run", "cut out crusted limbs in winter"
    ),
    Threat.DOGWOOD_BORER: Watch(
        "red frass at burr knots and at the union",
        "from June on",
        "keep the foot of the trunk free of weeds and of guards that hold it damp; open wire mesh guards",
    ),
    Threat.BLACK_STEM_BORER: Watch(
        "toothpicks of sawdust on young trunks",
        "spring, and again in August",
        "keep trees from standing wet; take out and burn attacked trees",
    ),
    Threat.OTHER_INSECT: Watch("what your own table says", "by the dates", "what your own table says"),
    Threat.FROST: Watch(
        "brown hearts in buds and blossoms cut across, a day after the frost",
        "the day after",
        "mow short, keep the soil moist and bare; let cold air out below; count buds before you thin",
    ),
    Threat.SUNBURN: Watch(
        "yellow, then brown skin on the south-west side",
        "within days",
        "water well; strip no leaves and prune no shade away before heat; shade net",
    ),
    Threat.WIND: Watch(
        "dropped fruit, rubbed limbs, leaning posts, slack wires",
        "after the wind",
        "pick what is ripe first; look over ties, posts and anchors; stay out of the rows while it blows",
    ),
}


def _number(facts: Facts, name: str) -> float:
    value = facts[name]
    assert isinstance(value, int | float)
    return float(value)


_REACHED = ("less than a light infection needs, as far as hours are known", "light", "moderate", "severe")


def _scab(facts: Facts) -> Words:
    reached = _REACHED[int(_number(facts, "reached"))]
    infected = f"{reached} infection" if facts["reached"] else reached
    second = "" if _number(facts, "tree") < 0 else "; {tree:.0f} h by a second rule"
    return Words(
        "{hours:.0f} h wet ({low:.0f} to {high:.0f}" + second + ") at {temperature} from {day}: " + infected + "; "
        "light from {light:.0f} h, moderate from {moderate:.0f} h, severe from {severe:.0f} h. Up to {ripe:.0%} of the "
        "year's spores were ripe. Look for lesions {look_from} to {look_to}."
    )  # fmt: skip


def _blight(facts: Facts) -> Words:
    if facts["rained"]:
        water = "rain wetted the blossoms ({rain} " + (
            "the day before)" if facts["rain_before"] else "that day)"
        )
    elif facts["dew"]:
        water = "no rain, but dew is likely"
    else:
        water = "no water on the blossoms yet: rain, dew or a sprinkler would complete it"
    met = "All four conditions met" if facts["met"] == 4 else "{met} of 4 conditions met"
    met += ", as on {alike} of these days" if _number(facts, "alike") > 1 else ""
    young = " Pull the blossoms off these young trees now." if facts["young"] else ""
    look = " Look for blighted blossoms {look_from} to {look_to}." if facts["met"] == 4 else ""
    resistant = (
        " Only resistant cultivars are in flower: seldom taken, never safe." if facts["resistant"] else ""
    )
    return Words(
        "Flowers open; heat on the oldest of them at {share:.0%} of what infection needs on {day}; that day's mean "
        "{mean} (needs {least}); " + water + ". " + met + "." + look + resistant + young,
    )


_WET_SPELL = "{hours:.0f} h wet ({low:.0f} to {high:.0f}) at {temperature} on {day}"


def _of_spells(facts: Facts) -> str:
    return " (the worst of {spells} wet spells)" if _number(facts, "spells") > 1 else ""


def _cedar(facts: Facts) -> Words:
    reached = "severe" if facts["reached"] == 2 else "light"
    return Words(
        _WET_SPELL
        + _of_spells(facts)
        + ": "
        + reached
        + " infection of leaves where junipers are near; light from {needed:.0f} h, severe "
        "from {severe:.0f} h. Look for spots {look_from} to {look_to}."
    )


def _quince(facts: Facts) -> Words:
    said = ("", "possible", "likely", "likely and may be severe")[int(_number(facts, "reached"))]
    return Words(
        _WET_SPELL
        + _of_spells(facts)
        + " with flowers between pink and petal fall: infection "
        + said
        + " where junipers are near "
        "(possible from {needed:.0f} h; no published table, after calls of a station). Look at young fruit {look_from} "
        "to {look_to}."
    )


def _insect(facts: Facts) -> Words:
    caught = (
        "" if not facts["estimated"] else " Without a trap this carries about a week: name the first catch."
    )
    if facts["late_catch"]:
        caught = (
            " The moths caught on {late_catch} came long after first catches do, and no empty trap was noted before: "
            "traps were hung late, so the first catch is estimated. Note empty traps too (0 {insect} in trap)."
        )
    hatch = " About {hatched:.0%} of the first eggs have hatched." if _number(facts, "hatched") > 0 else ""
    out = " By another count {out:.0%} of the flies are out." if _number(facts, "out") > 0.005 else ""
    between = "{low}" if facts["low"] == facts["high"] else "{low} to {high}"
    state = ("", ", under way", ", over")[int(_number(facts, "progress"))]
    where = " Found in {region}." if facts["region"] else ""
    return Words(
        "{condition}, about {middle}: " + between + " (degree-days) above {base} since {since}; so far {total}"
        + state + "." + hatch + out + caught + where + " {action}"
    )  # fmt: skip


def _summer(facts: Facts) -> Words:
    many = _number(facts, "reached") > 1
    first = "{reached} wet spells long and warm enough, the worst " if many else ""
    return Words(
        first + _WET_SPELL + "; from {needed:.1f} h at that temperature. Look {look_from} to {look_to}."
    )


def _frost(facts: Facts) -> Words:
    when = "the night to {night}" if not facts["tonight"] else "tonight"
    kills = "killed about" if facts["passed"] else "would kill"
    with_others = (
        " With the nights before, {so_far:.1%} are killed, which leaves {left:.0%} of a crop ({left_low:.0%} to "
        "{left_high:.0%}, were every low wrong alike)."
    )
    return Words(
        when + ", {low}: {cultivar} at {stage} " + kills + " {killed:.0%} of the buds ({least:.0%} to {most:.0%}, as "
        "far as the low is known), which alone leaves {alone:.0%} of a full crop; a tenth dies at {ten}, nine tenths "
        "at {ninety}. {degree} colder: {colder:.0%}; {degree} warmer: {warmer:.0%}."
        + (with_others if facts["before"] else "")
    )  # fmt: skip


def _sooty(facts: Facts) -> Words:
    state = "past" if facts["past"] else "nearing"
    more = _number(facts, "ahead") > _number(facts, "hours")
    ahead = ", {ahead:.0f} h with the days ahead" if more else ""
    return Words(
        "{hours:.0f} h of wetness since {since} (spells of 4 h or more)" + ahead + ": " + state
        + " the {act:.0f} h at which regions act (190 to 300); signs show at {seen:.0f} h on average. A blemish of the "
        "skin: for the kitchen it costs little."
    )  # fmt: skip


def _sunburn(facts: Facts) -> Words:
    what = "kills skin" if facts["reached"] == 2 else "browns skin"
    return Words(
        "air of {air} on {day} makes fruit in full sun about {skin}, which " + what + " (browning from {browns} for an "
        "hour, death of the skin from {necrosis} for ten minutes); {days:day|days} in a row."
    )  # fmt: skip


WORDS: Mapping[str, Speech] = {
    "protection.cedar_rust": _cedar,
    "protection.quince_rust": _quince,
    "protection.insect": _insect,
    "protection.frost": _frost,
    "protection.sooty": _sooty,
    "protection.sunburn": _sunburn,
    "protection.summer": _summer,
    "protection.mildew": Words(
        "{days:dry day|dry days} above {warm} since {since} ({season:day|days} this season): each one infects growing "
        "shoots once mildew is about."
    ),
    "protection.stem_borer": Words(
        "the {days:.0f}rd day of spring with a high of {high} was {day}: females fly. They bore into trunks that stood "
        "wet, froze or have fire blight."
    ),
    "protection.drop": Words(
        "wind of {wind} on {day}, above {least}, in the weeks before picking: fruit drops and limbs rub."
    ),
    "protection.gust": Words(
        "a gust of {gust} is forecast for {day}; under a full crop on soaked ground {rows} may give from {low}, in the "
        "middle of what is known at {middle}. Nobody in the rows while it blows; look over anchors and wires before."
    ),
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
        "point. A gauge read in the morning puts rain a day late.",
        "An hourly file with dew point and rain makes it an hour or two.",
    ),
    "protection.daily_dew": Words(
        "Hours of wetness are made out of daily rain and dew point: one day's are known to about 6 h either way (a "
        "year of hours measured at one station). A gauge read in the morning puts rain a day late.",
        "An hourly file with dew point and rain makes it an hour or two.",
    ),
    "protection.not_planted": Words(
        "The trees are planted in the autumn of {year}: this is what would have threatened them."
    ),
    "protection.present": Words(
        "Every pest and disease is taken to be about; that none is shown does not mean that there is none."
    ),
}
