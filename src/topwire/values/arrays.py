"""Array types that a frozen result may hold, and their way to JSON and back.

NaN, "not known" in every array of the house, becomes null in JSON.
"""

import math
from typing import Annotated, Any

import numpy as np
import numpy.typing as npt
from pydantic import PlainSerializer, PlainValidator


def _as_list(array: npt.NDArray[Any]) -> Any:
    if array.dtype.kind == "f":
        return _without_nan(array.tolist())
    if array.dtype.kind == "M":
        return np.datetime_as_string(array).tolist()
    return array.tolist()


def _without_nan(tree: Any) -> Any:
    if isinstance(tree, list):
        return [_without_nan(item) for item in tree]
    return tree if math.isfinite(tree) else None


def _floats(value: Any) -> npt.NDArray[np.float64]:
    return np.asarray(value, dtype=np.float64)


def _integers(value: Any) -> npt.NDArray[np.int64]:
    return np.asarray(value, dtype=np.int64)


def _booleans(value: Any) -> npt.NDArray[np.bool_]:
    return np.asarray(value, dtype=np.bool_)


def _days(value: Any) -> npt.NDArray[np.datetime64]:
    return np.asarray(value, dtype="datetime64[D]")


Floats = Annotated[npt.NDArray[np.float64], PlainValidator(_floats), PlainSerializer(_as_list)]
Integers = Annotated[npt.NDArray[np.int64], PlainValidator(_integers), PlainSerializer(_as_list)]
Booleans = Annotated[npt.NDArray[np.bool_], PlainValidator(_booleans), PlainSerializer(_as_list)]
Days = Annotated[npt.NDArray[np.datetime64], PlainValidator(_days), PlainSerializer(_as_list)]
