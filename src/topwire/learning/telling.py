"""What the Learning has to tell beside its figures."""

from collections.abc import Sequence

from topwire.learning.asked import LearningQuestion
from topwire.phenology.own_dates import Learned, Unused
from topwire.values.notice import Notice, remark, warning
from topwire.values.own_date import OwnDate

USED_UNTIL = "place.own_dates_until"


def learning_notices(
    asked: LearningQuestion, taught_nothing: Sequence[tuple[OwnDate, Unused]], learned: Sequence[Learned]
) -> list[Notice]:
    """Every notice of the learning."""
    told = [
        warning(
            "learning.dates_unused",
            concerns=[
                f"{row.entry} ({row.cultivar}, {row.date.isoformat()})"
                for row, found in taught_nothing
                if found is why
            ],
            why=why.value,
        )
        for why in Unused
        if any(found is why for _, found in taught_nothing)
    ]
    told += [
        warning("learning.step", year=item.step.year, days=round(item.step.days, 1), what=item.what)
        for item in learned
        if item.step is not None
    ]
    until = asked.used_until
    beside = [row.date.year for row in asked.own_dates if until is None or row.date.year > until]
    if beside:
        told.append(remark("learning.beside", setting=USED_UNTIL, dates=len(beside), last=max(beside)))
    return told
