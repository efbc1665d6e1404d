"""How a long step tells where it is."""

from collections.abc import Callable

Progress = Callable[[str], None]


def silent(message: str) -> None:
    """Says nothing; the default."""
