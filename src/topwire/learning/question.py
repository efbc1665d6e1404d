"""The Learning's question: the only file of the room that sees the plan and the catalogue."""

from collections.abc import Callable, Sequence

from topwire.catalogue.model import Catalogue
from topwire.learning.asked import LearningQuestion
from topwire.phenology.question import temperatures_of, traits_of
from topwire.plan.model import Plan
from topwire.values.own_date import OwnDate
from topwire.weather.record import Weather


def question(
    plan: Plan, catalogue: Catalogue, weather: Callable[[], Weather], observed: Sequence[OwnDate]
) -> LearningQuestion:
    """What the grower's dates teach; without dates the weather is not even read."""
    return LearningQuestion(
        weather=temperatures_of(weather()) if observed else None,
        latitude=plan.place.latitude,
        colder=plan.place.colder_than_station,
        traits=traits_of(catalogue, stretch=plan.place.bloom_stretch),
        own_dates=tuple(observed),
        used_until=plan.place.own_dates_until,
    )
