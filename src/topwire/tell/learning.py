"""Words of the Learning."""

from collections.abc import Mapping

from topwire.phenology.own_dates import Unused
from topwire.tell.reader import listed
from topwire.tell.words import Facts, Speech, Words

_UNUSED: Mapping[str, str] = {
    Unused.NO_CULTIVAR: "no such cultivar in the catalogue",
    Unused.NO_WEATHER: "no usable weather of that year",
    Unused.NO_FORECAST: "nothing is forecast for that year",
    Unused.FAR_OFF: "more than 45 days from the forecast; is the date right?",
}
_MOST = 8  # names before "and so many more"


def _unused(facts: Facts) -> Words:
    some, more = facts.concerns[:_MOST], len(facts.concerns) - _MOST
    names = f"{', '.join(some)} and {more} more" if more > 0 else listed(some)
    return Words(
        f"dates of your own that teach nothing ({_UNUSED[str(facts['why'])]}): {names}.",
        "Write cultivars as the catalogue does, and add weather that covers the years.",
    )


def _beside(facts: Facts) -> Words:
    count = int(str(facts["dates"]))
    what = (
        "one date of your own stands beside the plan and moves"
        if count == 1
        else f"{count} dates of your own stand beside the plan and move"
    )
    return Words(
        f"{what} no figure of it: neither the choice nor the planting changes by a note.",
        f"When the plan is to follow them, write place.own_dates_until: {facts['last']}.",
    )


def _step(facts: Facts) -> Words:
    days = float(str(facts["days"]))
    return Words(
        f"from {facts['year']} on your dates of {facts['what']} lie {abs(days)} days "
        f"{'later' if days > 0 else 'earlier'} than before, beside what the weather says; only those since then are "
        "learnt from.",
        "Was there another observer, another spot, or another idea of what counts? Write it into the remarks.",
    )


WORDS: Mapping[str, Speech] = {
    "learning.step": _step,
    "learning.dates_unused": _unused,
    "learning.beside": _beside,
}
