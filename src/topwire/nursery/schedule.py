"""The nursery's dates, counted back from the planting autumn.

Routes: a bench graft made in late winter is a whip after one season and, headed in its second spring, a feathered
tree after two; a bud set in August grows out in the next season (GFTREES, APPLEEXT, PROTREE).
"""

from dataclasses import dataclass
from datetime import date, timedelta

from topwire.growth.wording import in_units
from topwire.nursery.result import WorkDay
from topwire.units import UnitSystem


@dataclass(frozen=True)
class NurseryClock:
    """What moves the dates: the planting autumn, the seasons in the nursery row, how late spring is."""

    planting_year: int
    seasons: int
    shift: timedelta  # later than at 40 degrees north at sea level
    units: UnitSystem = UnitSystem.METRIC  # of the measures in the sentences


def spring_shift(latitude: float, elevation: float) -> timedelta:
    """How much later spring work starts than at 40 degrees north, 100 m above the sea.

    Four days for a degree of latitude and for 122 m (400 ft) of height (HOPKINS1918, from memory), at most three
    weeks either way.

    Parameters
    ----------
    latitude : float
        [deg north]
    elevation : float
        [m]
    """
    days = 4 * (latitude - 40) + 4 * (elevation - 100) / 122
    return timedelta(days=round(max(-21.0, min(21.0, days))))


def nursery_dates(clock: NurseryClock) -> tuple[WorkDay, ...]:
    """All dates from ordering stocks to planting, in order."""
    graft_year = clock.planting_year - clock.seasons + 1

    def day(year: int, month: int, number: int) -> date:
        return date(year, month, number) + clock.shift

    def work(start: date, length: int, what: str, how: str) -> WorkDay:
        end = start + timedelta(days=length)
        told = (in_units(text, clock.units) for text in (what, how))
        return WorkDay(start.isoformat(), end.isoformat(), *told)

    dates = [
        work(
            date(graft_year - 1, 9, 1),
            60,
            "order rootstocks",
            "calliper 6-10 mm for bench grafts, certified virus-free; bought trees are ordered now too, often two "
            "years ahead",
        ),
        work(
            day(graft_year, 1, 15),
            40,
            "cut scion wood",
            "pencil-thick wood of last year from healthy trees, fully dormant, not below -5 °C; sticks of 15-20 cm; "
            "label every bundle; wipe the blade with 70 % alcohol between trees",
        ),
        work(
            day(graft_year, 1, 15),
            75,
            "keep wood and stocks cold",
            "0-2 °C, damp, sealed, and no fruit in the same store: its ethylene kills buds",
        ),
        work(
            day(graft_year, 3, 1),
            28,
            "bench graft",
            "whip-and-tongue, cambium matched on one side at least; union 15-20 cm above the roots; wrap, wax the "
            "tip. A grafting knife cuts to the bone: cut-resistant glove, blade away from the body, no one in front",
        ),
        work(
            day(graft_year, 3, 8),
            35,
            "callus and hold",
            "roots in damp medium at 13-18 °C for two to three weeks, then 2-4 °C until the ground is ready",
        ),
        work(
            day(graft_year, 4, 15),
            21,
            "line out in the nursery row",
            "after the hard frosts; union well above the soil; stake; rub off all but one shoot when 10 cm long",
        ),
        work(
            day(graft_year, 6, 15),
            14,
            "count the takes",
            "per lot of wood; write it down: the next order learns from it",
        ),
        work(
            day(graft_year, 7, 20),
            35,
            "bud the failures and the spare stocks",
            "chip bud on the living stocks, wood cut the same day; these trees are a season younger",
        ),
    ]
    if clock.seasons == 2:
        dates.append(
            work(
                day(graft_year + 1, 3, 1),
                21,
                "head the whips at 75 cm",
                "for feathers; one leader kept; August buds are cut back above the bud",
            )
        )
    lift = date(clock.planting_year, 11, 1) - clock.shift
    dates += [
        work(
            lift,
            14,
            "lift and grade",
            "after leaf fall; roots never dry; grade by height and calliper; tag each bundle with its cultivar",
        ),
        work(
            lift + timedelta(days=7),
            28,
            "plant",
            "union 15 cm above the final soil; stake stocks with weak unions at once; do not head; guards against "
            "voles. Where the ground freezes early hold the trees cold and plant as soon as the soil works",
        ),
    ]
    return tuple(sorted(dates, key=lambda item: (item.day, item.what)))
