"""From a note in plain words to entries: “South 3, tree 41 dead”, “12 May: Golden Delicious full bloom”.

A date may stand in front; then come a place (“South 3”, “South 3, trees 41-44”), a cultivar by any of its names, the
figures with their units, and what happened, in any order. Brackets hold a remark. Every word has to be understood: what
is left over is told, with the word that was probably meant.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from difflib import get_close_matches
from typing import Any

from topwire.catalogue.names import CultivarNames, bare_name
from topwire.records.entries import ENTRY_TYPES, Entry, EntryKind, How
from topwire.records.form import NotAnEntry, check
from topwire.records.note_forms import FORMS, NoteForm, nearest_forms
from topwire.records.words_left import NotUnderstood, WordsLeft, alternatives
from topwire.values.address import TreeAddress
from topwire.values.days import cannot_have_been
from topwire.values.figures import NUMBER

MOST_TREES = 500  # of one note
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = rf"(?P<month>(?:{'|'.join(_MONTHS)})[a-z]*)\.?"
_DATES = (
    r"(?P<iso>\d{4}-\d{2}-\d{2})",
    r"(?P<near>today|yesterday)",
    rf"(?P<day>\d{{1,2}})(?:st|nd|rd|th)?\.?\s+{_MONTH}(?:,?\s+(?P<year>\d{{4}}))?",
    rf"{_MONTH}\s+(?P<day>\d{{1,2}})(?:st|nd|rd|th)?(?:,?\s+(?P<year>\d{{4}}))?",
)
_AFTER_FIGURE = "h|hrs?|hours?|min|minutes|lbs?|pounds|kg|oz|ft|mm|cm|gal|people"  # a figure's unit: no row
_LONGEST_NAME = 6  # words
_NEEDS_CULTIVAR = (EntryKind.PICK, EntryKind.FRUIT_TEST, EntryKind.FRUIT_SIZE, EntryKind.STAGE)


@dataclass(frozen=True)
class NoteWords:
    """The names a note may use.

    Attributes
    ----------
    cultivars : all names of the catalogue
    blocks : of the plan
    planting : year in which the plan plants: a tree's leaf follows, where no other is said
    """

    cultivars: CultivarNames
    blocks: tuple[str, ...]
    planting: int


@dataclass(frozen=True)
class _Place:
    block: str = ""
    row: int | None = None
    trees: tuple[int, ...] = ()


def read_note(
    text: str, words: NoteWords, *, today: date, who: str = "", how: How = How.DESK
) -> tuple[Entry, ...]:
    """The entries a note says: one, or one for each tree of a range.

    Raises
    ------
    NotUnderstood
        With what could not be understood and what would be right.
    """
    text = " ".join(text.split())
    if not text:
        raise NotUnderstood("the note is empty.", f"Write for instance {_example(FORMS[1], words)}.")
    day, text = _date_in_front(text, today)
    text, remark = _remark(text)
    left = WordsLeft(text)
    place = _place(left, words)
    left.refuse_decimal_commas()
    cultivars = _cultivars(left, words)
    form, facts = _formed(left, place, words)
    names = list(dict.fromkeys(name for name, _ in cultivars)) or [""]
    if len(names) > 1 and form.kind not in (EntryKind.STAGE, EntryKind.TREE):
        told = f"one note is of one cultivar; here are {' and '.join(names)}."
        raise NotUnderstood(told, "Write a note for each.")
    rest = left.rest()
    if rest:
        raise _left_over(rest, form, words)
    if form.kind in _NEEDS_CULTIVAR and not cultivars and not place.trees:
        raise NotUnderstood("which cultivar?", f"Write for instance: {_example(form, words)}.")
    if form.kind is EntryKind.TREE and not place.trees:
        raise NotUnderstood("which tree?", f"Write its address: {_example(form, words)}.")
    if form.kind is EntryKind.FRUIT_SIZE:
        facts["leaf"] = max(1, day.year - words.planting)
    if form.kind is EntryKind.TREE and len(names) > 1:
        names = [_stands_now(cultivars)]
    remark = "; ".join(part for part in (str(facts.pop("remark", "")), remark) if part)
    made = []
    for tree in place.trees or (None,):
        for name in names:
            common: dict[str, Any] = {
                "day": day, "who": who, "how": how, "remark": remark, "cultivar": name,
                "block": place.block, "row": place.row, "place": tree,
            }  # fmt: skip
            made.append(ENTRY_TYPES[form.kind](**{**common, **facts}))
    try:
        for entry in made:
            check(entry, left.written)
    except NotAnEntry as wrong:
        told = "; ".join(f"{name}: {says}" for name, says in wrong.wrong)
        raise NotUnderstood(f"{told}.", f"As in: {_example(form, words)}.") from None
    return tuple(made)


def address_of(text: str, words: NoteWords) -> TreeAddress:
    """The tree a person names: “South 3, tree 41”. Raises NotUnderstood."""
    place = _place(WordsLeft(text), words)
    if place.row is None or len(place.trees) != 1:
        block = words.blocks[0] if words.blocks else "South"
        raise NotUnderstood(f"“{text[:60]}” is no tree's address.", f"Write {block} 3, tree 41.")
    return TreeAddress(place.block, place.row, place.trees[0])


def kind_named(name: str) -> EntryKind:
    """The kind a person names. Raises NotUnderstood."""
    if name in list(EntryKind):
        return EntryKind(name)
    near = get_close_matches(name, list(EntryKind), n=1)
    remedy = f"Did you mean {near[0]}?" if near else f"There are {', '.join(EntryKind)}."
    raise NotUnderstood(f"there is no kind “{name[:60]}”.", remedy)


def examples(words: NoteWords) -> tuple[str, ...]:
    """A note of every form, with names of this orchard."""
    return tuple(_example(form, words) for form in FORMS)


def _example(form: NoteForm, words: NoteWords) -> str:
    block = words.blocks[0] if words.blocks else "South"
    names = {"block": block, "row": f"{block} 3", "tree": f"{block} 3, tree 41", "cultivar": "Wealthy"}
    return form.example.format(**names)


def _date_in_front(text: str, today: date) -> tuple[date, str]:
    for pattern in _DATES:
        found = re.match(rf"(?:on\s+)?{pattern}(?!\w)\s*[:,;.]?\s*", text, re.IGNORECASE)
        if found is not None:
            return _date_of(found, today), text[found.end() :]
        found = re.search(rf"[,;]?\s+(?:on\s+)?{pattern}\s*\.?$", text, re.IGNORECASE)
        if found is not None:
            return _date_of(found, today), text[: found.start()]
    slashed = re.match(r"(\d{1,2})/(\d{1,2})(?!\w)", text)
    if slashed is not None:
        raise NotUnderstood(f"“{slashed[0]}” may be two days.", "Write 12 May, or 2031-05-12.")
    return today, text


def _date_of(found: re.Match[str], today: date) -> date:
    """The day that is meant. Raises NotUnderstood where it is none, or nothing can have been seen on it."""
    day = _day_written(found, today)
    wrong = cannot_have_been(day, today)
    if wrong:
        raise NotUnderstood(f"{day.isoformat()} {wrong}.", "A note tells what has been.")
    return day


def _day_written(found: re.Match[str], today: date) -> date:
    named = found.groupdict()
    try:
        if named.get("iso"):
            return date.fromisoformat(named["iso"])
        if named.get("near"):
            return today - timedelta(days=named["near"].lower() == "yesterday")
        month, day = _MONTHS.index(named["month"][:3].lower()) + 1, int(named["day"])
        if named["year"]:
            return date(int(named["year"]), month, day)
        this_year = date(today.year, month, day)
        return this_year if this_year <= today else date(today.year - 1, month, day)
    except ValueError:
        raise NotUnderstood(f"“{found[0].strip()}” is no day.", "Write 12 May, or 2031-05-12.") from None


def _remark(text: str) -> tuple[str, str]:
    found = re.search(r"\s*\(([^()]*)\)\s*\.?$", text)
    return (text[: found.start()], found[1].strip()) if found else (text.rstrip("."), "")


def _place(left: WordsLeft, words: NoteWords) -> _Place:
    """“South 3”, “South 3, tree 41”, “South 3, trees 41-44 and 50”, “tree 41 in South 3”."""
    if not words.blocks:
        return _Place()
    blocks = alternatives(words.blocks)
    row = rf"(?:row\s+)?(?P<row>\d{{1,4}})(?!\d|\s*(?:%|[.,]\d|(?:{_AFTER_FIGURE})\b))"
    found = left.take(
        rf"(?:(?:in|from|at|on|of)\s+)?(?P<block>{blocks})(?:[, ]\s*{row}(?:\s*,?\s*{_TREES})?)?"
    )
    if found is None:
        stray = left.take(r"(?P<name>[^\W\d]\w*)\s+\d{1,4}\s*,?\s*trees?\s+\d{1,4}")
        if stray is not None:
            near = get_close_matches(stray["name"], words.blocks, n=1, cutoff=0.5)
            remedy = f"Did you mean {near[0]}?" if near else f"Blocks are {', '.join(words.blocks)}."
            raise NotUnderstood(f"there is no block “{stray['name']}”.", remedy)
        return _Place()
    block = _block(found["block"], words.blocks)
    if not found["row"]:
        return _Place(block)
    listed = found["trees"] or ""
    if not listed:
        before = left.take(_TREES)
        listed = before["trees"] if before is not None else ""
    bare = re.search(r"\|\s*,?\s*(\d{1,4})[\s.]*$", left.text) if not listed else None
    if bare is not None:
        raise NotUnderstood(
            f"“{bare[1]}” after the row: a tree, or so many of something?",
            f"Write {block} {found['row']}, tree {bare[1]}; a number with what it counts: {bare[1]} strikes.",
        )
    return _Place(block, int(found["row"]), _numbers(listed))


def _block(written: str, blocks: tuple[str, ...]) -> str:
    """The block that is meant: as it is written, else capitals not minded."""
    if written in blocks:
        return written
    meant = [name for name in blocks if re.fullmatch(re.escape(name), written, re.IGNORECASE)]
    if len(meant) > 1:  # in plans older than the fault that now tells such names
        raise NotUnderstood(f"“{written}” may be {' or '.join(meant)}.", "Write it as the plan does.")
    return meant[0]


_TREES = r"trees?\s+(?P<trees>\d{1,4}(?:\s*(?:-|–|to|,|and|&)+\s*\d{1,4})*)"


def _numbers(listed: str) -> tuple[int, ...]:
    """“4-8, 10 and 12”: every number."""
    made: list[int] = []
    for part in re.split(r"\s*(?:,|and|&)\s*", listed):
        ends = [int(end) for end in re.split(r"\s*(?:-|–|to)\s*", part) if end]
        if not ends:
            continue
        if not ends[0] <= ends[-1] < ends[0] + MOST_TREES:
            raise NotUnderstood(f"trees {part} are no range.", f"Up to {MOST_TREES} trees, the lower first.")
        made += range(ends[0], ends[-1] + 1)
    return tuple(dict.fromkeys(made))


def _stands_now(named: list[tuple[str, str]]) -> str:
    """Of a tree's two cultivars the one that is there now, by the words before them. Raises NotUnderstood."""
    new = {name for name, before in named if before in ("to", "with", "by", "now", "into")}
    others = {name for name, before in named if before not in ("from", "was", "on", "over", "of", "not")}
    for found in (new, others):
        if len(found) == 1:
            return found.pop()
    told = f"here are {' and '.join(name for name, _ in named)}: which stands there now?"
    raise NotUnderstood(told, f"Name it alone, or after “to” or “by”: replaced by {named[-1][0]}.")


