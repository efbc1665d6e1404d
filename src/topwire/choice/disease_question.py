"""What the catalogue says of disease, and this place's weather, as the Choice takes it."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from topwire.catalogue.model import Catalogue, Cultivar, Mark
from topwire.catalogue.parents import parents_of
from topwire.choice.asked import Barred
from topwire.choice.disease import (
    SCALE,
    SUSCEPTIBLE,
    VERY_SUSCEPTIBLE,
    Disease,
    DiseaseOutlook,
    Rating,
    crop_lost,
    prior,
    rating_of,
    tree_loss,
)
from topwire.choice.heat import Suits, spoiled_by_heat
from topwire.phenology.findings import PlaceSeasons
from topwire.values.terms import Resistance
from topwire.values.traits import Susceptibility

COLUMNS = {  # of cultivars.csv
    Disease.SCAB: "scab",
    Disease.FIRE_BLIGHT: "fire_blight",
    Disease.CEDAR_RUST: "cedar_apple_rust",
    Disease.MILDEW: "powdery_mildew",
}
MORTALITY = "CLINE2023"  # the source whose classes are trees that died
BY_PLACE = 0.5  # share of years with blight weather in bloom, where the place does not say


@dataclass(frozen=True)
class HeatRow:
    """A row of cultivar_heat.csv."""

    cultivar: str
    suits: Suits


def spoiled(catalogue: Catalogue, seasons: PlaceSeasons) -> Mapping[str, float]:
    """Share of the crop that this place's summers spoil, of every cultivar whose behaviour in heat is known."""
    summer = float(np.mean(seasons.heat_degree_days)) if seasons.heat_degree_days.size else 0.0
    return {
        row.cultivar: spoiled_by_heat(row.suits, summer) for row in catalogue.rows("cultivar_heat", HeatRow)
    }


@dataclass(frozen=True)
class RatingRow:
    """A row of disease_ratings.csv."""

    rating_of: str
    cultivar: str
    disease: Disease
    rating: Susceptibility
    source: str | None
    mark: str | None


def outlooks(catalogue: Catalogue, seasons: PlaceSeasons) -> Mapping[str, DiseaseOutlook]:
    """Of every cultivar of the catalogue."""
    ratings = ratings_of(catalogue)
    deadly = {
        row.cultivar
        for row in catalogue.rows("disease_ratings", RatingRow)
        if row.source == MORTALITY and row.rating is Susceptibility.VERY_SUSCEPTIBLE
    }
    wet_spring = float(np.mean(seasons.wet_spring)) if seasons.wet_spring.size else 0.0
    found = {}
    for row in catalogue.cultivars:
        of = ratings[row.name]
        wet, warm = (
            float((days[:, seasons.cultivars.index(row.name)] > 0).mean()) if days.size else BY_PLACE
            for days in (seasons.blight_bloom, seasons.blight_warm)
        )
        loss = tree_loss(of[Disease.FIRE_BLIGHT], wet_bloom=wet, warm_bloom=warm, vigour=row.vigour)
        lost = crop_lost(of, loss, wet_spring=wet_spring)
        found[row.name] = DiseaseOutlook(of, wet, loss, lost, row.name in deadly)
    return found


