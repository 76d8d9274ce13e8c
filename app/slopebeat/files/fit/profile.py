"""The FIT profile as fitparse carries it, cut down to the fields that are read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from slopebeat.files.fit.content import MESSAGE_FIELDS, RECORD_FIELDS, Value


@dataclass(frozen=True)
class Component:
    """Bits of a field that stand for a field of their own.

    Attributes
    ----------
    name : the field they stand for. first_bit, bits : where they lie, counted from the lowest.
    accumulated : whether the bits are the low end of a sum that runs on through the file.
    """

    name: str
    scale: float
    offset: float
    bits: int
    first_bit: int
    accumulated: bool


@dataclass(frozen=True, eq=False)
class ProfileField:
    """A field of the profile: its value is ``raw / scale - offset``, or the name its type gives the raw one.

    Attributes
    ----------
    wanted : whether the field itself is read, or only its components or alternatives.
    alternatives : fields that take its place where another field, by number, holds a raw value.
    """

    name: str
    scale: float
    offset: float
    words: Mapping[object, str]
    wanted: bool
    components: tuple[Component, ...] = ()
    alternatives: tuple[tuple[tuple[tuple[int, object], ...], ProfileField], ...] = ()

    def value(self, raw: float | str) -> Value:
        """What a raw value means."""
        meant = self.words.get(raw, raw)
        return meant if isinstance(meant, str) else self.scaled(meant)

    def scaled(self, raw: Any) -> Any:
        """Scale and offset of a number or of an array of float64."""
        if self.scale != 1.0:
            raw = raw / self.scale
        return raw - self.offset if self.offset else raw * 1.0


@cache
def message_names() -> dict[int, str]:
    """Names of the messages that are read, by number."""
    # Imported when first needed: a start without a file need not wait for the profile.
    from fitparse.profile import MESSAGE_TYPES

    kept = {"record", *MESSAGE_FIELDS}
    return {number: kind.name for number, kind in MESSAGE_TYPES.items() if kind.name in kept}


@cache
def fields_of(message: int) -> dict[int, ProfileField]:
    """The fields of a message that are read, by number."""
    from fitparse.profile import MESSAGE_TYPES

    kind = MESSAGE_TYPES[message]
    wanted = frozenset(RECORD_FIELDS) if kind.name == "record" else MESSAGE_FIELDS[kind.name]
    made = {number: _field(field, kind.fields, wanted) for number, field in kind.fields.items()}
    return {
        number: field
        for number, field in made.items()
        if field.wanted or field.components or field.alternatives
    }


def _field(field: Any, siblings: Mapping[int, Any], wanted: frozenset[str]) -> ProfileField:
    alternatives = (
        (tuple((ref.def_num, ref.raw_value) for ref in other.ref_fields), _field(other, siblings, wanted))
        for other in getattr(field, "subfields", None) or ()
    )
    return ProfileField(
        name=field.name,
        scale=float(field.scale or 1.0),
        offset=float(field.offset or 0.0),
        words=field.type.values or {},
        wanted=field.name in wanted,
        components=tuple(_components(field.components or (), siblings, wanted)),
        alternatives=tuple(pair for pair in alternatives if pair[1].wanted or field.name in wanted),
    )


def _components(
    components: Iterable[Any], siblings: Mapping[int, Any], wanted: frozenset[str]
) -> Iterable[Component]:
    for part in components:
        name = siblings[part.def_num].name if part.def_num in siblings else ""
        if name in wanted:
            yield Component(
                name,
                float(part.scale or 1.0),
                float(part.offset or 0.0),
                part.bits,
                part.bit_offset,
                bool(part.accumulate),
            )
