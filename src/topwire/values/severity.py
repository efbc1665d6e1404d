"""How much something told matters. Light to import: the command line needs it before any sum."""

from enum import StrEnum


class Severity(StrEnum):
    """How much a notice matters, from what stops a department to a plain remark."""

    FAULT = "fault"  # the department cannot answer
    WARNING = "warning"  # the plan stands, but something needs a decision
    CAUTION = "caution"  # someone can get hurt, or the law has a say
    ASSUMPTION = "assumption"  # a figure the plan rests on and nobody has measured here
    REMARK = "remark"
