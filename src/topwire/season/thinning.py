"""Fruit to thin: what a trunk may carry beside what was counted, while thinning pays."""

from collections.abc import Sequence
from datetime import date

import numpy as np

from topwire.season.asked import GrownCultivar
from topwire.season.crop import target_of, trunk_of
from topwire.season.dates import SeasonDates, day_of
from topwire.season.findings import SeasonStage, ThinWeek
from topwire.season.seen import Seen
from topwire.values.traits import Grade

# Days after full bloom to which thinning pays: size to 40 (THIN-HTEC23); cultivars that bear every other year answer in
# their next bloom to a week after it (LOAD-YORK), and are shown from bloom on.
SIZE_UNTIL, FROM_EVEN = 40.0, 10.0


def thinning_of(
    day: date, cultivars: Sequence[GrownCultivar], dates: SeasonDates, seen: Seen
) -> tuple[ThinWeek, ...]:
    """Cultivars to thin now, those that bear every other year first."""
    today = day_of(day)
    found: list[tuple[bool, ThinWeek]] = []
    for line in cultivars:
        if line.for_cider:  # it is not thinned by hand to a number
            continue
        at = dates.names.index(line.name)
        bloom = dates.middle(SeasonStage.FULL_BLOOM, at)
        every_other = line.biennial is Grade.HIGH
        begins = bloom if every_other else bloom + FROM_EVEN
        if not np.isfinite(bloom) or not begins <= today <= bloom + SIZE_UNTIL:
            continue
        trunk = trunk_of(line, day.year, seen.trunks)
        bears = any(
            line.kg_per_tree[min(day.year - planted, line.kg_per_tree.shape[0]) - 1, 1] > 0
            for planted, _ in line.planted
            if planted < day.year and line.kg_per_tree.size
        )
        if trunk is None or not bears:
            continue
        own = [one for one in seen.counts if one.cultivar == line.name]
        last = max(own, key=lambda one: (not one.flowers, one.day), default=None)
        found.append(
            (
                every_other,
                ThinWeek(
                    cultivar=line.name,
                    trees=line.bearing(day.year),
                    trunk=trunk * 1e-4,
                    measured=seen.trunks.get(line.name, (0.0, 0))[1],
                    target=target_of(line, day.year, trunk, seen.trunks),
                    there=None if last is None else last.per_tree,
                    clusters=last is not None and last.flowers,
                    until=bloom + SIZE_UNTIL,
                ),
            )
        )
    return tuple(line for _, line in sorted(found, key=lambda one: (not one[0], one[1].cultivar)))
