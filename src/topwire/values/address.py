"""A tree's address: block, row in the block, place in the row."""

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class TreeAddress:
    """Where one tree stands; rows and places count from 1. Written as in “South 3, tree 41”."""

    block: str
    row: int
    place: int

    def __str__(self) -> str:
        return f"{row_name(self.block, self.row)}, tree {self.place}"


def row_name(block: str, row: int) -> str:
    """“South 3”."""
    return f"{block} {row}"
