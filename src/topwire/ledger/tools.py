"""Tools the work names, and how each is had: at hand, bought, hired, or on a bill."""

from dataclasses import dataclass
from enum import StrEnum


class Had(StrEnum):
    """How a tool comes to the orchard."""

    HOUSE = "house"  # a house and its kitchen have it
    HAND = "hand"  # a hand tool: one line of the goods that last
    GROUND = "ground"  # with who is hired for the ground
    BILL = "bill"  # a line of a bill


@dataclass(frozen=True)
class ToolRow:
    """One row of tools.csv.

    Attributes
    ----------
    had : "house", "hand", "ground", or the bill's name ("ledger.goods")
    items : its line on that bill, or one of several
    """

    tool: str
    had: str
    item: str | None

    @property
    def items(self) -> tuple[str, ...]:
        return tuple((self.item or "").split("|")) if self.item else ()

    @property
    def way(self) -> Had:
        return Had(self.had) if self.had in tuple(Had) else Had.BILL


def tools_in(said: str) -> tuple[str, ...]:
    """The tools of a text that parts them by commas."""
    return tuple(name.strip() for name in said.split(",") if name.strip())
