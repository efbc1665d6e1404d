"""Rows as people list them."""

from collections.abc import Sequence

from topwire.tell.words import Facts


def addresses(rows: Sequence[str]) -> str:
    """“South 1 to 8, 10” for a list of row addresses."""
    by_block: dict[str, list[int]] = {}
    for address in rows:
        block, _, number = address.rpartition(" ")
        by_block.setdefault(block, []).append(int(number))
    return "; ".join(f"{block} {stretches(sorted(numbers))}" for block, numbers in by_block.items())


def rows_of(facts: Facts) -> str:
    """The rows that a notice concerns, within words whose {figures} are filled in later."""
    return addresses(facts.concerns).replace("{", "{{").replace("}", "}}")


def stretches(numbers: Sequence[int]) -> str:
    """“1 to 3, 7, 8” for numbers in order: three neighbours or more make a stretch."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return ", ".join(
        f"{stretch[0]} to {stretch[-1]}" if len(stretch) > 2 else ", ".join(map(str, stretch))
        for stretch in found
    )
