"""What the Learning is asked: the weather, the traits, every date seen, and which of them the plan rests on."""

from dataclasses import dataclass

from topwire.phenology.traits import Traits
from topwire.values.own_date import OwnDate
from topwire.values.quantities import Kelvins
from topwire.weather.record import Weather


@dataclass(frozen=True)
class LearningQuestion:
    """All the Learning's sums need.

    Attributes
    ----------
    weather : None where there is no date to learn from
    latitude : [degrees north]
    colder : [K] the orchard's clear nights are colder than the station's
    used_until : last year whose dates move the plan's own figures; None = none does
    """

    weather: Weather | None
    latitude: float
    colder: Kelvins
    traits: Traits
    own_dates: tuple[OwnDate, ...]
    used_until: int | None
