"""A short code for every cultivar, the same on maps, sheets, labels and in spreadsheets."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations

LENGTH = 3


def short_codes(names: Iterable[str]) -> Mapping[str, str]:
    """Three signs for each name, no two alike: “GDe” for Golden Delicious, “Gol” for GoldRush.

    Names are taken in alphabetical order, so that equal lists give equal codes.
    """
    codes: dict[str, str] = {}
    taken: set[str] = set()
    for name in sorted(set(names), key=lambda name: (name.lower(), name)):
        code = next(code for code in _candidates(name) if code.lower() not in taken)
        taken.add(code.lower())
        codes[name] = code
    return codes


def _candidates(name: str) -> Iterator[str]:
    """Initials filled up from the last word, then any letters of the name in order, then numbers."""
    words = ["".join(sign for sign in word if sign.isalnum()) for word in name.replace("-", " ").split()]
    words = [word for word in words if word] or ["X"]
    initials = "".join(word[0].upper() for word in words[:LENGTH])
    yield (initials + words[min(len(words), LENGTH) - 1][1:].lower() + "xxx")[:LENGTH]
    letters = "".join(words)
    for others in combinations(range(1, len(letters)), LENGTH - 1):
        yield letters[0].upper() + "".join(letters[at].lower() for at in others)
    for number in range(100):
        yield f"{letters[0].upper()}{number:02d}"
    raise ValueError(f"no code is left for “{name}”")
