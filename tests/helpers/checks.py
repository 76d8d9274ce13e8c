"""What a test needs to be there."""

from __future__ import annotations

from dataclasses import fields
from typing import TypeVar

import numpy as np

T = TypeVar("T")


def not_none(value: T | None) -> T:
    """The value; where it is absent the test fails here."""
    assert value is not None
    return value


def same(one: object, other: object) -> bool:
    """Equal in every number, however deep."""
    if isinstance(one, np.ndarray):
        return bool(np.array_equal(one, np.asarray(other), equal_nan=one.dtype.kind == "f"))
    if hasattr(one, "__dataclass_fields__"):
        assert type(one) is type(other)
        return all(same(getattr(one, f.name), getattr(other, f.name)) for f in fields(one))  # type: ignore[arg-type]
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, tuple | list) and isinstance(other, tuple | list):
        return len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, float) and isinstance(other, float) and np.isnan(one):
        return bool(np.isnan(other))
    if hasattr(one, "to_numpy"):
        return one is other
    return one == other or callable(one)
