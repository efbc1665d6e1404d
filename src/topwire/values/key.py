"""The key of a question: a hash of everything in it, so that equal questions get the kept answer and no others do."""

import hashlib
import struct
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from functools import cache
from itertools import chain
from typing import Any

import numpy as np


def key_of(value: Any) -> str:
    """Hash of a frozen value: dataclasses field by field, mappings in the order of their keys, arrays by their bytes.

    Two values have one key only where they are of the same classes and equal in every field; NaN equals NaN.

    Raises
    ------
    TypeError
        When something inside is none of: dataclass, mapping, tuple, list, set, array, enum, text, bytes, number, bool,
        date, None. A question is made of these only.
    """
    parts: list[bytes] = []
    _into(parts, value)
    lengths = map(_LENGTH, map(len, parts))
    return hashlib.sha256(b"".join(chain.from_iterable(zip(lengths, parts, strict=True)))).hexdigest()


_LENGTH = struct.Struct(">Q").pack
_NUMBER = struct.Struct(">d").pack


@cache
def _fields(kind: type) -> tuple[tuple[str, bytes], ...]:
    return tuple((field.name, field.name.encode()) for field in fields(kind))


def _into(parts: list[bytes], value: Any) -> None:
    """The bytes of a value behind those that are there. What there is most of comes first."""
    kind = type(value)
    if kind is str:
        parts += (b"text", value.encode("utf-8", "surrogatepass"))
    elif kind is float:
        parts.append(b"float" + (b"nan" if value != value else _NUMBER(value + 0.0)))
    elif value is None:
        parts.append(b"none")
    elif kind is tuple or kind is list:
        parts.append(b"list %d" % len(value))
        for item in value:
            _into(parts, item)
    elif isinstance(value, Enum):
        parts.append(f"enum {kind.__name__}.{value.name}".encode())
    elif is_dataclass(kind):
        parts.append(f"class {kind.__name__}".encode())
        for name, told in _fields(kind):
            parts.append(told)
            _into(parts, getattr(value, name))
    elif isinstance(value, bool | np.bool_):
        parts.append(b"true" if value else b"false")
    elif isinstance(value, int | np.integer):
        parts.append(b"int %d" % int(value))
    elif isinstance(value, np.ndarray):
        plain = np.where(np.isnan(value), np.nan, value) if value.dtype.kind == "f" else value
        parts += (
            f"array {value.dtype.str} {value.shape}".encode(),
            np.ascontiguousarray(plain).tobytes(),
        )
    elif isinstance(value, Mapping):
        parts.append(b"mapping %d" % len(value))
        for key in sorted(value, key=str):
            _into(parts, key)
            _into(parts, value[key])
    else:
        _into_others(parts, value)


def _into_others(parts: list[bytes], value: Any) -> None:
    """Of the kinds there is little of."""
    if isinstance(value, str):
        _into(parts, str(value))
    elif isinstance(value, float | np.floating):
        _into(parts, float(value))
    elif isinstance(value, bytes):
        parts += (b"bytes", value)
    elif isinstance(value, date):
        parts.append(f"date {value.isoformat()}".encode())
    elif isinstance(value, tuple | list):
        _into(parts, tuple(value))
    elif isinstance(value, set | frozenset):
        _into(parts, tuple(sorted(value, key=str)))
    else:
        raise TypeError(f"a question cannot hold a {type(value).__name__}")
