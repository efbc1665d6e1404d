"""Days a person names: which of them can be meant, and in which something can have happened."""

from datetime import date, datetime

FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)  # beyond them a year is a slip of the pen


def day_named(written: str) -> date:
    """The day written as 2031-05-12. Raises ValueError where it is none, or none that can be meant."""
    try:
        day = datetime.strptime(written.strip(), "%Y-%m-%d").date()
    except ValueError:
        raise ValueError(f"“{written[:20]}” is no day; write 2031-05-12.") from None
    if not FIRST_DAY <= day <= LAST_DAY:
        raise ValueError(f"{day} is out of bounds; write a day from {FIRST_DAY} to {LAST_DAY}.")
    return day


def cannot_have_been(day: date, latest: date) -> str:
    """Why nothing can have been seen on a day, as “… is yet to come”; empty where it can.

    Parameters
    ----------
    latest : today; where another clock may have written the day, one more
    """
    if day < FIRST_DAY:
        return f"lies before {FIRST_DAY.year}"
    return "is yet to come" if day > latest else ""
