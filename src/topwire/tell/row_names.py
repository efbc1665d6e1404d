"""Rows as people list them."""

from collections.abc import Sequence


def addresses(rows: Sequence[str]) -> str:
    """“South 1 to 8, 10” for a list of row addresses."""
    by_block: dict[str, list[int]] = {}
    for address in rows:
        block, _, number = address.rpartition(" ")
        by_block.setdefault(block, []).append(int(number))
    return "; ".join(f"{block} {_ranges(sorted(numbers))}" for block, numbers in by_block.items())


def _ranges(numbers: list[int]) -> str:
    """“1 to 3, 7, 8”: three neighbours or more make a stretch."""
    stretches: list[list[int]] = []
    for number in numbers:
        if stretches and number == stretches[-1][-1] + 1:
            stretches[-1].append(number)
        else:
            stretches.append([number])
    return ", ".join(
        f"{stretch[0]} to {stretch[-1]}" if len(stretch) > 2 else ", ".join(map(str, stretch))
        for stretch in stretches
    )
