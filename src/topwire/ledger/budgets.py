"""Published budgets and hours of orchards like this one, with ours beside them."""

from topwire.ledger.findings import BesideBudget, Budget, Ledger

_ACRE, _HECTARE = 4046.8564224, 1e4  # [m2]
SMALL_FARM_HOURS = 540 / _ACRE  # [h/m2] SMALL-ORCHARD-PRACTICE: 540 h/acre, READ
COMMERCIAL_HOURS = 300 / _HECTARE  # [h/m2] common practice, no source
# Trees and USD a hectare, in money of that year (MON-ROB05, READ).
PUBLISHED = 2005
_ESTABLISHED = (
    (Budget.PYRAMID_BY_AREA, Budget.PYRAMID_BY_TREE, 840, 18431.0),
    (Budget.SPINDLE_BY_AREA, Budget.SPINDLE_BY_TREE, 5382, 47524.0),
)
FIELD = 300.0  # [m2] of tree ground; on less, budgets and machines of an orchard say nothing: proposal
_RECOVERED = 10.0  # [years] tall spindle, New York
_RETURNS = ((Budget.RETURN_LEAST, 0.075), (Budget.RETURN_MOST, 0.111))


def established_by_tree() -> tuple[float, float]:
    """Least and most of the published budgets, USD a tree in money of their year."""
    each = [spent / count for _, _, count, spent in _ESTABLISHED]
    return min(each), max(each)


def beside_budgets(found: Ledger, trees: int, factor: float) -> tuple[BesideBudget, ...]:
    """Published figures with ours by tree ground, for a field only; dollars only beside dollars.

    Parameters
    ----------
    factor : that brings money of PUBLISHED to the plan's year
    """
    ground = found.areas.tree_ground
    lines = []
    if ground >= FIELD:
        lines.append(
            BesideBudget(
                Budget.SMALL_FARM_HOURS,
                SMALL_FARM_HOURS,
                found.outdoor_hours / ground,
                "SMALL-ORCHARD-PRACTICE",
            )
        )
    if found.currency == "USD" and ground >= FIELD:
        for by_area, by_tree, count, spent in _ESTABLISHED:
            total = found.cost_to_establish
            lines.append(BesideBudget(by_area, factor * spent / _HECTARE, total / ground, "MON-ROB05"))
            lines.append(BesideBudget(by_tree, factor * spent / count, total / trees, "MON-ROB05"))
    if found.payback_year is not None:
        lines.append(BesideBudget(Budget.RECOVERED, _RECOVERED, float(found.payback_year), "MON-ROB05"))
    if found.internal_rate is not None:
        lines += [
            BesideBudget(budget, published, found.internal_rate, "MON-ROB05")
            for budget, published in _RETURNS
        ]
    return tuple(lines)
