"""Words on disease: ratings, what to look for and when, what hands can do, whom to ask. Never a product."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.choice.disease import SCALE, Disease, Rating

ASK = "Ask the extension service when each threatens here, and what may be used; it and the label decide."


@dataclass(frozen=True)
class Watch:
    """What to look for."""

    signs: str
    when: str
    by_hand: str


WATCH: Mapping[Disease, Watch] = {
    Disease.SCAB: Watch(
        "olive, velvety spots on leaves; later corky spots on fruit",
        "from green tip on, most in the wet weeks from tight cluster to five weeks after petal fall",
        "mow or rake up fallen leaves in autumn; keep the trees open so that they dry",
    ),
    Disease.FIRE_BLIGHT: Watch(
        "blossoms and shoot tips that wilt, blacken and bend like a crook; amber drops",
        "from one to four weeks after bloom in warm, wet weather; again after hail",
        "pull blossoms off trees of the first two years; cut strikes [30 cm|a foot] below the edge in dry weather, "
        "clean the blade, burn the wood; feed little nitrogen; no sprinklers in bloom",
    ),
    Disease.CEDAR_RUST: Watch(
        "orange spots on leaves and fruit; horned galls on junipers",
        "galls swell in warm rain from pink on; spots show one to two weeks later, four in a cold spring",
        "take out junipers near by where they are yours, or cut the galls in winter",
    ),
    Disease.QUINCE_RUST: Watch(
        "a dark green, puckered calyx end of the young fruit",
        "caught from pink to petal fall in long wet spells; seen in June",
        "as for cedar apple rust",
    ),
    Disease.MILDEW: Watch(
        "white felt on shoot tips and leaves; a net of russet on fruit",
        "dry, warm weeks from tight cluster to midsummer",
        "cut out white shoots at tight cluster; open the crown",
    ),
    Disease.SUMMER_ROT: Watch(
        "brown, sunken spots with rings of dots on ripening fruit; smudges and specks",
        "from July on, most in hot, wet weeks",
        "take out mummies and dead wood in winter; thin to single fruit; pick in time and cool at once",
    ),
}


def rated(rating: Rating) -> str:
    """“susceptible”; “resistant to susceptible (sources differ)”; “not known, taken as susceptible”."""
    names = {value: str(word) for word, value in SCALE.items()}
    middle = names[min(SCALE.values(), key=lambda step: abs(step - rating.middle))]
    if not rating.known:
        return f"not known, taken as {middle}"
    low, high = names[rating.low], names[rating.high]
    if low == high:
        return low
    return f"{low} to {high}" + (" (sources differ)" if rating.disputed else "")


def said(rating: Rating) -> str:
    """Who says so, with the keys of the sources."""
    return "; ".join(f"{word} {key or 'remembered'}" for key, word in rating.said)
