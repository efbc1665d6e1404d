"""What the choice of cultivars needs to know of the ground."""

from collections import Counter

from topwire.choice.asked import Places
from topwire.layout.findings import Ground


def places_of(ground: Ground) -> Places:
    standing = Counter(name for name in ground.standing_cultivar if name)
    return Places(ground.capacity, ground.ground_per_tree, standing)
