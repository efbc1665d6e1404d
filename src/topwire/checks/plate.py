"""Outside checks of what fruit is for and what ails it: portions, juice, trees lost to fire blight, harvest lists."""

from collections.abc import Callable
from functools import cache

import numpy as np

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.tables import read_tables
from topwire.checks import Check
from topwire.choice.disease import DEAD_AFTER_SEVEN, STEPS, Disease, tree_loss
from topwire.choice.disease_question import ratings_of
from topwire.choice.plate import JuiceSide
from topwire.choice.plate_question import PlateTable
from topwire.choice.question import Dish
from topwire.phenology.disease_weather import BLIGHT_BASE, FLOWER_BASE, blight_heat
from topwire.phenology.heat import sine_above
from topwire.phenology.question import traits_of

CHOICE, PLACE = "Choice", "Place"

# Whole fruit in a portion [kg]: dish of ours, published, tolerance.
PORTIONS = (
    ("raw apple pieces", 0.0617, 0.01, "KITCH-FBG, half a cup raw", Mark.READ),
    ("baked half cup", 0.1515, 0.01, "KITCH-FBG, one baked apple", Mark.READ),
    ("apple crisp", 0.075, 0.01, "KITCH-FIFTY, crisp for 50", Mark.READ),
    ("sauce of the canteen", 0.1361, 0.01, "KITCH-FIFTY, sauce for 50", Mark.READ),
    ("small glass of juice", 0.185, 0.01, "KITCH-FIFTY, 2 gallons for 64", Mark.READ),
    ("slice of pie", 1.36 / 8, 0.02, "KITCH-MSU, 3 lb a pie", Mark.READ),
    ("slice of pie", 0.1215, 0.06, "KITCH-FIFTY, 15 lb for 56 slices", Mark.READ),
    ("glass of juice", 0.2 * 1.45, 0.05, "KITCH-PRESS, 80 bushels for 1,000 L", Mark.READ),
    ("glass of juice", 0.2 * 1.26, 0.08, "KITCH-PRESS, 4 gallons of a 42-lb bushel", Mark.READ),
    ("table apple", 0.1113, 0.06, "KITCH-FBG, 163-count apple", Mark.READ),
)
# Blight weather of five days (min, max) [deg C] and their degree-hours above 18.3 deg C.
DAYS = ((8, 20, 6.61), (10, 24, 38.80), (12, 27, 72.43), (14, 29, 100.99), (16, 30, 122.46))
# Trees dead after seven years of outbreak, middle of the published class.
DEAD = (
    ("Enterprise", 0.0), ("GoldRush", 0.1), ("Porter's Perfection", 0.1), ("Kingston Black", 0.3),
    ("Stoke Red", 0.7), ("Golden Russet", 0.7), ("Brown's Apple", 0.95), ("Ashmead's Kernel", 0.95),
    ("Tolman Sweet", 0.95), ("Dabinett", 0.3), ("Binet Rouge", 0.3), ("Frequin Rouge", 0.3),
    ("Muscadet de Dieppe", 0.3), ("Grimes Golden", 0.3), ("Cox's Orange Pippin", 0.3),
    ("Calville Blanc d'Hiver", 0.7), ("Esopus Spitzenburg", 0.7), ("Yarlington Mill", 0.7),
    ("Bulmer's Norman", 0.7), ("Brown Snout", 0.95), ("Medaille d'Or", 0.95), ("Sweet Alford", 0.95),
)  # fmt: skip
# Juice of a trial of several years: cultivar, side, published, standard deviation over years. Ours is from elsewhere.
JUICES = (
    ("Kermerrien", JuiceSide.ACID, 2.44, 0.5), ("Kermerrien", JuiceSide.SUGAR, 13.2, 1.2),
    ("Brown Snout", JuiceSide.ACID, 3.37, 1.1), ("Brown Snout", JuiceSide.SUGAR, 13.5, 1.8),
    ("Dabinett", JuiceSide.ACID, 2.55, 1.3), ("Dabinett", JuiceSide.TANNIN, 2.9, 1.8),
    ("Dabinett", JuiceSide.SUGAR, 14.0, 1.0), ("Golden Russet", JuiceSide.ACID, 6.64, 0.9),
    ("Golden Russet", JuiceSide.SUGAR, 16.9, 1.6), ("Harrison", JuiceSide.ACID, 7.77, 2.6),
    ("Harrison", JuiceSide.SUGAR, 15.8, 1.0), ("Kingston Black", JuiceSide.TANNIN, 1.7, 1.1),
    ("Kingston Black", JuiceSide.SUGAR, 13.4, 1.5), ("Medaille d'Or", JuiceSide.ACID, 3.43, 1.2),
    ("Fillbarrel", JuiceSide.TANNIN, 1.9, 0.4),
)  # fmt: skip
# Days from Golden Delicious: a grower's list that set no offset, place not stated; and a hot place, Virginia, of which
# Rome Beauty was read and the others are remembered, as are our own offsets of late kinds: a weak check of those.
GROWER = (
    ("Paulared", -36), ("Gala", -17), ("Ginger Gold", -17), ("McIntosh", -15), ("Twenty Ounce", -12),
    ("Honeycrisp", -12), ("Cortland", -8), ("Empire", -2), ("Macoun", 0), ("Jonagold", 5), ("Mutsu", 10),
)  # fmt: skip
VIRGINIA_EARLY = (
    ("Lodi", -78),
    ("Summer Rambo", -31),
    ("Ginger Gold", -34),
    ("Gala", -27),
    ("McIntosh", -21),
)
VIRGINIA_LATE = (
    ("Rome Beauty", 22), ("Stayman", 17), ("Winesap", 22), ("York Imperial", 20), ("Fuji", 28),
    ("Granny Smith", 31), ("Arkansas Black", 28), ("GoldRush", 35), ("Cripps Pink", 45), ("Enterprise", 20),
)  # fmt: skip


