"""What a work is given that only its own process knows."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Ahead:
    """Stands among the things a work is given for what its process found before it; None where it found nothing."""


AHEAD = Ahead()