def _cultivars(left: WordsLeft, words: NoteWords) -> list[tuple[str, str]]:
    """Cultivars named, in their order, each with the word before it; the longest name wins. Words that say what
    happened are no names."""
    found: list[tuple[int, str]] = []
    spans = [(piece.start(), piece.end()) for piece in re.finditer(r"[^\s,;:|()]+", left.text)]
    taken: list[tuple[int, int]] = []
    known = _all_names(words)
    for size in range(min(_LONGEST_NAME, len(spans)), 0, -1):
        for start in range(len(spans) - size + 1):
            begin, end = spans[start][0], spans[start + size - 1][1]
            if any(begin < stop and end > first for first, stop in taken):
                continue
            written = left.text[begin:end]
            name = known.get(bare_name(written))
            if name is not None and not (size == 1 and _is_word(written)):
                taken.append((begin, end))
                found.append((begin, name))
    before = {begin: re.findall(r"\w+", left.text[:begin].casefold())[-1:] for begin, _ in found}
    for begin, end in sorted(taken, reverse=True):
        left.text = f"{left.text[:begin]} | {left.text[end:]}"
    return [(name, "".join(before[begin])) for begin, name in sorted(found)]


def _all_names(words: NoteWords) -> dict[str, str]:
    """Catalogue names by every bare name."""
    others = {bare: other.cultivar for bare, other in words.cultivars.others.items()}
    return {**others, **words.cultivars.own}


