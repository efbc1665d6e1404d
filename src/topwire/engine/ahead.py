"""What a work is given that only its own process knows.

Apart from `beside`, which that process runs as its program: a class of it would be another one there.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Ahead:
    """Stands among the things a work is given for what its process found before it; None where it found nothing."""


AHEAD = Ahead()
