"""Which cultivars do not fit a place, and what there is to tell about the place."""

from collections.abc import Mapping, Sequence

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.notices import Notice, assumption, caution, remark, warning
from topwire.phenology.forecast import Array, Forecast
from topwire.phenology.injury import AFTER_THAW, winters_below
from topwire.phenology.seasons import Seasons
from topwire.phenology.traits import REFERENCE, Traits
from topwire.values.units import Kind, UnitSystem, shown

WHERE = "place"

# From how many years on a cultivar is called unfit; all common practice, no source.
CHILL_MISSED = 0.1
NOT_RIPE = 0.2
FROST_LOSS, FROST_YEARS = 0.5, 1.0 / 3.0  # half the crop lost to frost, one year in three
WINTER_INJURY = 0.05

FEW_YEARS = 10
FITTED_CHILL = 87.0  # [portions] to 31 March, fewest at the two fitted places
WARM_WINTER = -18.0  # [deg C] yearly minimum under which few portions come from frost, not from warmth
FITTED_LATITUDE = (33.0, 55.0)  # fitted at 39 to 41; published fits of the same kind reach 51 to 53


def unfit(seasons: Seasons, traits: Traits, found: Forecast, coldest: Array) -> dict[str, str]:
    """Why each cultivar that does not fit does not, in a sentence."""
    years = seasons.years.size
    without = np.isnan(found.full_bloom)
    unmet = found.chill_missed.sum(axis=0)
    too_cold = (without & ~found.chill_missed).sum(axis=0)
    bloomed = np.maximum(years - without.sum(axis=0), 1)
    unripe = found.unripe.sum(axis=0)
    lost = (found.crop < 1.0 - FROST_LOSS).sum(axis=0)
    injured = winters_below(coldest, traits.lethal)
    reasons: dict[str, str] = {}
    for index, name in enumerate(traits.names):
        said = []
        if unmet[index] > CHILL_MISSED * years:
            said.append(f"chill not met in {unmet[index]} of {years} years")
        if too_cold[index] > CHILL_MISSED * years:
            said.append(f"too cold to bloom by midsummer in {too_cold[index]} of {years} years")
        if unripe[index] > NOT_RIPE * bloomed[index]:
            said.append(f"does not ripen before winter in {unripe[index]} of {bloomed[index]} years")
        if lost[index] > FROST_YEARS * bloomed[index]:
            said.append(f"frost takes more than half its crop in {lost[index]} of {bloomed[index]} years")
        if injured[index] > WINTER_INJURY:
            said.append(f"midwinter cold hurts its wood in {round(injured[index] * years)} of {years} years")
        if said:
            reasons[name] = "; ".join(said)
    return reasons


def notices(
    seasons: Seasons,
    traits: Traits,
    found: Forecast,
    *,
    catalogue: Catalogue,
    reasons: Mapping[str, str],
    coldest: Array,
    root_injury: Mapping[str, float],
    rootstocks: Sequence[str],
    portions_by_spring: Array,
    latitude: float,
    system: UnitSystem,
    bloom_error: float,
    harvest_error: float,
    unused_dates: Sequence[str],
) -> tuple[Notice, ...]:
    """All the place has to tell beside its figures."""
    return (
        *_record(seasons),
        *_own_dates(unused_dates),
        *_fit(traits, found, reasons, coldest, portions_by_spring, latitude),
        *_winter(coldest, system),
        *_roots(root_injury, rootstocks),
        *_evidence(catalogue, bloom_error, harvest_error),
    )


def _record(seasons: Seasons) -> list[Notice]:
    told = []
    if seasons.unusable:
        listed = ", ".join(str(year) for year in seasons.unusable)
        says = f"weather of {listed} is missing for too many days; {_plural(len(seasons.unusable), 'year')} left out."
        told.append(warning(WHERE, says, "Add a second weather file that covers them."))
    if seasons.years.size < FEW_YEARS:
        usable = _plural(seasons.years.size, "year")
        says = f"only {usable} of weather can be used; rare frosts and cold winters will be missed."
        told.append(warning(WHERE, says, "Add the record of a station near by, 20 years or more."))
    return told


def _own_dates(unused: Sequence[str]) -> list[Notice]:
    if not unused:
        return []
    says = f"{_plural(len(unused), 'date')} of your own cannot be used: {_some(unused, separator='; ')}."
    remedy = "Write cultivars as the catalogue does, and add weather that covers the years."
    return [warning("catalogue/own_dates.csv", says, remedy)]


