"""What a newer copy of a record has that the kept one has not: days that came, days that changed, days that went."""

from dataclasses import dataclass

import numpy as np

from topwire.weather.reading import DAY_NAMES, Reading

SAME = 0.051  # [deg C, mm] smaller differences are rounding


@dataclass(frozen=True)
class ColumnChange:
    """Days both copies have whose value is another one.

    Attributes
    ----------
    column : name of DAY_NAMES
    days : how many
    greatest : difference [unit of the column], with its sign
    first, last : day
    """

    column: str
    days: int
    greatest: float
    first: np.datetime64
    last: np.datetime64


@dataclass(frozen=True)
class RecordChanges:
    """A newer copy beside the kept one, days with a temperature or rain counted.

    Attributes
    ----------
    came : days the kept copy has not
    went : days the newer copy has not
    changed : by column
    """

    came: int
    went: int
    changed: tuple[ColumnChange, ...]


def changes_between(old: Reading, new: Reading) -> RecordChanges:
    """What the newer copy has more, less and otherwise."""
    known_old, known_new = (_known(one) for one in (old, new))
    changed = []
    _, before, after = np.intersect1d(old.day, new.day, return_indices=True)
    for name in DAY_NAMES:
        if name not in old.columns or name not in new.columns:
            continue
        apart = new.columns[name][after] - old.columns[name][before]
        differs = np.isfinite(apart) & (np.abs(apart) > SAME)
        if differs.any():
            at = np.flatnonzero(differs)
            days = new.day[after][at]
            greatest = float(apart[at[np.argmax(np.abs(apart[at]))]])
            changed.append(ColumnChange(name, at.size, greatest, days.min(), days.max()))
    return RecordChanges(
        came=np.setdiff1d(known_new, known_old).size,
        went=np.setdiff1d(known_old, known_new).size,
        changed=tuple(changed),
    )


def _known(reading: Reading) -> np.ndarray:
    known = np.zeros(reading.day.size, dtype=bool)
    for name in ("tmin", "tmax", "rain"):
        if name in reading.columns:
            known |= np.isfinite(reading.columns[name])
    return reading.day[known]