def _is_word(written: str) -> bool:
    return any(re.fullmatch(form.words, written, re.IGNORECASE) for form in FORMS)


def _formed(left: WordsLeft, place: _Place, words: NoteWords) -> tuple[NoteForm, dict[str, Any]]:
    for form in FORMS:
        if not left.has(form.words):
            continue
        trial = WordsLeft(left.text)
        try:
            facts = form.read(trial)
        except NotUnderstood as missing:
            raise NotUnderstood(missing.says, f"{missing.remedy} As in: {_example(form, words)}.") from None
        if facts is not None:
            left.text, left.written = trial.text, {**left.written, **trial.written}
            return form, facts
    raise _nothing_known(left, words)


def _vocabulary() -> list[str]:
    found = set()
    for form in FORMS:
        bare = re.sub(r"\(\?[:=!<][^)]*\)|\\.|[()?+*\[\]{}0-9,.]", " ", form.words)
        found |= set(re.findall(r"[a-z]{3,}", bare.lower()))
    return sorted(found)


def _nothing_known(left: WordsLeft, words: NoteWords) -> NotUnderstood:
    for word in left.rest().split(" "):
        for near in get_close_matches(word.lower(), _vocabulary(), n=1, cutoff=0.82):
            form = next(form for form in FORMS if near in form.words)
            example = _example(form, words)
            if near != word.lower():
                says = f"“{word}” is not understood."
                return NotUnderstood(says, f"Did you mean “{near}”, as in: {example}?")
    some = "; ".join(_example(form, words) for form in nearest_forms(left.text))
    return NotUnderstood("it does not say what happened.", f"As in: {some}. All ways: topwire note --forms.")


def _left_over(rest: str, form: NoteForm, words: NoteWords) -> NotUnderstood:
    """What was not understood, beside the nearest name."""
    pieces = rest.split(" ")
    names = _all_names(words)
    for size in range(min(3, len(pieces)), 0, -1):
        for start in range(len(pieces) - size + 1):
            some = pieces[start : start + size]
            if any(re.fullmatch(rf"{NUMBER}|each|per|apiece", piece) for piece in some):
                continue
            near = get_close_matches(bare_name("".join(some)), names, n=1, cutoff=0.75)
            if near:
                return NotUnderstood(f"“{' '.join(some)}” is no cultivar.", f"Did you mean {names[near[0]]}?")
    near_blocks = [
        near for piece in pieces for near in get_close_matches(piece, words.blocks, n=1, cutoff=0.6)
    ]
    if near_blocks:
        return NotUnderstood(f"“{rest}” is not understood.", f"Did you mean the block {near_blocks[0]}?")
    remedy = f"As in: {_example(form, words)}. A remark goes in brackets at the end."
    return NotUnderstood(f"“{rest}” is not understood.", remedy)
