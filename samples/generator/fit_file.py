"""A FIT activity, written by the encoder of the official SDK."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .outing import Outing
from .truth import runs

FIT_EPOCH_S = 631065600
"""1989-12-31T00:00:00Z in POSIX seconds (FIT protocol)."""
SEMICIRCLES_PER_DEGREE = 2**31 / 180.0
PROFILE_VERSION = 21195
"""Written into the header whatever the release of the SDK, so that the bytes stay the same."""
FILE_ID, SESSION, LAP, RECORD, EVENT, DEVICE_INFO, ACTIVITY = 0, 18, 19, 20, 21, 23, 34
"""Global message numbers (FIT profile)."""


def write_fit(
    outing: Outing,
    rows: NDArray[np.intp],
    start: datetime,
    lap_starts_s: Sequence[int],
    sport: tuple[str, str],
) -> bytes:
    """Encode an outing.

    Parameters
    ----------
    rows : rows of the outing that became records.
    start : aware local time of the first record; laps start at the given seconds, the first at 0.
    sport : sport and sub-sport, names of the FIT profile.

    Raises
    ------
    ImportError
        When the ``garmin_fit_sdk`` package is not installed.
    """
    from garmin_fit_sdk import Encoder

    encoder = Encoder()
    for number, message in _messages(outing, rows, start, lap_starts_s, sport):
        encoder.on_mesg(number, message)
    return _with_pinned_profile(bytes(encoder.close()))


def _messages(
    outing: Outing,
    rows: NDArray[np.intp],
    start: datetime,
    lap_starts_s: Sequence[int],
    sport: tuple[str, str],
) -> list[tuple[int, dict[str, Any]]]:
    begin = int(start.timestamp()) - FIT_EPOCH_S
    offset = start.utcoffset()
    assert offset is not None
    end_s = int(outing.timer_running.size) - 1
    device = {"manufacturer": "development", "product": 1, "serial_number": 1}
    laps = [
        {"message_index": i} | _totals(outing, first, last, begin)
        for i, (first, last) in enumerate(zip(lap_starts_s, [*lap_starts_s[1:], end_s], strict=True))
    ]
    session = _totals(outing, 0, end_s, begin) | {
        "sport": sport[0],
        "sub_sport": sport[1],
        "first_lap_index": 0,
        "num_laps": len(laps),
    }
    activity = {
        "timestamp": begin + end_s,
        "local_timestamp": begin + end_s + int(offset.total_seconds()),
        "total_timer_time": session["total_timer_time"],
        "num_sessions": 1,
        "type": "manual",
        "event": "activity",
        "event_type": "stop",
    }
    return [
        (FILE_ID, {"type": "activity", "time_created": begin} | device),
        (DEVICE_INFO, {"timestamp": begin, "device_index": 0} | device),
        *_timeline(outing, rows, begin),
        *((LAP, lap) for lap in laps),
        (SESSION, session),
        (ACTIVITY, activity),
    ]


def _timeline(outing: Outing, rows: NDArray[np.intp], begin: int) -> list[tuple[int, dict[str, Any]]]:
    """Records and timer events in the order of time."""
    end_s = int(outing.timer_running.size) - 1
    events = [(0, "start"), (end_s, "stop_all")]
    for first, length in runs(~outing.timer_running):
        events += [(first, "stop_all"), (first + length, "start")]
    timed = [(int(row), 1, RECORD, _record(outing, int(row), begin)) for row in rows]
    for second, kind in events:
        event = {"timestamp": begin + second, "event": "timer", "event_type": kind, "event_group": 0}
        # A start comes before the record of its second, a stop after it.
        timed.append((second, 0 if kind == "start" else 2, EVENT, event))
    timed.sort(key=lambda item: item[:2])
    return [(number, message) for _, _, number, message in timed]


def _record(outing: Outing, row: int, begin: int) -> dict[str, Any]:
    record: dict[str, Any] = {
        "timestamp": begin + row,
        "position_lat": round(float(outing["lat_deg"][row]) * SEMICIRCLES_PER_DEGREE),
        "position_long": round(float(outing["lon_deg"][row]) * SEMICIRCLES_PER_DEGREE),
        "distance": float(outing["distance_m"][row]),
        "enhanced_altitude": float(outing["elevation_m"][row]),
        "enhanced_speed": float(outing["speed_mps"][row]),
        "cadence": int(outing["cadence_rpm"][row]),
    }
    if np.isfinite(outing["hr_bpm"][row]):
        record["heart_rate"] = int(outing["hr_bpm"][row])
    return record


def _totals(outing: Outing, first: int, last: int, begin: int) -> dict[str, Any]:
    """Sums of a lap or of the session, from row ``first`` to row ``last``."""
    part = slice(first, last + 1)
    timer = outing.timer_running[first:last]
    distance = float(outing["distance_m"][last] - outing["distance_m"][first])
    steps = np.diff(outing["true_elevation_m"][part])
    heart_rate = outing["hr_bpm"][part][outing.timer_running[part]]
    return {
        "timestamp": begin + last,
        "start_time": begin + first,
        "total_elapsed_time": float(last - first),
        "total_timer_time": float(timer.sum()),
        "total_distance": distance,
        "total_ascent": round(float(steps[steps > 0.0].sum())),
        "total_descent": round(float(-steps[steps < 0.0].sum())),
        "avg_heart_rate": round(float(np.nanmean(heart_rate))),
        "max_heart_rate": int(np.nanmax(heart_rate)),
        "event": "lap" if (first, last) != (0, outing.timer_running.size - 1) else "session",
        "event_type": "stop",
    }


def _with_pinned_profile(data: bytes) -> bytes:
    """The same file with :data:`PROFILE_VERSION` in its header and both checksums renewed."""
    from garmin_fit_sdk import CrcCalculator

    out = bytearray(data[:-2])
    struct.pack_into("<H", out, 2, PROFILE_VERSION)
    struct.pack_into("<H", out, 12, CrcCalculator.calculate_crc(out, 0, 12))
    return bytes(out) + struct.pack("<H", CrcCalculator.calculate_crc(out, 0, len(out)))
