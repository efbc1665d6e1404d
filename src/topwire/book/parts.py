"""The book's parts by name, and who reads which."""

from collections.abc import Iterable, Mapping

PARTS: Mapping[str, str] = {
    "place": "Place", "learning": "Your own dates", "choice": "Choice", "press": "The press",
    "years": "Years", "sureness": "How sure are we", "ground": "Ground", "layout": "Planting",
    "nursery": "Nursery", "soil": "Soil and feeding", "trellis": "Trellis", "water": "Water",
    "calendar": "The year’s work", "ledger": "Ledger", "assumptions": "Assumptions", "sources": "Sources",
    "staking": "Staking out", "bringing-out": "Bringing out", "cards": "Field cards",
}  # fmt: skip
# Lists for the hands, one page a row or block: printed apart, and in sheets/planting.pdf with every plan.
APART = ("staking", "bringing-out", "cards")
# What a reader opens first; every part has its reader.
READERS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "owner": (
        "To decide",
        ("place", "learning", "choice", "press", "years", "sureness", "calendar", "assumptions", "sources"),
    ),
    "crew": ("To plant", ("layout", "nursery", "soil", "calendar", "staking", "bringing-out", "cards")),
    "builder": ("To build", ("ground", "trellis", "water")),
    "banker": ("For the bank", ("ledger", "sureness", "assumptions")),
}


class NoSuchPart(Exception):
    """The book has no part of that name; says which there are."""


def parts_wanted(parts: Iterable[str], reader: str = "") -> tuple[str, ...]:
    """Keys of the parts asked for by name and by reader, in the book's order; none where nothing is asked.

    Raises
    ------
    NoSuchPart
        A name is none of `PARTS`.
    """
    asked = set(parts)
    unknown = sorted(asked - set(PARTS))
    if unknown:
        raise NoSuchPart(f"the book has no part “{unknown[0]}”; there are {', '.join(PARTS)}")
    if reader:
        asked |= set(READERS[reader][1])
    return tuple(key for key in PARTS if key in asked)
