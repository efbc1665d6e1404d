"""What has to be said about batches, bought trees and unions."""

from topwire.choice.result import Batches
from topwire.notices import Notice, remark, warning
from topwire.plan.model import Plan


def batch_notices(plan: Plan, found: Batches | None) -> list[Notice]:
    """Too few autumns for the nursery, and what the other departments make of several."""
    if found is None or not found.planned:
        return []
    stated, per_year = plan.years.autumns, plan.years.trees_per_year
    notices = []
    takes = len(found.autumns)
    raised = sum(batch.total - batch.bought for batch in found.autumns)
    if per_year is not None and raised > stated * per_year:
        says = (
            f"the nursery raises {per_year:,} trees a year, and {raised:,} are to be raised: that takes {takes} "
            f"planting autumns, and the plan states {stated}. The batches below take {takes}."
        )
        remedy = f"State `autumns: {takes}` under years, raise or buy more trees a year, or plant fewer."
        notices.append(warning("plan.yaml, years", says, remedy))
    if takes > 1:
        last = found.autumns[-1].autumn
        says = (
            f"trees are planted in {takes} autumns, {plan.years.planting} to {last}; layout, nursery order, crop by "
            f"leaf, work and money still take them all as planted in autumn {plan.years.planting}."
        )
        remedy = (
            "Order and graft each autumn's trees by the table of batches, each a year after the one before; early "
            "crops, costs and income come later than those pages say."
        )
        notices.append(warning("choice", says, remedy))
    elif stated > 1:
        says = f"the nursery can raise all trees for autumn {plan.years.planting}: one autumn serves the kitchen best."
        notices.append(remark("choice", says))
    return notices