def ratings_of(catalogue: Catalogue) -> Mapping[str, Mapping[Disease, Rating]]:
    """Every cultivar's ratings: the catalogue's own cells and all other sources; unknown = parents, class or kind."""
    others: dict[tuple[str, Disease], dict[str, list[Susceptibility]]] = defaultdict(
        lambda: defaultdict(list)
    )
    recalled: dict[tuple[str, Disease], Susceptibility] = {}
    for row in catalogue.rows("disease_ratings", RatingRow):
        if row.mark == Mark.MEMORY:
            recalled.setdefault((row.cultivar, row.disease), row.rating)
        else:
            others[row.cultivar, row.disease][row.source or row.mark or ""].append(row.rating)
    known: dict[str, dict[Disease, Rating]] = {}
    for cultivar in catalogue.cultivars:
        known[cultivar.name] = {}
        for disease in Disease:
            read = {key: tuple(each) for key, each in others[cultivar.name, disease].items()}
            remembered = recalled.get((cultivar.name, disease))
            own = getattr(cultivar, COLUMNS[disease]) if disease in COLUMNS else None
            if own is not None:
                evidence = cultivar.evidence_of(COLUMNS[disease])
                if evidence.mark is Mark.MEMORY:
                    remembered = own
                else:
                    key = "+".join(evidence.sources) or str(evidence.mark)
                    if own not in read.get(key, ()):  # a grower's own cell keeps the shipped evidence
                        read[key] = (*read.get(key, ()), own)
            found = rating_of(read, remembered)
            if found is not None:
                known[cultivar.name][disease] = found
    return _filled(catalogue.cultivars, known, parents_of(catalogue))


def _filled(
    cultivars: Sequence[Cultivar],
    known: Mapping[str, Mapping[Disease, Rating]],
    parents: Mapping[str, Sequence[str]],
) -> Mapping[str, Mapping[Disease, Rating]]:
    like: dict[tuple[str, Disease], list[float]] = defaultdict(list)
    for row in cultivars:
        for disease, rating in known[row.name].items():
            for group in (_group(row), ""):
                like[group, disease].append(rating.middle)
    alike = cache(lambda ratings: prior(list(ratings)))  # most of a group stand for the same
    filled = {}
    for row in cultivars:
        filled[row.name] = {
            disease: known[row.name].get(disease)
            or alike(
                tuple(
                    _of_parents(known, parents.get(row.name, ()), disease)
                    or _enough(like[_group(row), disease], like["", disease])
                )
            )
            for disease in Disease
        }
    return filled


def _of_parents(
    known: Mapping[str, Mapping[Disease, Rating]], parents: Sequence[str], disease: Disease
) -> list[float]:
    """The parents' own ratings; none where one of the two is not rated: it may have brought the resistance."""
    rated = [known[name][disease].middle for name in parents if disease in known.get(name, {})]
    return rated if len(rated) == 2 else []


def _group(row: Cultivar) -> str:
    return str(row.cider_class or row.kind)


def _enough(group: list[float], every: list[float]) -> list[float]:
    """A group of fewer than four says too little."""
    return group if len(group) >= 4 else every


def barred_by(of: Mapping[Disease, Rating], resistance: Resistance) -> Barred | None:
    """Why a cultivar is left out where strong resistance is wanted; unknown counts as its class or kind."""
    if resistance is not Resistance.STRONG:
        return None
    scab, blight = of[Disease.SCAB], of[Disease.FIRE_BLIGHT]
    weak = [rating for rating in (scab, blight) if rating.middle >= SUSCEPTIBLE]
    if any(rating.known for rating in weak):
        both = len(weak) == 2 and all(rating.known for rating in weak)
        if both:
            return Barred.SCAB_AND_FIRE_BLIGHT
        return Barred.SCAB if scab.known and scab in weak else Barred.FIRE_BLIGHT
    if weak:
        return Barred.DISEASE_UNKNOWN
    others = (Disease.CEDAR_RUST, Disease.QUINCE_RUST, Disease.MILDEW, Disease.SUMMER_ROT)
    worst = max((of[disease] for disease in others), key=lambda rating: rating.middle)
    return (
        Barred.RUST_OR_MILDEW
        if worst.known and worst.middle >= SCALE[Susceptibility.VERY_SUSCEPTIBLE]
        else None
    )


def held_few(outlook: DiseaseOutlook, resistance: Resistance) -> bool:
    """Whether a cultivar is held to a few trees: the published group always, the very susceptible by the plan."""
    weak = outlook.ratings[Disease.FIRE_BLIGHT].middle >= VERY_SUSCEPTIBLE
    return outlook.deadly or (weak and resistance is not Resistance.ANY)
