"""Words for guests: what a card says of a cultivar, in one of several ways of putting it."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from topwire.guests.asked import CookWords
from topwire.guests.dated import Span, TimeBound, ToldTime
from topwire.guests.findings import (
    ComesNext,
    CultivarCard,
    GuestsFindings,
    InSeason,
    SeasonNow,
    SeenInRow,
    TableBoard,
    ToldFact,
    WalkStop,
)
from topwire.season.asked import RowTrees
from topwire.sources import bibliography
from topwire.tell.reader import listed
from topwire.tell.row_names import addresses
from topwire.tell.words import Speech, Words
from topwire.values.calendar import day_label
from topwire.values.terms import Pan, Use

WORDS: Mapping[str, Speech] = {
    "guests.no_address": Words(
        "the plan states no web address of the inn, so cards and board carry no square code.",
        "State guests.web_address once your site holds the pages.",
    ),
    "guests.by_the_plan": Words(
        "no pick is written down, so what is at hand is what the plan would have left.",
        "Note each pick: topwire note “picked 120 lb Wealthy into crate 14”.",
    ),
    "guests.no_story": Words(
        "of {concerns} no source we have seen tells a story; their cards say that we do not know.",
        "A row of your own in catalogue/cultivar_stories.csv, with its source, is printed.",
    ),
    "guests.raw_juice": Words(
        "juice is on the board, with the usual caution beside it.",
        "Keep it there unless the juice is pasteurised; local food law decides what a sign has to say.",
    ),
}
JUICE_CAUTION = (
    "Juice that is not pasteurised may carry germs. Children, old people, pregnant women and anyone with weak defences "
    "should not drink it raw. Ask us how today’s was treated."
)
CIDER_CAUTION = "Cider holds alcohol, and may hold sulphites."
WALK_CAUTION = (
    "Mind wires, ties and ladders. Bees work in the bloom. Stay out of rows that are roped off or carry a sign, and "
    "eat nothing off the ground."
)
ALLERGY = "Please tell us of any allergy before you order: dishes hold more than apples."
CLOSED = "The kitchen serves no apples this week."
EMPTY = "Nothing of our own is on the table today."
UNKNOWN_RAISER = "We do not know who raised it."
HEARSAY = ("We have been told, but have not read it: ", "Hearsay, and no more than that: ")
PAGES: Mapping[Use, str] = {
    Use.FRESH: "To eat as they are",
    Use.PIE: "Apple pie",
    Use.BAKED: "Baked apples",
    Use.SAUCE: "Apple sauce, from the jar",
    Use.BUTTER: "Apple butter, from the jar",
    Use.DRIED: "Dried apples",
    Use.JUICE: "Our own juice",
    Use.CIDER: "Our own cider",
}
SEEN: Mapping[SeenInRow, str] = {
    SeenInRow.BLOOMS: "in bloom",
    SeenInRow.OPENS: "opens about",
    SeenInRow.RIPE: "ripe",
    SeenInRow.RIPENS: "ripens about",
}
_CENTURIES = {
    14: "fourteenth", 15: "fifteenth", 16: "sixteenth", 17: "seventeenth", 18: "eighteenth", 19: "nineteenth",
    20: "twentieth", 21: "twenty-first",
}  # fmt: skip
_OUR_MARKS = re.compile(r" \([^()]*MEMORY\)")
_INITIALS = re.compile(r" (?:[A-Z]\.)+")
_FEW_ROWS = 2  # told with their trees; more are told by row
_RAW = {
    "raw": "eating as it is",
    "raw only": "eating as it is, not for the pan",
    "raw in winter": "eating raw in winter",
    "raw late in winter": "eating raw late in winter",
    "raw after Christmas": "eating raw after Christmas",
    "raw in early winter": "eating raw in early winter",
    "raw, ripe from the tree": "eating ripe from the tree",
    "pollen only": "giving the other trees their pollen",
    "table": "the table",
    "kitchen": "the kitchen",
    "ornament": "looking at",
    "keeping": "keeping",
    "excellent kitchen apple": "the kitchen",
    "a superior cooking apple: pie": "pie",
    "one of the finest cooks: pie": "pie",
    "July kitchen apple": "the kitchen in July",
    "also cooking and spring dessert": "cooking, and eating raw in spring",
    "southern fruit for cooking only": "cooking alone",
    "good cooked": "cooking",
    "first for the kitchen": "the kitchen before all else",
    "good sauce already in July half grown": "sauce when half grown in July",
}
# What it does in the pan, once for each manner.
_PANS: Mapping[Pan, tuple[str, ...]] = {
    Pan.HOLDS: (
        "In the pan the pieces keep their shape.",
        "Slices of it stay whole when cooked.",
        "Cooked, it holds together.",
        "The oven does not undo it: a slice comes out a slice.",
        "It stands up to heat.",
    ),
    Pan.SOFTENS: (
        "In the pan it softens and half keeps its shape.",
        "Slices of it go soft when cooked, and some fall.",
        "Cooked, it turns tender, not quite to sauce.",
        "The oven makes it yield: soft pieces, a little sauce.",
        "Heat softens it.",
    ),
    Pan.FALLS: (
        "In the pan it goes to pulp.",
        "Slices of it do not stay: they cook down to sauce.",
        "Cooked, it falls to a puree by itself.",
        "The oven turns it to foam and sauce.",
        "It melts over the fire.",
    ),
}
_PAN_HEARD = (
    "In the pan, as we hear, {what}.",
    "When cooked, we are told, {what}.",
    "By repute {what} over the fire.",
    "The oven, they say, is a test: {what}.",
    "{What} when cooked, if hearsay is right.",
)
_PAN_PLAIN = {Pan.HOLDS: "it keeps its shape", Pan.SOFTENS: "it goes soft", Pan.FALLS: "it falls to sauce"}


def century(number: int) -> str:
    """“eighteenth century”."""
    return f"{_CENTURIES.get(number, str(number) + 'th')} century"


def when(time: ToldTime) -> str:
    """As it stands beside a fact: “1748”, “1830s”, “by 1867”, “late eighteenth century”, “1942, or so we think”."""
    how = "" if time.how is TimeBound.IN else f"{time.how} "
    if time.span is Span.CENTURY:
        said = how + century((time.year - 1) // 100 + 1)
    elif time.span is Span.DECADE:
        said = f"{how}{time.year}s"
    else:
        said = f"{how}{time.year}" + (f" to {time.to}" if time.to else "")
    return said if time.sure else f"{said}, or so we think"


def age(card: CultivarCard) -> str:
    """The century it arose in, else its oldest notice; what only the catalogue remembers is hedged."""
    time, known = card.since, card.known
    if known is not None:
        link = "by " if known.how is TimeBound.IN else ""
        return f"known {link if known.span is Span.YEAR else 'in the '}{when(replace(known, to=None))}"
    if time is None:
        era = _era(card.era)
        return (era if card.era_read else f"perhaps {era}") if era else "of unknown age"
    if time.century is not None:
        return century(time.century) if time.sure else f"{century(time.century)}, or so we think"
    return when(time)


def _era(cell: str | None) -> str:
    """“before 1817” for “pre-1817”, “the 1800s”."""
    said = (cell or "").replace("pre-", "before ")
    return f"the {said}" if said.endswith("s") else said


def home(card: CultivarCard) -> str:
    """Where it comes from."""
    if card.origin is None:
        return "home unknown"
    origin = card.origin.replace("/", " or ")
    return origin if card.origin_read else f"{origin}, we believe"


def fact_words(fact: ToldFact, manner: int) -> str:
    """A fact as it is told; one that no source was seen for is told as hearsay."""
    return fact.says if fact.read else HEARSAY[manner % len(HEARSAY)] + fact.says[:1].lower() + fact.says[1:]


def unknown_words(card: CultivarCard) -> str:
    """What is said where nobody has read a fact of it."""
    if any(fact.read for fact in card.facts):
        return ""
    origin = "" if card.origin is None else f" It is thought to come from {_land(card.origin)}."
    return f"{UNKNOWN_RAISER}{origin}"


def _land(origin: str) -> str:
    land, _, part = origin.replace("/", " or ").partition(" (")
    article = "the " if land.startswith(("USA", "Netherlands", "Czech")) else ""
    return f"{part.rstrip(')')}, {land}" if part else f"{article}{land}"


def told_in(fact: ToldFact) -> str:
    """“Warder, 1867”: the source in few words; what only newspapers and growers tell says so."""
    found = [_short(key) for key in fact.sources]
    return " and ".join(dict.fromkeys(found))


def citation_words(key: str) -> str:
    """A source in full, without our own marks of what in it is remembered."""
    source = bibliography().get(key)
    return key if source is None else _OUR_MARKS.sub("", source.citation)


def _short(key: str) -> str:
    source = bibliography().get(key)
    if source is None:
        return key
    who, _, rest = source.citation.partition(" (")
    if not rest:
        return "as newspapers, museums and growers tell it"
    people = _INITIALS.sub("", who)
    if people != who:
        people = listed(people.split(", "))
    elif len(people) > 40:
        people = people.split(", ")[0].split(":")[0]
    year = rest[:4]
    return f"{people}, {year}" if year.isdigit() else people.partition(":")[0]


_HEARD = (
    "Flesh and taste are hearsay: we have not found them in a book.",
    "How it tastes we have from hearsay alone.",
    "All this of bite and taste is by repute.",
)
# Flesh, taste and use, in each manner; a sentence whose part is not known is left out. “pan” stands for its sentence.
_MANNERS: tuple[tuple[str, ...], ...] = (
    ("The flesh: {flesh}.", "The taste: {taste}.", "pan", "Take it for {uses}."),
    ("Made for {uses}.", "{Taste}; to the bite {flesh}.", "pan"),
    ("{Taste}.", "pan", "Between the teeth: {flesh}.", "Good for {uses}."),
    ("pan", "On the tongue: {taste}.", "Bite: {flesh}.", "It is liked for {uses}."),
    ("{Flesh}, and to taste {taste}.", "Best for {uses}.", "pan"),
)


def cook_words(card: CultivarCard) -> str:
    """What it is like and what it is for, put in the card's manner; what is from memory is told as hearsay."""
    cook, manner = card.cook, card.manner % len(_MANNERS)
    if cook is None:
        return "What it does in the kitchen we have still to find out."
    parts = {"flesh": ", ".join(cook.texture), "taste": ", ".join(cook.flavour), "uses": _uses(cook)}
    parts |= {part.title(): parts[part][:1].upper() + parts[part][1:] for part in ("flesh", "taste")}
    said = []
    for sentence in _MANNERS[manner]:
        if sentence == "pan":
            said.append("" if card.pressed_only else _pan(cook, manner))
        elif all(found for part, found in parts.items() if "{" + part + "}" in sentence):
            said.append(sentence.format(**parts))
    if (cook.texture and not cook.texture_read) or (cook.flavour and not cook.flavour_read):
        said.append(_HEARD[manner % len(_HEARD)])
    return " ".join(part for part in said if part)


