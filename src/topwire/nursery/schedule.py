"""The days the nursery wishes for its work, counted back from the planting autumn.

The calendar takes them up and says when each is done, with lifting and planting.

Routes: a bench graft made in late winter is a whip after one season and, headed in its second spring, a feathered
tree after two; a bud set in August grows out in the next season (GFTREES, APPLEEXT, WHIP-PRACTICE).
"""

from datetime import date, timedelta

from topwire.nursery.findings import NurseryJob, WorkDates


def spring_shift(latitude: float, elevation: float) -> int:
    """How much later spring work starts than at 40 degrees north, 100 m above the sea. [d]

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
    return round(max(-21.0, min(21.0, days)))


def nursery_dates(
    planting_year: int, seasons: int, shift: int, mother_winters: int = 0
) -> tuple[WorkDates, ...]:
    """All dates from ordering stocks to the last work in the nursery row, in order; lifting waits for leaf fall.

    Parameters
    ----------
    planting_year : int
        Year of the planting autumn.
    seasons : int
        In the nursery row, 1 or 2.
    shift : int
        As of `spring_shift`. [d]
    mother_winters : int
        Winters before the one of grafting in which a mother row is begun; 0 = none is.
    """
    later = timedelta(days=shift)
    graft_year = planting_year - seasons + 1

    def work(job: NurseryJob, start: date, length: int) -> WorkDates:
        return WorkDates(job, start.isoformat(), (start + timedelta(days=length)).isoformat())

    dates = [
        work(NurseryJob.ORDER_STOCKS, date(graft_year - 1, 9, 1), 60),
        work(NurseryJob.CUT_WOOD, date(graft_year, 1, 15) + later, 40),
        work(NurseryJob.KEEP_COLD, date(graft_year, 1, 15) + later, 75),
        work(NurseryJob.BENCH_GRAFT, date(graft_year, 3, 1) + later, 28),
        work(NurseryJob.CALLUS, date(graft_year, 3, 8) + later, 35),
        work(NurseryJob.LINE_OUT, date(graft_year, 4, 15) + later, 21),
        work(NurseryJob.COUNT_TAKES, date(graft_year, 6, 15) + later, 14),
        work(NurseryJob.BUD_FAILURES, date(graft_year, 7, 20) + later, 35),
    ]
    if mother_winters:
        dates.append(work(NurseryJob.MOTHER_ROW, date(graft_year - mother_winters, 1, 15) + later, 90))
    if seasons == 2:
        dates.append(work(NurseryJob.HEAD_WHIPS, date(graft_year + 1, 3, 1) + later, 21))
    order = list(NurseryJob)
    return tuple(sorted(dates, key=lambda item: (item.first, order.index(item.job))))
