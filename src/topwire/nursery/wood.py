"""Scion wood and stocks for a number of grafts."""

from math import ceil


def scion_sticks(
    grafts: int, *, buds_per_graft: float, usable_buds_per_stick: float, margin: float = 1.15
) -> int:
    """Dormant sticks to cut: N x buds per graft / usable buds per stick, and a margin for spoilt wood.

    Raises
    ------
    ValueError
        When a stick has no usable bud.
    """
    if usable_buds_per_stick < 1 or buds_per_graft < 1:
        raise ValueError("a stick needs at least one usable bud and a graft at least one bud")
    if grafts <= 0:
        return 0
    per_stick = usable_buds_per_stick // buds_per_graft  # a graft's buds come from one stick
    if per_stick < 1:
        raise ValueError(
            f"a stick of {usable_buds_per_stick:g} usable buds is too short for grafts of {buds_per_graft:g} buds"
        )
    return ceil(round(grafts / per_stick * margin, 9))


def stocks_to_order(starts: int, *, culls: float = 0.03, bundle: int = 1) -> int:
    """Rootstocks to order for `starts` grafts, with culls, in whole bundles."""
    if starts <= 0:
        return 0
    return ceil(ceil(round(starts * (1 + culls), 9)) / bundle) * bundle
