"""The one name of a cultivar, found by its other names: synonyms, and trade marks it is sold under."""

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class OtherName:
    """A name that is not the catalogue's own, and the cultivar it means."""

    cultivar: str
    trade_mark: bool


@dataclass(frozen=True)
class CultivarNames:
    """All names of a catalogue. Capitals, spaces, accents and signs do not matter in finding one."""

    own: Mapping[str, str]  # catalogue name by bare name
    others: Mapping[str, OtherName]  # by bare name; one that two cultivars share is not among them

    def other(self, name: str) -> OtherName | None:
        """What `name` means where it is not written as the catalogue writes it; None where it is, or nobody knows."""
        bare = bare_name(name)
        if bare in self.own:
            return OtherName(self.own[bare], False) if self.own[bare] != name else None
        return self.others.get(bare)

    def catalogue_name(self, name: str) -> str:
        """The catalogue's name of what `name` means; `name` itself where nobody knows."""
        found = self.other(name)
        return found.cultivar if found is not None else name


NO_NAMES = CultivarNames({}, {})


def names_of(rows: Iterable[Mapping[str, str]]) -> CultivarNames:
    """All names in rows of the table of cultivars, as their cells are written.

    A cultivar's own name goes before other names, a trade mark before a synonym.
    """
    cells = tuple(rows)
    own = {bare_name(row["name"]): row["name"] for row in cells}
    found: dict[str, OtherName | None] = {}
    for column in ("trade_marks", "synonyms"):
        of_this_sort: dict[str, OtherName | None] = {}
        for row in cells:
            for name in row.get(column, "").split("|"):
                bare, means = bare_name(name), OtherName(row["name"], column == "trade_marks")
                of_this_sort[bare] = means if of_this_sort.setdefault(bare, means) == means else None
        found = of_this_sort | found
    known = {bare: means for bare, means in found.items() if bare and means and bare not in own}
    return CultivarNames(own, known)


def bare_name(name: str) -> str:
    """Letters and digits alone, without accents, in small letters: “Ashmead's Kernel” and “ashmeads kernel” agree."""
    parted = unicodedata.normalize("NFKD", name)
    return "".join(sign for sign in parted if sign.isalnum()).casefold()
