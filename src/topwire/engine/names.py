"""Names a plan uses, resolved against the catalogue: read off the file's own tree, so that they are told even where
the plan has other faults.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from topwire.catalogue.model import Catalogue
from topwire.plan.read import located
from topwire.values.fault import FileNotice, fault

CHOOSE = "choose"
Path = tuple[str | int, ...]


def name_faults(tree: Any, catalogue: Catalogue, file: str) -> list[FileNotice]:
    """Every cultivar, rootstock, dish, post, wire and emitter of the plan that the catalogue does not have."""
    synonyms = synonyms_of(catalogue)
    known: dict[str, tuple[Iterable[str], Mapping[str, str]]] = {
        "cultivar": (catalogue.cultivar, synonyms),
        "rootstock": (catalogue.rootstock, {}),
    }
    for what, table in (
        ("dish", "kitchen_dishes"),
        ("post", "posts"),
        ("wire", "wires"),
        ("emitter", "emitters"),
    ):
        known[what] = (catalogue.tables[table].rows, {})
    faults = []
    for what, path, name in _named(tree):
        names, others = known[what]
        if name not in names:
            faults.append(unknown_name(located(file, tree, path), name, what, names, others))
    return faults


def _named(tree: Any) -> Iterator[tuple[str, Path, str]]:
    """(what it names, where it stands, the name) of every name in the tree that is a text."""
    for key in ("must_have", "must_not_have"):
        yield from _texts("cultivar", tree, ("taste", key))
    yield from _texts("rootstock", tree, ("trees", "rootstock"))
    stocks = at(tree, ("trees", "rootstock_for"))
    for cultivar, stock in stocks.items() if isinstance(stocks, Mapping) else ():
        path: Path = ("trees", "rootstock_for", cultivar)
        if isinstance(cultivar, str):
            yield "cultivar", path, cultivar
        if isinstance(stock, str):
            yield "rootstock", path, stock
    needs = at(tree, ("kitchen", "needs"))
    for index in range(len(needs)) if isinstance(needs, list) else ():
        yield from _texts("dish", tree, ("kitchen", "needs", index, "dishes", "dish"))
    yield from _texts("post", tree, ("trellis", "posts"))
    yield from _texts("wire", tree, ("trellis", "wires"))
    emitter = at(tree, ("water", "emitter"))
    if isinstance(emitter, str) and emitter != CHOOSE:
        yield "emitter", ("water", "emitter"), emitter


def _texts(what: str, tree: Any, path: Path) -> Iterator[tuple[str, Path, str]]:
    value = at(tree, path)
    if isinstance(value, str):
        yield what, path, value
    elif isinstance(value, list):
        for index, item in enumerate(value):
            if isinstance(item, str):
                yield what, (*path, index), item


def at(tree: Any, path: Path) -> Any:
    """The value at `path` of a file's tree; None where there is none."""
    for part in path:
        if isinstance(tree, Mapping):
            tree = tree.get(part)
        elif isinstance(tree, list) and isinstance(part, int) and part < len(tree):
            tree = tree[part]
        else:
            return None
    return tree


def synonyms_of(catalogue: Catalogue) -> Mapping[str, str]:
    """Catalogue name by lower-case synonym or lower-case name."""
    found: dict[str, str] = {}
    for row in catalogue.cultivars:
        for synonym in row.synonyms:
            found.setdefault(synonym.lower(), row.name)
    return found | {row.name.lower(): row.name for row in catalogue.cultivars}


def unknown_name(
    where: str, name: str, what: str, known: Iterable[str], synonyms: Mapping[str, str]
) -> FileNotice:
    """The fault of a name that is not in the catalogue, with the nearest ones that are."""
    if name.lower() in synonyms:
        return fault(where, f"the catalogue calls “{name}” {synonyms[name.lower()]}.", "Write that name.")
    names = list(known)
    said = _words(name)
    clones = [one for one in names if _words(one)[: len(said)] == said != _words(one)]
    if clones and what == "rootstock":
        return fault(
            where, f"“{name}” is grown as clones that differ.", f"Write one of: {', '.join(clones)}."
        )
    near = get_close_matches(name[:80], names, n=2, cutoff=0.6)
    if near:
        remedy = f"Did you mean {' or '.join(near)}?"
    elif what in ("cultivar", "rootstock"):
        remedy = f"`topwire show {what}s` lists them."
    else:
        some = ", ".join(names[:6])
        remedy = f"There are {some}{' and more' if len(names) > 6 else ''}; or add it to your own catalogue."
    return fault(where, f"there is no {what} “{name[:80]}” in the catalogue.", remedy)


def _words(name: str) -> list[str]:
    """Runs of letters and runs of digits, small: M9, M.9 and m 9 are the same."""
    return re.findall(r"[a-z]+|[0-9]+", name[:80].lower())
