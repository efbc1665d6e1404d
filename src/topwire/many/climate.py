"""What the seasons of a place say of every cultivar there, in few figures."""

from collections.abc import Mapping

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.choice.disease import Disease, Rating
from topwire.choice.question import barred_here
from topwire.many.findings import PlaceAnswer, PlannedThere
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.ranges import ranges_of
from topwire.phenology.ripening import EARLY, LATE_HANGING
from topwire.phenology.traits import Traits
from topwire.plan.model import Plan
from topwire.values.arrays import Floats, Integers
from topwire.values.estimate import Estimate, estimate
from topwire.values.traits import Right


def summed_up(
    seasons: PlaceSeasons,
    traits: Traits,
    plan: Plan,
    catalogue: Catalogue,
    ratings: Mapping[str, Mapping[Disease, Rating]],
    *,
    id: str,
    state: str,
    key: str,
    warnings: tuple[str, ...],
    planned: PlannedThere | None = None,
) -> PlaceAnswer:
    """The place's figures, each the one that a plan of that place alone shows.

    Parameters
    ----------
    traits : of the question the seasons answer
    plan, catalogue : of the place
    ratings : of its cultivars' diseases
    """
    today = seasons.of_today
    plain = [climate for climate in seasons.warmer if not climate.label]
    warmer = plain[-1] if plain else None
    nothing = np.full(len(seasons.cultivars), np.nan)
    return PlaceAnswer(
        id=id,
        state=state,
        key=key,
        latitude=plan.place.latitude,
        longitude=plan.place.longitude,
        elevation=plan.place.elevation,
        years=int(seasons.years.size),
        first_year=int(seasons.years[0]),
        last_year=int(seasons.years[-1]),
        chill=_known(seasons.chill_portions),
        last_frost=estimate(seasons.last_frost),
        coldest=_known(seasons.coldest),
        zone=seasons.hardiness_zone,
        frost_years=seasons.frost_years_today,
        bloom_trend=seasons.bloom_trend,
        warmer_step=warmer.step if warmer else 0.0,
        frost_years_warmer=(warmer.frost_low, warmer.frost_high) if warmer else None,
        cell_nights=seasons.cell_nights,
        cultivars=seasons.cultivars,
        chill_met=np.isfinite(seasons.full_bloom).mean(axis=0),
        bloom=ranges_of(seasons.full_bloom[today], seasons.bloom_error),
        frost_loss=_over_years(1.0 - seasons.crop_after_frost[today]),
        ripens=ranges_of(seasons.harvest_first[today], seasons.harvest_error),
        bloom_warmer=warmer.full_bloom if warmer else nothing,
        ripens_warmer=warmer.harvest if warmer else nothing,
        unfit=seasons.unfit,
        in_doubt=warmer.in_doubt if warmer else (),
        season=_season(traits.harvest_offset),
        not_weighed=_not_weighed(seasons, plan, catalogue, ratings),
        licensed=tuple(row.name for row in catalogue.cultivars if row.propagation_right is Right.LICENSED),
        warnings=warnings,
        planned=planned,
    )


def _not_weighed(
    seasons: PlaceSeasons, plan: Plan, catalogue: Catalogue, ratings: Mapping[str, Mapping[Disease, Rating]]
) -> tuple[str, ...]:
    """Cultivars that a choice for this plan leaves out before it weighs any, or that serve no use it has a need for."""
    barred = barred_here(plan, catalogue, seasons, ratings, {})
    wanted = {need.use for need in plan.kitchen.needs}
    return tuple(
        row.name for row in catalogue.cultivars if row.name in barred or wanted.isdisjoint(row.kitchen_uses)
    )


def _known(values: Floats) -> Estimate:
    found = estimate(values)
    return found or Estimate(np.nan, np.nan, np.nan)


def _over_years(values: Floats) -> Floats:
    """(3, cultivars) 10th, 50th and 90th percentile over the years that have a value."""
    few, back = np.unique(values, axis=1, return_inverse=True)
    found = np.full((3, few.shape[1]), np.nan)
    whole = np.isfinite(few).all(axis=0)
    found[:, whole] = np.percentile(few[:, whole], [10, 50, 90], axis=0)
    for at in np.flatnonzero(~whole & np.isfinite(few).any(axis=0)):
        found[:, at] = np.percentile(few[np.isfinite(few[:, at]), at], [10, 50, 90])
    return np.take(found, back.ravel(), axis=1)


def _season(offset: Floats) -> Integers:
    """0 = of summer, 1 = of the main season, 2 = late and hanging; what is not known counts with the main season."""
    found: Integers = np.where(offset <= EARLY, 0, np.where(offset >= LATE_HANGING, 2, 1))
    return found
