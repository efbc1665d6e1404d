"""Words about prices, shared by every department that sums money."""

from collections.abc import Mapping

from topwire.tell.words import Speech, Words

WORDS: Mapping[str, Speech] = {
    "prices.foreign": Words(
        "the plan counts in {currency}, but these prices are in {others} and are never converted: {concerns}. Every "
        "sum made of them is wrong by the rate of exchange.",
        "Put your own prices in catalogue/prices.csv with currency {currency}.",
    ),
    "prices.proposed": lambda facts: Words(
        "nobody has quoted {proposed} of {of:price|prices}"
        + (
            ": planning figures, marked as such in every bill."
            if facts["proposed"] == facts["of"]
            else ": {concerns}."
        ),
        "Replace them in catalogue/prices.csv with quotations.",
    ),
}