def _pan(cook: CookWords, manner: int) -> str:
    if cook.pan is None:
        return ""
    if cook.pan_read:
        return _PANS[cook.pan][manner]
    what = _PAN_PLAIN[cook.pan]
    return _PAN_HEARD[manner].format(what=what, What=what[:1].upper() + what[1:])


def _uses(cook: CookWords) -> str:
    """“pie, tarts and sauce, but not whole baking”."""
    good = [_RAW.get(use, use) for use in cook.best_for if not use.startswith("not ")]
    bad = [use for use in cook.best_for if use.startswith("not ")]
    said = listed(list(dict.fromkeys(good)))
    return f"{said}, but {' and '.join(bad)}" if said and bad else said


_SEASONS: Mapping[InSeason, str] = {
    InSeason.TABLE: "On the table now, good to about {until}.",
    InSeason.COOK: "In the kitchen now, for cooking to about {until}.",
    InSeason.KEPT: "In the cellar, good to eat to about {until}.",
    InSeason.KEPT_TO_COOK: "In the cellar, good for cooking to about {until}.",
    InSeason.MELLOWS: "In the cellar, mellowing; at its best from about {ready}.",
    InSeason.FOR_LATER: "Being picked now; best to eat as it is from about {ready}.",
    InSeason.PICKED: "Ripe on the trees this week.",
    InSeason.PRESS: "In season now, for the press.",
    InSeason.BLOOMS: "In bloom now; its apples are ripe about {ripe}.",
    InSeason.COMES: "Not yet: ripe about {ripe}.",
    InSeason.OVER: "Over for this year; it ripens about {ripe}.",
    InSeason.YOUNG: "Its trees are young and bear nothing yet.",
}
_NEVER_RIPE = {InSeason.BLOOMS: "In bloom now.", InSeason.OVER: "Not in season."}


