"""Words of builds whose fate is known: what stood in the world, what fell."""

from collections.abc import Mapping

from topwire.tell.words import Words
from topwire.trellis.known_builds import KnownBuild

KNOWN: Mapping[KnownBuild, Words] = {
    KnownBuild.USUAL: Words(
        "usual: posts of [100 mm, 1.07 m deep, 9.8 m|4 in, 3 ft 6 in deep, 32 ft] apart",
        "most stand; a few rows fell in [100 km/h|62 mph] on soaked ground with full crop (Nova Scotia 2019), a fifth "
        "in [135-150 km/h|85-95 mph]",
    ),
    KnownBuild.LIGHT: Words(
        "light usual: [90 mm, 0.9 m deep, 10.7 m|3 1/2 in, 3 ft deep, 35 ft] apart",
        "some fell in [95-105 km/h|60-65 mph] on dry ground with full crop (Washington 2020)",
    ),
    KnownBuild.SHALLOW: Words(
        "shallow: [100 mm, 0.9 m deep, 9.1 m|4 in, 3 ft deep, 30 ft] apart",
        "stands everywhere in common gusts",
    ),
    KnownBuild.CLOSER: Words("closer: [100 mm, 1.2 m deep, 6.1 m|4 in, 4 ft deep, 20 ft] apart", ""),
    KnownBuild.STURDY: Words("sturdy: [127 mm, 1.2 m deep, 6.1 m|5 in, 4 ft deep, 20 ft] apart", ""),
    KnownBuild.WASHINGTON: Words(
        "fell: [90 mm, 0.9 m deep, 13.7 m|3 1/2 in, 3 ft deep, 45 ft] apart",
        "thirteen failures surveyed in Washington (2016), high wind in less than half of them",
    ),
    KnownBuild.MICHIGAN: Words(
        "fell: [76 mm, 0.76 m deep, 13.7 m|3 in, 2 ft 6 in deep, 45 ft] apart",
        "whole rows down in [105 km/h|65 mph] (Michigan 2009)",
    ),
    KnownBuild.ONTARIO: Words(
        "close trees: [100 mm, 0.9 m deep, 6.1 m|4 in, 3 ft deep, 20 ft] apart",
        "[0.1 ha|a quarter acre] down in [137 km/h|85 mph], the rest stood (Ontario 2020)",
    ),
}
