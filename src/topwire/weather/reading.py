"""What one weather file says, before files are joined: the value every reader gives."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.notices import Notice

Array = npt.NDArray[np.float64]
NAMES = ("tmin", "tmax", "rain", "dew_point", "wind", "sun")  # deg C, deg C, mm, deg C, m/s at 2 m, MJ/m2/d


@dataclass(frozen=True)
class Reading:
    """Days in the file's order, with the columns it has.

    Attributes
    ----------
    label : the file's name in messages
    day : (days,) dates, any order
    columns : name of NAMES -> (days,) values in SI-like units of NAMES, NaN where missing
    hourly : (days, 24) [deg C] or None
    typical : a typical year made of several
    notices : what reading found
    """

    label: str
    day: npt.NDArray[np.datetime64]
    columns: dict[str, Array]
    hourly: Array | None = None
    typical: bool = False
    notices: tuple[Notice, ...] = ()
