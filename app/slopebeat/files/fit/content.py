"""What a FIT decoder hands to the interpreter: plain columns and messages, whoever decoded them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.message import Message as Finding

FIT_EPOCH_UNIX_S = 631_065_600.0
"""1989-12-31T00:00:00Z, from which FIT times count (FIT protocol, type ``date_time``), in Unix time."""

RECORD_FIELDS: tuple[str, ...] = (
    "timestamp",
    "heart_rate",
    "enhanced_altitude",
    "altitude",
    "enhanced_speed",
    "speed",
    "distance",
    "position_lat",
    "position_long",
    "cadence",
    "power",
    "temperature",
)
"""Fields of a ``record`` message that are kept, by their names in the FIT profile."""

_PRODUCT = frozenset({"manufacturer", "product", "garmin_product", "product_name"})

MESSAGE_FIELDS: dict[str, frozenset[str]] = {
    "file_id": frozenset({"type"}) | _PRODUCT,
    "device_info": frozenset({"device_index"}) | _PRODUCT,
    "event": frozenset({"timestamp", "event", "event_type"}),
    "session": frozenset(
        {
            "timestamp",
            "start_time",
            "sport",
            "sub_sport",
            "total_timer_time",
            "total_distance",
            "total_ascent",
            "total_descent",
        }
    ),
    "sport": frozenset({"sport", "sub_sport"}),
    "lap": frozenset({"timestamp", "start_time"}),
    "activity": frozenset({"timestamp", "local_timestamp", "total_timer_time"}),
}
"""Messages other than ``record`` that are kept, and the fields of each that are."""

Value = float | str
Message = tuple[str, dict[str, Value]]


@dataclass(frozen=True, eq=False)
class Beats:
    """Beats in order of time: ``time_s`` since the FIT epoch, and the heart rate at each; shape (n,)."""

    time_s: NDArray[np.float64]
    hr_bpm: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class FitContent:
    """One FIT file (of possibly several chained in one) as decoded.

    Attributes
    ----------
    records : each of :data:`RECORD_FIELDS` as float64 of one shape (n,), in the order of the file, in the
        units of the FIT profile (m, m/s, bpm, semicircles ...), NaN where absent; ``timestamp`` in
        seconds since the FIT epoch.
    messages : the kept messages in the order of the file; times in seconds since the FIT epoch,
        enumerations by their names in the FIT profile, absent fields left out.
    warnings : what is damaged.
    beats : heart rate kept apart from the records; None without any.
    """

    records: dict[str, NDArray[np.float64]]
    messages: tuple[Message, ...] = ()
    warnings: tuple[Finding, ...] = field(default=())
    beats: Beats | None = None

    @property
    def record_count(self) -> int:
        return int(self.records["timestamp"].size)

    def all_of(self, name: str) -> list[dict[str, Value]]:
        """The fields of every message of one name."""
        return [fields for kind, fields in self.messages if kind == name]


def number(fields: dict[str, Value], name: str) -> float | None:
    """A numeric field, None when absent or not a finite number."""
    value = fields.get(name)
    if isinstance(value, float) and np.isfinite(value):
        return value
    return None


def text(fields: dict[str, Value], name: str) -> str | None:
    """A field as text, None when absent; numbers without a name stay digits."""
    value = fields.get(name)
    if value is None:
        return None
    return value if isinstance(value, str) else f"{value:.0f}"
