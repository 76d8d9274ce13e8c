"""Enumerations whose members are kept in files."""

from __future__ import annotations

from enum import StrEnum


class KeyEnum(StrEnum):
    """An enumeration that files keep by the names of its members, which therefore never change.

    The value may be whatever the code needs; a name is taken for its member where a value is looked up.
    """

    @classmethod
    def _missing_(cls, value: object) -> KeyEnum | None:
        return cls.__members__.get(value) if isinstance(value, str) else None