def season_words(season: SeasonNow) -> str:
    """Where it is in its year, in a line."""
    said = _SEASONS if season.ripe is not None else {**_SEASONS, **_NEVER_RIPE}
    ripe = day_words(season.ripe) if season.ripe is not None else ""
    return said[season.state].format(until=_day(season.until), ready=_day(season.ready), ripe=ripe)


def day_words(day_of_year: float) -> str:
    """“12 May”, never broken over two lines."""
    return day_label(day_of_year).replace(" ", "\u00a0")


def _day(iso: str | None) -> str:
    return "" if iso is None else day_words(date.fromisoformat(iso).timetuple().tm_yday)


def usual_words(season: SeasonNow) -> str:
    """Its usual season, which does not grow stale."""
    if season.ripe is None or season.over is None or season.keeps_to is None:
        return "When it ripens here is not known."
    keeps = date.fromisoformat(season.keeps_to)
    return (
        f"Picked from about {day_words(season.ripe)} to {day_words(season.over)}; in our cellar it stays good to eat "
        f"to about {keeps:%B}."
    )


def row_words(rows: tuple[RowTrees, ...]) -> str:
    """“Meadow 2, trees 4 to 18; Lane 1, tree 3”: where a guest finds it."""
    if len(rows) > _FEW_ROWS:
        return addresses([row.row for row in rows])
    return "; ".join(place_words(row.row, row.first, row.last) for row in rows) or "not planted"


