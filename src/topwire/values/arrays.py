"""Array types that a frozen result may hold, and their way to JSON and back.

NaN, "not known" in every array of the house, becomes null in JSON.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from pydantic_core import CoreSchema


def _as_list(array: npt.NDArray[Any]) -> Any:
    if array.dtype.kind == "f":
        known = np.isfinite(array)
        if not known.all():
            array = array.astype(object)
            array[~known] = None
    if array.dtype.kind == "M":
        return np.datetime_as_string(array).tolist()
    return array.tolist()


def _floats(value: Any) -> npt.NDArray[np.float64]:
    return np.asarray(value, dtype=np.float64)


def _integers(value: Any) -> npt.NDArray[np.int64]:
    return np.asarray(value, dtype=np.int64)


def _booleans(value: Any) -> npt.NDArray[np.bool_]:
    return np.asarray(value, dtype=np.bool_)


def _days(value: Any) -> npt.NDArray[np.datetime64]:
    return np.asarray(value, dtype="datetime64[D]")


class _Kept:
    """How an array goes to JSON and is read from it, told when pydantic asks: a process that only reckons with arrays
    does not load it."""

    def __init__(self, read: Callable[[Any], npt.NDArray[Any]]) -> None:
        self._read = read

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> "CoreSchema":
        from pydantic_core import core_schema

        written = core_schema.plain_serializer_function_ser_schema(
            _as_list, return_schema=core_schema.any_schema()
        )
        return core_schema.no_info_plain_validator_function(self._read, serialization=written)


Floats = Annotated[npt.NDArray[np.float64], _Kept(_floats)]
Integers = Annotated[npt.NDArray[np.int64], _Kept(_integers)]
Booleans = Annotated[npt.NDArray[np.bool_], _Kept(_booleans)]
Days = Annotated[npt.NDArray[np.datetime64], _Kept(_days)]
