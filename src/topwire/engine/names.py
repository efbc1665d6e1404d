"""Names a plan uses, resolved against the catalogue: read off the file's own tree, so that they are told even where
the plan has other faults.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from topwire.catalogue.model import Catalogue
from topwire.catalogue.names import CultivarNames
from topwire.plan.model import Plan
from topwire.plan.place import UNNAMED
from topwire.plan.read import located
from topwire.values.fault import FileNotice, fault, remark

CHOOSE = "choose"
TRADE_MARK_CAUTION = "Graft and label by the cultivar's name; the mark is its owner's."
Path = tuple[str | int, ...]


def name_faults(tree: Any, catalogue: Catalogue, file: str) -> list[FileNotice]:
    """Every cultivar, rootstock, dish, post, wire and emitter of the plan that the catalogue does not have, and a
    cultivar that stands twice under two of its names.
    """
    known: dict[str, Iterable[str]] = {"cultivar": catalogue.cultivar, "rootstock": catalogue.rootstock}
    for what, table in (
        ("dish", "kitchen_dishes"),
        ("post", "posts"),
        ("wire", "wires"),
        ("emitter", "emitters"),
    ):
        known[what] = catalogue.tables[table].rows
    faults = []
    written: dict[tuple[str, str], str] = {}
    for what, path, name in _named(tree):
        means = catalogue.names.catalogue_name(name) if what == "cultivar" else name
        if means not in known[what]:
            faults.append(unknown_name(located(file, tree, path), name, what, known[what]))
        elif what == "cultivar":
            first = written.setdefault((str(path[0]), means), name)
            if first != name and path[0] != "place":
                says = f"“{first}” and “{name}” are names of one cultivar, {means}."
                faults.append(fault(located(file, tree, path), says, "Keep one of them."))
    return faults


def other_names(tree: Any, catalogue: Catalogue, file: str) -> list[FileNotice]:
    """What has to be told of cultivars that the plan calls by another of their names."""
    told = []
    for what, path, name in _named(tree):
        other = catalogue.names.other(name) if what == "cultivar" else None
        if other is not None:
            sort = "a trade mark, not the cultivar's name" if other.trade_mark else "another name"
            says = f"“{name}” is {sort}; the catalogue's is {other.cultivar}, and the plan goes on with it."
            remedy = TRADE_MARK_CAUTION if other.trade_mark else ""
            told.append(remark(located(file, tree, path), says, remedy))
    return told


_TASTE = ("must_have", "must_not_have", "favourites", "dislikes")


def in_catalogue_names(plan: Plan, names: CultivarNames) -> Plan:
    """The plan with each cultivar by the catalogue's name."""

    def listed(cultivars: Iterable[str]) -> list[str]:
        return list(dict.fromkeys(names.catalogue_name(name) for name in cultivars))

    taste, trees = plan.taste, plan.trees
    asked = {key: listed(getattr(taste, key)) for key in _TASTE}
    stocks = {names.catalogue_name(name): stock for name, stock in trees.rootstock_for.items()}
    wood = {names.catalogue_name(name): sticks for name, sticks in plan.nursery.wood.items()}
    near = [
        one if one.tree in UNNAMED else one.model_copy(update={"tree": names.catalogue_name(one.tree)})
        for one in plan.place.neighbours
    ]
    return plan.model_copy(
        update={
            "place": plan.place.model_copy(update={"neighbours": near}),
            "taste": taste.model_copy(update=asked),
            "trees": trees.model_copy(update={"rootstock_for": stocks}),
            "nursery": plan.nursery.model_copy(update={"wood": wood}),
        }
    )


def _named(tree: Any) -> Iterator[tuple[str, Path, str]]:
    """(what it names, where it stands, the name) of every name in the tree that is a text."""
    for key in _TASTE:
        yield from _texts("cultivar", tree, ("taste", key))
    near = at(tree, ("place", "neighbours"))
    path: Path
    for index in range(len(near)) if isinstance(near, list) else ():
        path = ("place", "neighbours", index, "tree")
        if at(tree, path) not in UNNAMED:
            yield from _texts("cultivar", tree, path)
    yield from _texts("rootstock", tree, ("trees", "rootstock"))
    stocks = at(tree, ("trees", "rootstock_for"))
    for cultivar, stock in stocks.items() if isinstance(stocks, Mapping) else ():
        path = ("trees", "rootstock_for", cultivar)
        if isinstance(cultivar, str):
            yield "cultivar", path, cultivar
        if isinstance(stock, str):
            yield "rootstock", path, stock
    wood = at(tree, ("nursery", "wood"))
    for cultivar in wood if isinstance(wood, Mapping) else ():
        if isinstance(cultivar, str):
            yield "cultivar", ("nursery", "wood", cultivar), cultivar
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


def number_at(tree: Any, path: Path) -> int | float | None:
    """The number at `path`; None where there is none. Python would take “true” for one."""
    value = at(tree, path)
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None


def unknown_name(where: str, name: str, what: str, known: Iterable[str]) -> FileNotice:
    """The fault of a name that is not in the catalogue, with the nearest ones that are."""
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
