"""What is known of cultivars, rootstocks and the kitchen, listed and filtered."""

from collections.abc import Callable
from difflib import get_close_matches

from topwire.catalogue.model import Catalogue, Cultivar, CultivarKind, Evidence, Mark, Right
from topwire.catalogue.parents import parents_of
from topwire.plan.kitchen import Use
from topwire.show.table import UNKNOWN, Cell, Table, figure
from topwire.values.fault import Faults, fault

HERITAGE = "heritage"


def catalogue_table(
    catalogue: Catalogue,
    what: str,
    *,
    use: str | None = None,
    kind: str | None = None,
    right: str | None = None,
) -> Table:
    """A table of the catalogue.

    Parameters
    ----------
    what : catalogue (or cultivars), rootstocks, kitchen (dishes), yields (of the kitchen's products)
    use : only cultivars that serve this use
    kind : dessert, cooking, dual, cider, crab, or heritage (known before 1900)
    right : to propagate: free, licensed, unknown

    Raises
    ------
    Faults
        When a filter's value is none of those, or the filter does not go with the table.
    """
    _check("--use", use, [str(item) for item in Use])
    _check("--kind", kind, [*(str(item) for item in CultivarKind), HERITAGE])
    _check("--right", right, [str(item) for item in Right])
    if what in ("catalogue", "cultivars"):
        return _cultivars(catalogue, use, kind, right)
    for name, value in (("--use", use), ("--kind", kind)):
        if value is not None:
            raise Faults(
                [fault(name, f"{what} cannot be filtered by {name[2:]}.", "It goes with `show catalogue`.")]
            )
    if what == "rootstocks":
        return _rootstocks(catalogue, right)
    if right is not None:
        raise Faults(
            [fault("--right", f"{what} has no right to propagate.", "It goes with catalogue and rootstocks.")]
        )
    return _any(catalogue, {"kitchen": "kitchen_dishes", "yields": "kitchen_yields"}.get(what, what))


def _check(name: str, value: str | None, known: list[str]) -> None:
    if value is None or value in known:
        return
    near = get_close_matches(value, known, n=1)
    remedy = f"Did you mean {near[0]}?" if near else f"There are {', '.join(known)}."
    raise Faults([fault(name, f"there is no {name[2:]} “{value}”.", remedy)])


def _cultivars(catalogue: Catalogue, use: str | None, kind: str | None, right: str | None) -> Table:
    def wanted(row: Cultivar) -> bool:
        return (
            (use is None or use in row.uses)
            and (kind is None or (row.heritage if kind == HERITAGE else row.kind == kind))
            and (right is None or row.propagation_right == right)
        )

    parents = parents_of(catalogue)
    columns: tuple[tuple[str, Callable[[Cultivar], Cell]], ...] = (
        ("cultivar", lambda row: row.name),
        ("sold under the mark", lambda row: ", ".join(row.trade_marks)),
        ("kind", lambda row: str(row.kind) + (f", {row.cider_class}" if row.cider_class else "")),
        ("known since", lambda row: str(row.introduced or row.era or UNKNOWN)),
        ("parents", lambda row: " and ".join(parents.get(row.name, ())) or UNKNOWN),
        ("uses", lambda row: ", ".join(row.uses)),
        ("bloom, days from Golden Delicious", lambda row: figure(row.bloom_offset_days)),
        ("harvest, days from Golden Delicious", lambda row: figure(row.harvest_offset_days)),
        ("keeps, weeks in cold air", lambda row: figure(row.storage_weeks)),
        ("best after weeks in store", lambda row: figure(row.best_after_weeks)),
        ("ploidy", lambda row: row.ploidy if row.ploidy is not None else UNKNOWN),
        ("S-alleles", lambda row: row.s_alleles or UNKNOWN),
        ("vigour", lambda row: str(row.vigour or UNKNOWN)),
        ("scab", lambda row: str(row.scab or UNKNOWN)),
        ("right to propagate", lambda row: str(row.propagation_right)),
        ("harvest rests on", lambda row: evidence(row.evidence_of("harvest_offset_days"))),
    )  # fmt: skip
    rows = tuple(tuple(cell(row) for _, cell in columns) for row in catalogue.cultivars if wanted(row))
    return Table(
        f"Cultivars: {len(rows)} of {len(catalogue.cultivars)}",
        tuple(caption for caption, _ in columns),
        rows,
        "A dash is not known, never zero. READ: seen in the source named; MEMORY: known, not seen in a source. "
        "The right to propagate is no legal advice: United States plant patents as far as known. A trade mark is its "
        "owner's: graft, order and label by the cultivar's name.",
        widths=(1.6, 0.9, 1, 0.8, 1.4, 1.6, 0.7, 0.7, 0.7, 0.5, 0.8, 0.7, 1, 0.8, 1.2),
    )


def _rootstocks(catalogue: Catalogue, right: str | None) -> Table:
    rows = tuple(
        (
            row.name,
            row.size_class,
            f"{row.seedling_low_pct:.0f} to {row.seedling_high_pct:.0f}"
            if row.seedling_low_pct is not None and row.seedling_high_pct is not None
            else UNKNOWN,
            figure(row.vigour, 2),
            row.precocity or UNKNOWN,
            row.fire_blight or UNKNOWN,
            row.cold_hardiness or UNKNOWN,
            row.support or UNKNOWN,
            row.graft_union or UNKNOWN,
            str(row.propagation_right),
            evidence(row.evidence_of("vigour")),
        )
        for row in catalogue.rootstocks
        if right is None or row.propagation_right == right
    )
    return Table(
        f"Rootstocks: {len(rows)} of {len(catalogue.rootstocks)}",
        (
            "rootstock", "size class", "tree, % of seedling", "vigour, trunk area, 1 = M.9 NAKBT337", "first crop",
            "fire blight", "winter hardiness", "support", "union", "right to propagate", "vigour rests on",
        ),
        rows,
        "A dash is not known. READ: seen in the source named; MEMORY: known, not seen in a source.",
    )  # fmt: skip


def evidence(found: Evidence) -> str:
    """“READ: ABC2021, WNY” or “MEMORY”."""
    if found.mark is Mark.UNSAID:
        return UNKNOWN
    return f"{found.mark}: {', '.join(found.sources)}" if found.sources else str(found.mark)


def _any(catalogue: Catalogue, name: str) -> Table:
    """Any table as it stands in its file."""
    if name not in catalogue.tables:
        near = get_close_matches(name, catalogue.tables, n=1)
        remedy = f"Did you mean {near[0]}?" if near else f"There are {', '.join(sorted(catalogue.tables))}."
        raise Faults([fault("show", f"there is no table “{name}”.", remedy)])
    raw = catalogue.tables[name]
    return Table(
        name.replace("_", " ").capitalize(),
        raw.columns,
        tuple(
            tuple(row.cells.get(column, "") or UNKNOWN for column in raw.columns) for row in raw.rows.values()
        ),
        "As in the catalogue; your own rows are laid over the shipped ones.",
    )
