"""A fence or wall that stands already, with what a row’s wires ask of it."""

from dataclasses import dataclass

from topwire.trellis.kinds import FenceCure
from topwire.values.quantities import Metres, Money, NewtonMetres, Newtons, Share, SmallMetres


@dataclass(frozen=True)
class FenceSupport:
    """A fence or wall that stands already, used instead of a trellis.

    Attributes
    ----------
    fixings : eyes, one for each wire at each post of the fence
    low_wire : that the drip line hangs on; strung, bought and reckoned with as the others are
    run : of each wire, to the first post of the fence at or beyond the row's end
    pull_on_fixing : straight out of the post, design gust from behind
    eye_share : of what a screw eye holds
    pull_at_end : along the fence, all wires, strung as `cure` says
    end_moment : the same, about the fence's foot
    moment_per_metre : added at the fence's foot, design gust through the leaves [N m/m]
    wall_moment_per_metre : a solid fence of this height gets it from the wind anyway [N m/m]
    post_needed : smallest round post that carries the leaves' wind at `post_every`; None where none does
    cure : the cheapest that lets the end posts bear the pull; `cure_cost` of goods and work, `strut` of a post
    strut_reaches : of the struts' pads from the first and the last end post, clear of the trees; None without struts
    end_thickness : that an end post needs for the pull of plainly strung wires
    post_depth : that the fence's posts stand in the ground, stated or taken
    ground_share : of what soaked ground holds of an end post there, factor two, taken by plainly strung wires
    end_depth : that an end post without struts has to stand, wires strung as the cure says
    leaves_share : of what the fence's own posts bear, taken by wind through the leaves; None where they are not known
    wall_share : the same, taken by wind on a solid fence anyway
    wall : of brick, stone or concrete, without posts: the shares are those of its eyes
    end_share : the same, of an end post, taken by the pull of plainly strung wires; `cured_share` with the cure
    """

    row: str
    wire_heights: tuple[Metres, ...]
    fixings: int
    fixing_spacing: Metres
    run: Metres
    spacing_known: bool
    pull_on_fixing: Newtons
    eye_share: Share
    pull_at_end: Newtons
    end_moment: NewtonMetres
    moment_per_metre: Newtons
    wall_moment_per_metre: Newtons
    post_needed: str | None
    post_every: Metres
    pretension: Newtons
    cure: FenceCure
    cure_cost: Money
    strut: str | None
    end_thickness: SmallMetres
    post_depth: Metres
    depth_known: bool
    ground_share: Share
    end_depth: Metres
    leaves_share: Share | None = None
    wall_share: Share | None = None
    end_share: Share | None = None
    cured_share: Share | None = None
    wall: bool = False
    low_wire: Metres | None = None
    strut_reaches: tuple[Metres, Metres] | None = None

    @property
    def strung(self) -> tuple[float, ...]:
        """Heights [m] of all its wires, lowest first: the drip line's, where there is one, and the training wires."""
        return self.wire_heights if self.low_wire is None else (self.low_wire, *self.wire_heights)

    @property
    def posts(self) -> tuple[float, ...]:
        """[m] from the row's start, of the fence's own posts that carry the wires; in a wall, of the eyes."""
        return tuple(at * self.fixing_spacing for at in range(round(self.run / self.fixing_spacing) + 1))

    @property
    def bears(self) -> bool | None:
        """Whether every part of it bears what it gets as it stands; None where its posts are not known."""
        parts = (self.leaves_share, self.wall_share, self.end_share)
        if any(share is None for share in parts):
            return None
        return all(share <= 1 for share in (*parts, self.eye_share, self.ground_share) if share is not None)