def place_words(row: str, first: int, last: int) -> str:
    return f"{row}, tree {first}" if first == last else f"{row}, trees {first} to {last}"


def dish_words(use: Use, dish: str) -> str:
    """“Apple pie”, or the dish as the plan names it."""
    return dish[:1].upper() + dish[1:] if dish else PAGES[use]


def short_words(card: CultivarCard) -> str:
    """Taste and row, for a line of the board."""
    cook = card.cook
    taste = ", ".join(cook.flavour[:2]) if cook is not None and cook.flavour_read else ""
    where = addresses([row.row for row in card.rows])
    return "; ".join(part for part in (taste, where) if part)


def cautions(board: TableBoard) -> list[str]:
    """What has to stand beside what the board names."""
    found = [JUICE_CAUTION] if board.juice else []
    found += [CIDER_CAUTION] if board.cider else []
    return [*found, ALLERGY] if board.dishes or board.raw else found


def nothing_words(found: GuestsFindings) -> str:
    """Why there is little or nothing on the board; empty where there is something."""
    board = found.board
    if found.closed:
        return CLOSED
    return "" if board.raw or board.dishes or board.picked else EMPTY


def rests_words(recorded: bool) -> str:
    return (
        "Of what was picked and lies in our cellar."
        if recorded
        else "As planned; the kitchen may serve another."
    )


def seen_words(stop: WalkStop) -> str:
    """“in bloom”, “ripens about 12 Oct”."""
    said = SEEN[stop.seen]
    return f"{said} {day_words(stop.day)}" if stop.seen in (SeenInRow.OPENS, SeenInRow.RIPENS) else said


def next_words(coming: ComesNext | None) -> str:
    if coming is None:
        return "Nothing blooms and nothing is ripe this week: the trees rest."
    what = "blooms" if coming.blooms else "ripens"
    day = day_words(coming.day)
    return f"Nothing blooms and nothing is ripe this week. Next: {coming.cultivar} {what} about {day}."


def card_words(card: CultivarCard) -> dict[str, object]:
    """What a card and a page say of a cultivar alike."""
    return {
        "facts": [
            {
                "when": when(fact.dated) if fact.dated and fact.read else "",
                "says": fact_words(fact, card.manner),
                "told": told_in(fact),
            }
            for fact in card.facts
        ],
        "unknown": unknown_words(card),
        "doubts": [doubt.says for doubt in card.doubts],
        "cook": cook_words(card),
        "rows": row_words(card.rows),
    }
