"""Sheets on disease: the chosen cultivars by disease, trees alive in year ten, who says what, what to look for."""

from topwire.choice.disease import Disease
from topwire.choice.findings import Choice, DiseaseLine
from topwire.show.sheet import Column, LinkKind, Sheet, cultivar, setting, sheet_of, table
from topwire.tell.disease import ASK, WATCH, rated, said
from topwire.tell.reader import Reader
from topwire.tell.words import in_system
from topwire.values.quantities import Plain

_RATINGS = table("cultivars", "disease_ratings")
_WANTED = setting("taste.disease_resistance")


def sheets(choice: Choice, reader: Reader) -> list[Sheet]:
    """Nothing where nothing is known of the choice's diseases."""
    if not choice.disease:
        return []
    disputes = disputed(choice)
    return [alive(choice), ratings(choice), *([disputes] if disputes.rows else []), watch(reader)]


def alive(choice: Choice) -> Sheet:
    """Fire blight in trees, the others in crop."""
    lines = sorted(choice.disease, key=lambda line: (line.alive[1] / line.trees, line.cultivar))
    return sheet_of(
        "choice.disease",
        "Disease: trees alive in year ten",
        (
            Column("cultivar", "cultivar", width=1.6, leads=LinkKind.CULTIVAR),
            Column("trees", "trees", width=0.6),
            Column("fire_blight", "fire blight", width=1.6, links=_RATINGS, of=_blight),
            Column("blight_years", "years with blight weather in its bloom", Plain.SHARE, width=1),
            Column(
                "alive_low",
                "alive in year ten, bad case",
                Plain.COUNT,
                width=0.8,
                links=_WANTED,
                of=lambda line: line.alive[0],
            ),
            Column("alive", "middle", Plain.COUNT, width=0.7, of=lambda line: line.alive[1]),
            Column("alive_high", "good case", Plain.COUNT, width=0.7, of=lambda line: line.alive[2]),
            Column("crop_lost", "crop taken or spoiled by disease", Plain.SHARE, width=0.9),
        ),
        lines,
        "Rating times blight weather in the bloom of this place's years times growth; good to bad is how often an "
        "outbreak follows such weather, and how far sources differ. Lost trees are reckoned as replaced.",
        (
            "Held to the fewest trees: cultivars of which a published outbreak left none or one in ten.",
            "Mean over the years, not a forecast: fire blight spares an orchard for years, then takes a block at once.",
        ),
    )


def _blight(line: DiseaseLine) -> str:
    return rated(line.ratings[Disease.FIRE_BLIGHT])


def ratings(choice: Choice) -> Sheet:
    """All diseases, all cultivars."""
    order = [disease for disease in Disease if disease is not Disease.FIRE_BLIGHT]
    return Sheet(
        "choice.ratings",
        "Disease: the other ratings",
        (
            Column("cultivar", "cultivar", width=1.4),
            *(Column(disease.name.lower(), str(disease), width=1.2, links=_RATINGS) for disease in order),
        ),
        tuple(
            (cultivar(line.cultivar), *(rated(line.ratings[disease]) for disease in order))
            for line in choice.disease
        ),
        "What no one has rated is taken as its cider class or kind is on average, never as resistant.",
    )


def disputed(choice: Choice) -> Sheet:
    """Where two sources lie two steps apart or more."""
    return Sheet(
        "choice.disputed",
        "Disease: where sources differ",
        (
            Column("cultivar", "cultivar", width=1.2),
            Column("disease", "disease", width=1),
            Column("said", "who says what", width=3, links=_RATINGS),
        ),
        tuple(
            (cultivar(line.cultivar), str(disease), said(rating))
            for line in choice.disease
            for disease, rating in line.ratings.items()
            if rating.disputed
        ),
        "The middle of what was read counts; what is remembered counts where nothing was read.",
    )


def watch(reader: Reader) -> Sheet:
    """What to look for, when, and whom to ask."""
    return Sheet(
        "choice.watch",
        "Disease: what to look for, and when",
        (
            Column("disease", "disease", width=0.9),
            Column("signs", "look for", width=1.8),
            Column("when", "when", width=1.6),
            Column("by_hand", "what hands can do", width=2),
        ),
        tuple(
            (str(disease), one.signs, one.when, in_system(one.by_hand, reader))
            for disease, one in WATCH.items()
        ),
        f"Common practice. {ASK}",
    )
