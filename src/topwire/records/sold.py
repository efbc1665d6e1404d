"""What was sold: fruit as it lay there, or what had been made of it."""

import re

# What is made of fruit, or grown beside it: selling it takes nothing out of the cellar. Cider apples are fruit.
_FRUIT = re.compile(r"(?:apples?|fruits?|windfalls?|crabs?)\W*$", re.IGNORECASE)
_PRESERVED = re.compile(r"\b(?:dried|canned|candied|cooked)\b", re.IGNORECASE)
_MADE = re.compile(
    r"\b(?:bottles?|butter|cakes?|chips|ciders?|grafts?|honey|jam|jars?|jelly|juice|leather|pies?|pomace|pulp|rings|"
    r"sauce|scions?|syrup|tarts?|trees?|vinegar|whips?|wine|wood)\b",
    re.IGNORECASE,
)
_ASIDE = re.compile(r"\b(?:for|to|from)\b", re.IGNORECASE)  # what it is for, who bought it, where it stood


def is_fruit(sold: str) -> bool:
    """Whether what was sold came as fruit out of the cellar, and not as what had been made of it."""
    sold = _ASIDE.split(sold)[0]
    if _PRESERVED.search(sold):
        return False
    return bool(_FRUIT.search(sold)) or not _MADE.search(sold)
