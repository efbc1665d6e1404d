"""The key of a question: a hash of everything in it, so that equal questions get the kept answer and no others do."""

import hashlib
import struct
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
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
    total = hashlib.sha256()
    for part in _parts(value):
        total.update(len(part).to_bytes(8, "big"))
        total.update(part)
    return total.hexdigest()


def _parts(value: Any) -> Iterator[bytes]:
    if value is None:
        yield b"none"
    elif isinstance(value, Enum):
        yield f"enum {type(value).__name__}.{value.name}".encode()
    elif isinstance(value, str):
        yield b"text"
        yield value.encode("utf-8", "surrogatepass")
    elif isinstance(value, bytes):
        yield b"bytes"
        yield value
    elif isinstance(value, bool | np.bool_):
        yield b"true" if value else b"false"
    elif isinstance(value, int | np.integer):
        yield f"int {int(value)}".encode()
    elif isinstance(value, float | np.floating):
        yield b"float" + (b"nan" if value != value else struct.pack(">d", value + 0.0))
    elif isinstance(value, date):
        yield f"date {value.isoformat()}".encode()
    elif isinstance(value, np.ndarray):
        yield f"array {value.dtype.str} {value.shape}".encode()
        plain = np.where(np.isnan(value), np.nan, value) if value.dtype.kind == "f" else value
        yield np.ascontiguousarray(plain).tobytes()
    elif is_dataclass(value) and not isinstance(value, type):
        yield f"class {type(value).__name__}".encode()
        for field in fields(value):
            yield field.name.encode()
            yield from _parts(getattr(value, field.name))
    elif isinstance(value, Mapping):
        yield f"mapping {len(value)}".encode()
        for key in sorted(value, key=str):
            yield from _parts(key)
            yield from _parts(value[key])
    elif isinstance(value, tuple | list):
        yield f"list {len(value)}".encode()
        for item in value:
            yield from _parts(item)
    elif isinstance(value, set | frozenset):
        yield from _parts(sorted(value, key=str))
    else:
        raise TypeError(f"a question cannot hold a {type(value).__name__}")
