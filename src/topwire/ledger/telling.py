"""What has to be told with the account: missing bills, weeks short of hands, dangers, what the figures rest on."""

from topwire.ledger.asked import LedgerQuestion
from topwire.ledger.budgets import COMMERCIAL_HOURS, PUBLISHED, SMALL_FARM_HOURS, established_by_tree
from topwire.ledger.calendar import ROOTS_AT_RISK
from topwire.ledger.findings import Ledger
from topwire.nursery.findings import NurseryJob
from topwire.values.notice import Notice, assumption, caution, remark, warning
from topwire.values.price import price_notices
from topwire.values.price_index import in_money_of

_LATE_PLANTING = 14  # [d] later than wished, worth a word


def ledger_notices(asked: LedgerQuestion, found: Ledger) -> list[Notice]:
    """Every notice of the account."""
    missing = [name for name in ("trellis", "water") if getattr(asked.bills, name) is None]
    notices = [warning("ledger.bill_missing", concerns=[name]) for name in missing]
    if found.short_weeks:
        worst = max(found.short_weeks, key=lambda week: week.beyond)
        notices.append(
            warning(
                "ledger.short_of_hands",
                setting="money.hands",
                weeks=len(found.short_weeks),
                years=asked.horizon,
                hands=asked.hands,
                week=worst.week,
                year=str(asked.planting + worst.year),
                beyond=worst.beyond,
            )
        )
    notices.append(caution("ledger.dangers"))
    notices += _calendar_notices(asked, found)
    if asked.trees:
        notices.append(
            remark(
                "ledger.hours_beside",
                source="SMALL-ORCHARD-PRACTICE",
                ours=found.outdoor_hours / asked.areas.tree_ground,
                small_farm=SMALL_FARM_HOURS,
                commercial=COMMERCIAL_HOURS,
            )
        )
        least, most = established_by_tree()
        since = in_money_of(PUBLISHED, asked.money_year, asked.index)
        notices.append(
            remark(
                "ledger.per_tree",
                source="MON-ROB05",
                each=found.cost_to_establish / asked.trees,
                low=least * since,
                high=most * since,
                least=least,
                most=most,
                published=str(PUBLISHED),
                year=str(asked.money_year),
                currency=asked.currency,
            )
        )
    notices.append(assumption("ledger.valued"))
    if asked.autumns:
        notices.append(
            warning(
                "ledger.one_autumn",
                setting="years.autumns",
                autumns=len(asked.autumns),
                first=str(asked.autumns[0]),
                last=str(asked.autumns[-1]),
                later=asked.autumns[-1] - asked.autumns[0],
            )
        )
    return notices + price_notices("ledger", asked.prices, asked.currency)


def _calendar_notices(asked: LedgerQuestion, found: Ledger) -> list[Notice]:
    notices = []
    planted = next((job.start for job in found.calendar if job.work == NurseryJob.PLANT), None)
    if planted is not None:
        notices.append(remark("ledger.begins", first=found.calendar[0].start, planted=planted))
    if found.planted_in_spring and asked.trees:
        notices.append(
            warning(
                "ledger.spring_planting",
                setting="trees.rootstock",
                concerns=asked.tenderest,
                roots=asked.root_injury > ROOTS_AT_RISK,
                injury=asked.root_injury,
            )
        )
    notices += _late_notices(asked, found)
    late = [job.work for job in found.calendar if job.leaf is None and job.slipped > _LATE_PLANTING]
    if late:
        notices.append(warning("ledger.slipped", setting="money.hands", concerns=late))
    return notices


def _late_notices(asked: LedgerQuestion, found: Ledger) -> list[Notice]:
    """What a late start loses, and a planting that is not ready."""
    notices = []
    out = [line.work for line in found.late if line.begins is None]
    if asked.begin and out:
        if NurseryJob.BENCH_GRAFT in out:
            notices.append(
                warning(
                    "ledger.too_late_to_graft",
                    setting="years.planting",
                    begin=asked.begin,
                    planting=str(asked.planting),
                    later=str(asked.planting + 1),
                )
            )
        rows = [name for name in out if name not in tuple(NurseryJob)]
        if rows:
            notices.append(
                warning("ledger.left_out", setting="years.begin", concerns=rows, begin=asked.begin)
            )
    plant = next((job for job in found.calendar if job.work == NurseryJob.PLANT), None)
    if plant is not None and plant.slipped > _LATE_PLANTING:
        notices.append(
            warning("ledger.planting_slips", setting="years.begin", days=plant.slipped, planted=plant.start)
        )
    if asked.bears:
        notices.append(caution("ledger.bears", setting="place.animals"))
    return notices