def _fit(
    traits: Traits,
    found: Forecast,
    reasons: Mapping[str, str],
    coldest: Array,
    portions_by_spring: Array,
    latitude: float,
) -> list[Notice]:
    told = []
    years = found.full_bloom.shape[0]
    missed = int(found.chill_missed[:, traits.reference].sum())
    if missed:
        says = (
            f"chill not met: {REFERENCE} has too little winter chill in {missed} of {years} years, "
            "so no bloom date is given for them."
        )
        told.append(warning(WHERE, says, "Choose cultivars of low chill need.", "OVERLAP2017"))
    middle = float(np.median(portions_by_spring))
    if middle < FITTED_CHILL and float(np.median(coldest)) > WARM_WINTER:
        says = (
            f"winters bring {middle:.0f} chill portions here, the two places the bloom model was fitted to 87 to 110; "
            "in warm winters bloom dates have been wrong by ten days and more."
        )
        told.append(warning(WHERE, says, "Enter bloom dates of your own (own_dates.csv).", "OVERLAP2017"))
    if not FITTED_LATITUDE[0] <= latitude <= FITTED_LATITUDE[1]:
        says = f"bloom at latitude {latitude:.1f} is outside what the day-length part of the model was ever tried on."
        told.append(
            assumption(WHERE, says, "Enter bloom dates of your own (own_dates.csv).", "DAYLENGTH2014")
        )
    by_reason: dict[str, list[str]] = {}
    for name, reason in reasons.items():
        by_reason.setdefault(reason.split(" in ")[0], []).append(name)
    for reason, names in sorted(by_reason.items()):
        told.append(remark(WHERE, f"does not fit here ({reason}): {_some(names)}."))
    unknown = [name for name, days in zip(traits.names, traits.harvest_offset, strict=True) if np.isnan(days)]
    if unknown:
        says = f"no harvest date is known for {_some(unknown)}; none is shown."
        told.append(remark(WHERE, says))
    return told


def _winter(coldest: Array, system: UnitSystem) -> list[Notice]:
    told = []
    lowest = float(np.min(coldest))
    if lowest <= AFTER_THAW:
        says = (
            f"the coldest night of the record is {shown(lowest, Kind.TEMPERATURE, system)}: after a thaw even hardy "
            "wood can be hurt from "
            f"{shown(AFTER_THAW, Kind.TEMPERATURE, system)} down, and dwarfing rootstocks in bare, dry soil earlier."
        )
        remedy = "Keep mulch or snow on the roots, paint trunks white, and choose hardy rootstocks."
        told.append(warning(WHERE, says, remedy, "BRAEBURN1995"))
    return told


def _roots(root_injury: Mapping[str, float], rootstocks: Sequence[str]) -> list[Notice]:
    told = []
    for name in rootstocks:
        if name not in root_injury:
            says = f"how much cold the roots of {name} stand is not known here."
            told.append(remark(WHERE, says, "Ask the nursery before planting in a cold place."))
        elif root_injury[name] > WINTER_INJURY:
            says = (
                f"in {root_injury[name]:.0%} of winters bare, snowless soil may get as cold as kills about half the "
                f"roots of {name} in tests."
            )
            remedy = "Keep the strip mulched or grassed in winter and the soil moist, or choose a hardier rootstock."
            told.append(warning(WHERE, says, remedy, "MORAN2011"))
    return told


def _evidence(catalogue: Catalogue, bloom_error: float, harvest_error: float) -> list[Notice]:
    rows = catalogue.cultivars
    remembered = sum(row.evidence_of("bloom_offset_days").mark.value == "MEMORY" for row in rows)
    picked = sum(row.evidence_of("harvest_offset_days").mark.value == "MEMORY" for row in rows)
    return [
        assumption(
            WHERE,
            f"a bloom date is good to about {bloom_error:.0f} days and a harvest date to about {harvest_error:.0f} "
            "(root-mean-square); offsets of "
            f"{remembered} cultivars in bloom and {picked} in harvest are remembered, not read in a source.",
            "Three years of your own dates (own_dates.csv) are worth more than any list.",
            "MUIR2023",
        ),
        assumption(
            WHERE,
            "frost kill is reckoned from the screen minimum less what the plan says the orchard is colder; on clear "
            "nights buds can be another 1 to 2 K (2 to 4 F) colder, and nights are taken as independent.",
            "Hang a thermometer in the orchard for a spring and state the difference as place.colder_than_station.",
            "EB0419",
        ),
        caution(
            WHERE,
            "frost protection means work at night with engines, fuel, ladders or water that freezes.",
            "Have someone with you, keep fires and exhaust away from people, and ask the local advisory service first.",
        ),
    ]


def _some(names: Sequence[str], most: int = 8, separator: str = ", ") -> str:
    listed = separator.join(names[:most])
    return f"{listed} and {len(names) - most} more" if len(names) > most else listed


def _plural(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
