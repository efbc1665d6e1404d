"""Who stands in the rows on a day: the plan's trees less those noted as dead, with those noted in their places."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from topwire.protection.asked import ProtectionBasis
from topwire.season.asked import GrownCultivar, RowTrees
from topwire.season.seen import TreeNoted
from topwire.values.address import row_name

_Place = tuple[str, int]  # the row as it is said, and the place in it


def standing_in(
    lines: Sequence[GrownCultivar], trees: Iterable[TreeNoted], rows: Sequence[str]
) -> tuple[GrownCultivar, ...]:
    """The planting as it stands.

    A tree set or grafted over since bears as one planted then. One that died leaves the largest planting of its
    cultivar: the layout knows the year of each place, the week only how many there are of a year.

    Parameters
    ----------
    trees : what the records say of single trees
    rows : of the orchard, in the order they are walked
    """
    planned = {
        (row.row, place): at for at, line in enumerate(lines) for row in line.rows for place in _places(row)
    }
    names = {line.name: at for at, line in enumerate(lines)}
    gone: dict[int, list[_Place]] = defaultdict(list)
    come: dict[int, dict[_Place, int]] = defaultdict(dict)
    for tree in trees:
        place = row_name(tree.tree.block, tree.tree.row), tree.tree.place
        before = planned.get(place)
        now = names.get(tree.cultivar) if tree.cultivar else before
        if tree.stands and now == before and not tree.anew:
            continue  # the plan's own tree, noted when it was planted
        if before is not None:
            gone[before].append(place)
        if tree.stands and now is not None:
            come[now][place] = tree.planted
    order = {row: at for at, row in enumerate(rows)}
    return tuple(
        _changed(line, gone[at], come[at], order) if gone[at] or come[at] else line
        for at, line in enumerate(lines)
    )


def bearing_in(
    lines: Sequence[GrownCultivar], trees: Iterable[TreeNoted], rows: Sequence[str], year: int
) -> tuple[GrownCultivar, ...]:
    """The same without trees set or grafted over since that bear nothing yet in that year: no picker goes there."""
    named = {line.name: line for line in lines}
    planned = {(row.row, place): line for line in lines for row in line.rows for place in _places(row)}

    def bears(tree: TreeNoted) -> bool:
        at = row_name(tree.tree.block, tree.tree.row), tree.tree.place
        line = named.get(tree.cultivar) or planned.get(at)
        if line is None or not tree.anew or not line.kg_per_tree.size:
            return True
        leaf = min(year - tree.planted, line.kg_per_tree.shape[0])
        return leaf >= 1 and bool(line.kg_per_tree[leaf - 1, 2] > 0)

    return standing_in(lines, [replace(tree, stands=tree.stands and bears(tree)) for tree in trees], rows)


def guarded_in(basis: ProtectionBasis, standing: Sequence[GrownCultivar]) -> ProtectionBasis:
    """What threatens is told of the rows in which a cultivar still stands, and of no cultivar that is gone."""
    lines = {line.name: line for line in standing}
    return replace(
        basis,
        guarded=tuple(
            replace(one, rows=tuple(row.row for row in its.rows), trees=sum(row.trees for row in its.rows))
            for one in basis.guarded
            if (its := lines.get(one.name)) is not None and its.rows
        ),
    )


def _places(row: RowTrees) -> Iterator[int]:
    for first, last in row.runs or ((row.first, row.last),):
        yield from range(first, last + 1)


def _changed(
    line: GrownCultivar, gone: Sequence[_Place], come: Mapping[_Place, int], order: Mapping[str, int]
) -> GrownCultivar:
    places = {row.row: set(_places(row)) for row in line.rows}
    for row, place in gone:
        places[row].discard(place)
    for row, place in come:
        places.setdefault(row, set()).add(place)
    planted, lost = Counter(dict(line.planted)), len(gone)
    for year, trees in planted.most_common():
        out = min(trees, lost)
        planted[year] -= out
        lost -= out
    planted.update(come.values())
    return replace(
        line,
        rows=tuple(
            _row(row, sorted(its))
            for row, its in sorted(places.items(), key=lambda one: order.get(one[0], len(order)))
            if its
        ),
        planted=tuple(sorted((year, trees) for year, trees in planted.items() if trees)),
        standing=max(line.standing - lost, 0),
    )


def _row(row: str, places: Sequence[int]) -> RowTrees:
    runs: list[tuple[int, int]] = []
    for place in places:
        if runs and place == runs[-1][1] + 1:
            runs[-1] = runs[-1][0], place
        else:
            runs.append((place, place))
    return RowTrees(row, len(places), places[0], places[-1], tuple(runs))
