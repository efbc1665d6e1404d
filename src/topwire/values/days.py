"""Days a person names: in which of them something can have happened."""

from datetime import date

FIRST_DAY = date(1900, 1, 1)  # before it a year is a slip of the pen


def cannot_have_been(day: date, latest: date) -> str:
    """Why nothing can have been seen on a day, as “… is yet to come”; empty where it can.

    Parameters
    ----------
    latest : today; where another clock may have written the day, one more
    """
    if day < FIRST_DAY:
        return f"lies before {FIRST_DAY.year}"
    return "is yet to come" if day > latest else ""
