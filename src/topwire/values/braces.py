"""The room that a braced end of a row takes: the ground keeps it free of trees, the trellis builds in it."""

import numpy as np

RAIL = 3.0  # [m] rail of an H-brace, from the end post to the brace post
STRUT_REACHES = (1.0, 1.5)  # of the top wire's height, from the end post to a strut's foot
CLEAR = 0.3  # [m] kept along the row between a brace's foot and the next tree or post
_SAME = 1e-6  # [m]


def places_in(room: float, *, first_tree: float, tree_spacing: float) -> int:
    """Tree places within `room` [m] of the end post."""
    return max(int(np.ceil((room - first_tree) / tree_spacing - _SAME)), 0) if room > 0 else 0
