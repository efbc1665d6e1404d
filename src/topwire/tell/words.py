"""From a notice's code and facts to sentences.

Words are templates whose fields are the notice's facts: “{height}” is told in the reader's units, “{chance:.0%}” by
the format given, “{height:.2}” with two digits, “{height:tape}” as a tape shows it; “{trees:tree|trees}” is a number
with its noun, “{trees:~gets|get}” the word alone that goes with it; “{concerns}” lists what the notice is about. A
measure that belongs to the sentence itself is written in both systems, metric first: “[15-20 cm|6-8 in]”. Where a
sentence hangs on the facts, the words are a function of them.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from string import Formatter
from typing import Any

from topwire.tell.reader import Reader, listed
from topwire.values.notice import Fact, Measured, Notice, Severity


@dataclass(frozen=True)
class Words:
    """Templates of one code: what is so, and what to do about it."""

    says: str
    remedy: str = ""


@dataclass(frozen=True)
class Facts:
    """A notice's facts, for words that hang on them."""

    notice: Notice
    reader: Reader

    def __getitem__(self, name: str) -> Fact:
        return self.notice.facts[name]

    def __contains__(self, name: str) -> bool:
        return name in self.notice.facts

    @property
    def concerns(self) -> tuple[str, ...]:
        return self.notice.concerns


Speech = Words | Callable[[Facts], Words]


@dataclass(frozen=True)
class Told:
    """A notice in words of the reader's units, as every face shows it."""

    severity: Severity
    department: str
    says: str
    remedy: str
    source: str
    setting: str
    concerns: tuple[str, ...]

    def __str__(self) -> str:
        tail = f" {self.remedy}" if self.remedy else ""
        return f"{self.department}: {self.says}{tail}"


class _Teller(Formatter):
    """Formats facts as the reader reads them."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader

    def format_field(self, value: Any, spec: str) -> Any:
        if "|" in spec:
            one, many = spec.removeprefix("~").split("|")
            number = round(value.value if isinstance(value, Measured) else value)
            word = one if number == 1 else many
            return word if spec.startswith("~") else f"{number:,} {word}"
        if isinstance(value, Measured):
            if spec == "tape":
                return self.reader.tape(value.value)
            if spec == "number":
                return self.reader.text(value.value, value.kind, value.digits).split("\u00a0")[0]
            return self.reader.measured(value, int(spec[1:]) if spec else None)
        if isinstance(value, tuple):
            return listed([self.format_field(item, spec) for item in value])
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, int) and not spec:
            return f"{value:,}"
        if isinstance(value, float) and not spec:
            return f"{value:,.3g}"
        return super().format_field(value, spec)


def told(notice: Notice, speech: Mapping[str, Speech], reader: Reader) -> Told:
    """The notice in words.

    Raises
    ------
    KeyError
        When there are no words for its code, or they name a fact it does not have: a fault of ours, which a test finds.
    """
    found = speech[notice.code]
    words = found if isinstance(found, Words) else found(Facts(notice, reader))
    facts: dict[str, Fact] = {"concerns": notice.concerns, "setting": notice.setting, **notice.facts}
    teller = _Teller(reader)
    return Told(
        notice.severity,
        str(notice.facts.get("department", notice.department)),
        _sentence(teller.vformat(in_system(words.says, reader), (), facts)),
        teller.vformat(in_system(words.remedy, reader), (), facts),
        notice.source,
        notice.setting,
        notice.concerns,
    )


_MEASURE = re.compile(r"\[([^\[\]|]+)\|([^\[\]|]+)\]")


def in_system(text: str, reader: Reader) -> str:
    """The text with its own measures as this reader reads them; “[15-20 cm|6-8 in]” is metric first, then US."""
    return _MEASURE.sub(lambda match: match[2] if reader.us else match[1], text)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
