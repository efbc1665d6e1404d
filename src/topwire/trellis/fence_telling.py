"""What is told of a fence or wall that stands already."""

from typing import Any

from topwire.trellis.fence_findings import FenceSupport
from topwire.values.notice import Measured, Notice, assumption, warning
from topwire.values.quantities import Plain
from topwire.values.units import Kind


def fence_notice(fence: FenceSupport) -> Notice:
    """What a standing fence has to bear; a warning where a part of it bears less, or nobody knows."""
    if fence.wall:
        assert fence.end_share is not None
        assert fence.cured_share is not None
        return (assumption if fence.bears else warning)(
            "trellis.wall_bears",
            setting="ground.blocks",
            concerns=[fence.row],
            eye=Measured(fence.pull_on_fixing, Kind.FORCE),
            every=Measured(fence.post_every, Kind.LENGTH, 1),
            ends=fence.end_share,
            cured=fence.cured_share,
            bears=bool(fence.bears),
        )
    facts: dict[str, Any] = {
        "setting": "trellis.fence_post",
        "concerns": [fence.row],
        "eye": Measured(fence.pull_on_fixing, Kind.FORCE),
        "end": Measured(fence.pull_at_end, Kind.FORCE),
        "foot": Measured(fence.moment_per_metre, Kind.FORCE),
        "post": fence.post_needed or "",
        "every": Measured(fence.post_every, Kind.LENGTH),
        "thickness": Measured(fence.end_thickness, Kind.LENGTH, 2),
        "depth": Measured(fence.end_depth, Kind.LENGTH, 1),
        "ground": fence.ground_share,
        "stands": Measured(fence.post_depth, Kind.LENGTH, 1),
        "depth_known": fence.depth_known,
        "spacing_known": fence.spacing_known,
        "eye_share": fence.eye_share,
        "cure": fence.cure.value,
        "cost": Measured(fence.cure_cost, Plain.MONEY, 0),
    }
    if fence.leaves_share is not None and fence.wall_share is not None:
        assert fence.end_share is not None
        assert fence.cured_share is not None
        facts |= {"leaves": fence.leaves_share, "wall": fence.wall_share}
        facts |= {"ends": fence.end_share, "cured": fence.cured_share, "bears": bool(fence.bears)}
    if fence.strut_reaches is not None:
        near, far = fence.strut_reaches
        facts |= {"near": Measured(near, Kind.LENGTH, 2), "far": Measured(far, Kind.LENGTH, 2)}
    return (assumption if fence.bears else warning)("trellis.fence_bears", **facts)