@cache
def _catalogue() -> Catalogue:
    return Catalogue(read_tables())


def _portion(name: str) -> Callable[[], float]:
    return lambda: {row.name: row for row in _catalogue().rows("kitchen_dishes", Dish)}[name].whole_fruit


def _heat(low: float, high: float) -> Callable[[], float]:
    return lambda: float(24 * sine_above(low, high, BLIGHT_BASE))


def _crossed() -> float:
    """First day on which blossoms opened on the first have had the heat."""
    low, high = np.array([[float(day[at]) for day in DAYS] for at in (0, 1)])
    return float(np.argmax(blight_heat(low, high, np.array([1.0]), np.array([5.0]))[0]) + 1)


def _age(days: int) -> Callable[[], float]:
    return lambda: float(sum(sine_above(low, high, FLOWER_BASE) for low, high, _ in DAYS[:days]))


def _dead(name: str) -> Callable[[], float]:
    """Of grown trees, seven years, an outbreak in every one."""
    return lambda: float(
        np.interp(ratings_of(_catalogue())[name][Disease.FIRE_BLIGHT].middle, STEPS, DEAD_AFTER_SEVEN)
    )


def _juice(name: str, side: JuiceSide) -> Callable[[], float]:
    return lambda: PlateTable.of(_catalogue()).juice(_catalogue().cultivar[name]).of(side).value


@cache
def _offsets() -> dict[str, float]:
    traits = traits_of(_catalogue())
    return dict(zip(traits.names, map(float, traits.harvest_offset), strict=True))


def _mean_error(listed: tuple[tuple[str, int], ...]) -> Callable[[], float]:
    return lambda: float(np.mean([_offsets()[name] - days for name, days in listed]))


def _offset(name: str) -> Callable[[], float]:
    return lambda: _offsets()[name]


def _middle_loss() -> float:
    """Ten years, blight weather in every bloom, an outbreak in three of ten: of the middle class."""
    rating = ratings_of(_catalogue())["Dabinett"][Disease.FIRE_BLIGHT]
    return tree_loss(rating, wet_bloom=1.0, warm_bloom=1.0, vigour=None).middle


def checks() -> list[Check]:
    """Every check of this module."""
    return [
        *(
            Check(CHOICE, f"whole fruit in {dish} [kg]", source, published, _portion(dish), tolerance, mark)
            for dish, published, tolerance, source, mark in PORTIONS
        ),
        *(
            Check(PLACE, f"blight degree-hours of a day of {low} to {high} °C", "STEINER1990, worked days",
                  published, _heat(low, high), 0.05, Mark.COMPUTED)
            for low, high, published in DAYS
        ),
        Check(PLACE, "day on which blossoms of the first day have had 110 K h", "STEINER1990, worked days", 3.0,
              _crossed, 0.0, Mark.COMPUTED),
        Check(PLACE, "age of a flower after three of these days [K d]", "STEINER1990, worked days", 37.3, _age(3), 0.1,
              Mark.COMPUTED),
        Check(PLACE, "age of a flower after four of these days [K d]", "STEINER1990, worked days", 54.4, _age(4), 0.1,
              Mark.COMPUTED),
        *(
            Check(CHOICE, f"{name}: dead after seven years of fire blight", "CLINE2023, abstract", published,
                  _dead(name), 0.30, Mark.READ)
            for name, published in DEAD
        ),
        Check(CHOICE, "trees of the 20 to 40 % class lost in ten years, outbreak in three of ten", "CLINE2023", 0.16,
              _middle_loss, 0.06, Mark.COMPUTED),
        *(
            Check(CHOICE, f"{name}: {side} of the juice", "WSU2013, table", published, _juice(name, side), spread,
                  Mark.READ)
            for name, side, published, spread in JUICES
        ),
        *(
            Check(PLACE, f"{name}: harvest after Golden Delicious [d], a grower's list", "PICKING-LIST-D", published,
                  _offset(name), 19.0, Mark.READ)
            for name, published in GROWER
        ),
        *(
            Check(PLACE, f"{name}: harvest after Golden Delicious [d], Virginia", "HARVEST-VA", published,
                  _offset(name), 14.0, Mark.READ if name == "Rome Beauty" else Mark.MEMORY)
            for name, published in (*VIRGINIA_EARLY, *VIRGINIA_LATE)
        ),
        Check(PLACE, "early kinds, mean error beside the Virginia list [d]", "HARVEST-VA", 0.0,
              _mean_error(VIRGINIA_EARLY), 8.0, Mark.MEMORY),
        Check(PLACE, "late kinds, mean error beside the Virginia list [d]", "HARVEST-VA", 0.0,
              _mean_error(VIRGINIA_LATE), 8.0, Mark.MEMORY),
        Check(PLACE, "mean error beside a grower's list [d]", "PICKING-LIST-D", 0.0, _mean_error(GROWER), 8.0,
              Mark.READ),
    ]  # fmt: skip
