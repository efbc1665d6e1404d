"""The words of a note, taken one after the other as they are understood; what is left at the end was not."""

import re
from collections.abc import Iterable
from functools import cache

from topwire.records.form import Written
from topwire.values.figures import NUMBER, number_of
from topwire.values.units import Kind, parse, unit_in, written_units

LOT = r"(?P<lot>(?:crate|bin|box|basket|bag|tub|lot|sack)\s*[#\w-]*\d[\w-]*|lot\s+[\w-]+)"
_WITH_COMMA = r"\d[\d.]*(?:,\d+(?:\.\d+)*)+"
_MONEY = r"[$€£]|(?:usd|eur|gbp|chf|cad|aud|nzd|euros?|dollars?|francs?|sterling|cents?|bucks)(?![a-z])"
# What no name of a person's own holds, and what to write in its place.
_NO_NAME = {
    rf"[-−+]?[\d.,]*(?:{_MONEY})": "Money is in the plan's currency: for 36.",
    r"(?:each|apiece|per|[^ ]*[/@])(?![a-z])": "Write what it comes to in all.",
    r"[^ ]*\d": "A figure stands beside its unit, or beside the word that says what it is.",
}
_FILLERS = frozenset(
    ("a", "an", "and", "are", "at", "by", "for", "from", "has", "have", "in", "into", "is", "it", "its", "of",
     "on", "our", "the", "to", "was", "were", "with", "all", "now", "today")
)  # fmt: skip


class NotUnderstood(ValueError):
    """What in a note could not be understood, and what would be right."""

    def __init__(self, says: str, remedy: str) -> None:
        self.says, self.remedy = says, remedy
        super().__init__(f"{says} {remedy}")


def as_said(found: re.Match[str]) -> str:
    """The words found, on one line, for an answer."""
    return re.sub(r"[\s|]+", " ", found[0]).strip()


class WordsLeft:
    """A note being read: every `take` removes what it found."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.written: dict[float, Written] = {}  # figures as they were said, by their SI values

    def take(self, pattern: str) -> re.Match[str] | None:
        """The first match of a pattern between words, capitals not minded; a bar stays where it stood."""
        found = self._search(pattern)
        if found is not None:
            self.text = f"{self.text[: found.start()]} | {self.text[found.end() :]}"
        return found

    def has(self, pattern: str) -> bool:
        return self._search(pattern) is not None

    def refuse_decimal_commas(self) -> None:
        """“12,5” may be one figure or two: no guess is kept."""
        for found in re.finditer(_WITH_COMMA, self.text):
            if not re.fullmatch(NUMBER, found[0]):
                remedy = f"Of several figures, write a blank after each comma: {found[0].replace(',', ', ')}."
                if found[0].count(",") == 1:
                    remedy = f"Write {found[0].replace('.', '').replace(',', '.')} with a point. {remedy}"
                raise NotUnderstood(f"“{found[0]}” is not understood.", remedy)

    def _search(self, pattern: str) -> re.Match[str] | None:
        return re.search(rf"(?<![\w.])(?:{pattern})(?!\w)", self.text, re.IGNORECASE)

    def quantity(self, kind: Kind, before: str = "", after: str = "") -> float | None:
        """A figure with its unit in SI, “7 ft 6 in”; `before` and `after` are words that have to stand beside it."""
        one = rf"[-−]?{NUMBER}\s*(?:{_units(kind)})(?!\w)"
        found = self.take(rf"{before}(?P<figure>{one}(?:\s*{one})*){after}")
        if found is None:
            return None
        said = _in_our_letters(found["figure"], kind)
        value = parse(said, kind)
        self.written[value] = Written(found["figure"], unit_in(said, kind))
        return value

    def figure(self, before: str = "", after: str = "") -> float | None:
        """A bare number beside the words that say what it is."""
        found = self.take(rf"{before}(?<![-−])(?P<figure>{NUMBER})(?![-–]\d){after}")
        return None if found is None else number_of(found["figure"])

    def whole(self, before: str = "", after: str = "") -> int | None:
        value = self.figure(before, after)
        if value is not None and not value.is_integer():
            raise NotUnderstood(f"“{value:g}” is no whole number.", "Write for instance 3.")
        return None if value is None else int(value)

    def hours(self) -> float | None:
        """“2.5 h”, “90 min”, “2 h 30 min”."""
        found = self.take(rf"(?<![-−])({NUMBER})\s*(?:h|hrs?|hours?)(?:\s*({NUMBER})\s*(?:min|minutes))?")
        if found is not None:
            return number_of(found[1]) + number_of(found[2] or "0") / 60.0
        minutes = self.figure(after=r"\s*(?:min|minutes)")
        return None if minutes is None else minutes / 60.0

    def share(self) -> float | None:
        """“5 %”, “5 of 100”."""
        found = self.take(rf"(?<![-−])({NUMBER})\s+(?:out )?of(?: the)?\s+({NUMBER})")
        if found is not None:
            part, whole = number_of(found[1]), number_of(found[2])
            if part > whole or whole == 0.0:
                raise NotUnderstood(f"“{found[0]}” is no share.", "Write for instance 5 of 100.")
            return part / whole
        value = self.figure(after=r"\s*(?:%|per ?cent)")
        return None if value is None else value / 100.0

    def name(self, before: str, most: int = 4) -> str:
        """The words that follow, up to a comma, a filler or a number's unit: the name of a place, a batch, a dish."""
        found = self.take(
            rf"{before}\s+(?P<name>[^\s,;:|]+(?:\s+(?!(?:{'|'.join(_FILLERS)})\b)[^\s,;:|]+){{0,{most - 1}}})"
        )
        return "" if found is None else found["name"].strip()

    def rest(self) -> str:
        """All words left that are no fillers."""
        words = [word for word in re.split(r"[\s,;:|]+", self.text) if word and word.lower() not in _FILLERS]
        return " ".join(words)

    def take_rest(self) -> str:
        """What is left as a name of the person's own, fillers inside it kept; figures and money are no name."""
        whole = re.sub(r"[\s,;:|]+", " ", self.text).strip()
        for pattern, remedy in _NO_NAME.items():
            found = re.search(rf"(?<![^ ])(?:{pattern})[^ ]*(?: +[-−]?\d[^ ]*)?", whole, re.IGNORECASE)
            if found is not None:
                remark = "A remark goes in brackets at the end."
                raise NotUnderstood(f"“{found[0]}” is not understood.", f"{remedy} {remark}")
        self.text = ""
        words = whole.split(" ")
        while words and words[0].lower() in _FILLERS:
            words.pop(0)
        while words and words[-1].lower() in _FILLERS:
            words.pop()
        return " ".join(words)


@cache
def _units(kind: Kind) -> str:
    return "|".join(re.escape(unit) for unit in written_units(kind))


def _in_our_letters(text: str, kind: Kind) -> str:
    """Units as they are spelt: “LB”, “Lbs” and “lb” agree where nothing else is meant."""
    spelt = {unit.lower(): unit for unit in reversed(written_units(kind))}
    return re.sub(r"[^\W\d_]+", lambda found: spelt.get(found[0].lower(), found[0]), text.replace("−", "-"))


def alternatives(words: Iterable[str]) -> str:
    return "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
