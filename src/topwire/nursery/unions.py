"""Which cultivars may be grafted at home: the right to propagate."""

from topwire.catalogue.model import Right


def may_graft_at_home(right: Right) -> tuple[bool, str]:
    """Whether a cultivar may be ordered for home grafting, and the reason where not.

    A protected cultivar is never ordered for home grafting; one whose right is not known is bought until the answer
    is there.
    """
    if right is Right.FREE:
        return True, ""
    if right is Right.LICENSED:
        return False, "protected: only a licensed nursery may propagate it, so the trees are bought"
    return (
        False,
        "the right to propagate is not known: ask its breeder or nursery; until then the trees are bought",
    )
