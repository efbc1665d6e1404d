"""Words of the cards the crew holds."""

from topwire.layout.ties import BlockTies, TwoTapes
from topwire.tell.reader import Reader, counted
from topwire.tell.words import in_system
from topwire.values.terms import compass

# How two people mark a block, in the order of their work.
STAKING_ORDER = (
    "Two people, two long tapes, a hammer, a felt pen and stakes. First the block's corners. Where corner A is not "
    "marked by a fence or an old stake, a phone finds it by longitude and latitude to a few steps: that moves the "
    "whole orchard by as much and bends nothing. Lay the first side by its bearing, a phone's compass set to true "
    "north; go on from corner to corner by the lengths, and measure across; the last side has to close. A further "
    "block begins from the one before, by the two lines at the head of its table: length and bearing each. Drive a "
    "stake at each corner, write its letter on it and leave it standing.",
    "Then the end posts. Hook one tape to each of the two corners named, pull both along the ground until the two "
    "lengths meet on the side named, and drive a stake there; write block, row, and start or end on it. Begin with "
    "the first and the last row. Measure the two diagonals and the lengths of these rows; when they come out, set the"
    " other rows' ends the same way, and check each by its distance to the row before. A distance has come out when "
    "it is off by less than twice what the last column of the tapes says. Before digging or driving have buried lines"
    " marked.",
)

# What the cards of rows begin with, where they have posts of their own and where they stand along a fence.
CARDS = (
    "One card a row. Posts and anchors come first, as the book's {part} says; where they do not stand yet, drive a "
    "small stake at each of their distances. Stretch a tape from the start post, along the ground in the line of the "
    "posts, and leave it lying: the trees stand in that line."
)
FENCE_CARDS = (
    "One card a row. The wires come first, as the book's {part} says. Stretch a tape from the fence's first post with "
    "eyes (a wall's first eye), along its foot, and leave it lying; each card says how far off it the trees stand."
)


def off_fence(facing: float, flat: bool, reader: Reader) -> str:
    """Where the trees of a row stand from the fence whose side looks to `facing` [deg from north]."""
    line = "[15 cm|6 in] off the fence" if flat else "in the line of the wires, [100 mm|4 in] off the fence"
    return in_system(f"Its trees stand {line} on its {compass(facing).value} side.", reader)


def fence_staking(side: str) -> str:
    """How a row along a fence is found: `side` of the fence from which it counts."""
    return (
        "The fence that stands gives the line, so no row end is staked and no post set: the row counts from the "
        f"fence's first post with eyes at the {side} end. The corners bound the ground the row takes, not the fence; "
        "they are for the map, and for finding a fence that is not built yet."
    )


# Under the drawing of a block.
DRAWN = "Full dots are start posts, open ones the other ends; north is up, all corners to scale."


def pull_words(ties: BlockTies, reader: Reader) -> str:
    """How long the tapes have to be."""
    sides = reader.tape(max(side.length for side in ties.sides))
    posts = reader.tape(
        max((tape for _, two in ties.posts for tape in (two.first_length, two.second_length)), default=0.0)
    )
    return (
        f"Stakes: {counted(len(ties.corners), 'corner')}, {counted(len(ties.posts), 'row end')}. "
        f"The longest side or diagonal is {sides}, the longest tape to an end post {posts}. Where your tape is "
        "shorter, sight a stake into the line and measure in two pulls."
    )


def compass_bearing(bearing: float, declination: float) -> float:
    """What a compass needle shows along a true bearing [deg]: less by what it points east of true north."""
    return (bearing - declination) % 360.0


def bearing_words(bearing: float, declination: float | None) -> str:
    """ "19°", by compass."""
    return "not stated" if declination is None else f"{round(compass_bearing(bearing, declination)) % 360}°"


def both_bearings(bearing: float, declination: float | None) -> str:
    """ "10° from true north, 19° by compass"."""
    said = f"{round(bearing) % 360}° from true north"
    if declination is None:
        return f"{said}, as a phone's compass set to true north shows it"
    return f"{said}, {bearing_words(bearing, declination)} by compass"


def needle_words(declination: float | None) -> str:
    """What the compass column rests on."""
    if declination is None:
        return (
            "Bearings are from true north, as a phone's compass shows them once it is set to true north. A needle is "
            "off by its declination: a topographic map prints it on its margin with its yearly change, and national "
            "surveys reckon it for place and date. Stated as place.declination it stands here."
        )
    side = "east" if declination >= 0 else "west"
    return (
        f"True bearings, and those of a compass whose needle points {abs(declination):g}° {side} of true north "
        "(place.declination). It drifts by a degree in some years: look it up anew in the year of staking."
    )


def side_words(found: TwoTapes) -> str:
    """On which side of the two corners a point lies."""
    return f"{found.side} of the line {found.first} to {found.second}"


def other_words(ties: BlockTies) -> str:
    """How a further block lies to the one before."""
    if ties.to_other:
        return f"{ties.block}: its corners are tied to those of {ties.other}."
    return (
        f"{ties.block}: the plan does not say where it lies beside the others. Set its corner A and its first side "
        "where they belong; all its tapes start from its own corners."
    )
