"""Recordings from FIT files: what the decoded messages mean."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.assembly import (
    FEWEST_RECORDS,
    Assembled,
    assemble,
    findings,
    laps_from_starts,
    pauses_within,
)
from slopebeat.files.assembly import (
    RECORDS as NAMED,
)
from slopebeat.files.fit.beats import BEATS, with_beats
from slopebeat.files.fit.clock import timer_pauses, trusted_records
from slopebeat.files.fit.content import FIT_EPOCH_UNIX_S, FitContent, Value, number, text
from slopebeat.files.fit.decode import OTHER_MESSAGES, RECORDS, decode_file
from slopebeat.files.fit.frame import frames
from slopebeat.files.limits import MOST_KEPT_MESSAGES, MOST_RECORDS, too_many
from slopebeat.files.progress import Ticker
from slopebeat.files.source import Source
from slopebeat.files.sports import sport_of, sport_text_of
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.message import Message, message
from slopebeat.model.recording import DeviceTotals, Lap, Recording, Sport
from slopebeat.model.spans import Spans

DEGREES_PER_SEMICIRCLE = 180.0 / 2**31
"""Unit of positions in FIT files (FIT profile, "semicircles")."""

UTC_OFFSET_STEP_S = 900.0
"""Time zones lie on quarters of an hour."""

LARGEST_UTC_OFFSET_S = 14 * 3600.0
"""Largest offset in use, UTC+14."""

FIRST_ABSOLUTE_TIME_S = float(0x10000000)
"""Smaller times count from when the unit was switched on (FIT profile, type ``date_time``)."""

_OFFSET_TOLERANCE_S = 60.0  # some devices write the two times a moment apart

Fields = dict[str, Value]


def read_fit(source: Source, ticker: Ticker) -> tuple[Recording, ...]:
    """Every session of every FIT file chained in the source.

    Raises
    ------
    UnreadableFile
        When no session holds two records.
    """
    found, trailing_bytes = frames(source.data)
    total = len(source.data)
    contents: list[FitContent] = []
    recordings: list[Recording] = []
    spare: list[Message] = []
    if trailing_bytes:
        spare.append(message("fit.trailing_bytes", count=trailing_bytes))
    for frame in found:
        content = decode_file(source.data, frame, ticker.within(frame.start / total, frame.data_end / total))
        contents.append(content)
        _check_together(contents)
    for content in with_beats(contents):
        made = _recordings_of(content)
        recordings += made
        if not made:
            spare += content.warnings
    if not recordings:
        raise UnreadableFile(*_why_none(source.name, contents))
    lost = tuple(sentence for content in contents for sentence in content.warnings)
    return tuple(
        replace(each, warnings=(*each.warnings, *spare), damage=tuple(s for s in each.warnings if s in lost))
        for each in recordings
    )


def _check_together(contents: list[FitContent]) -> None:
    """Refuse chained files that hold more than one recording may, though none of them does."""
    beats = sum(content.beats.time_s.size for content in contents if content.beats is not None)
    for kind, count, most in (
        (RECORDS, sum(content.record_count for content in contents), MOST_RECORDS),
        (OTHER_MESSAGES, sum(len(content.messages) for content in contents), MOST_KEPT_MESSAGES),
        (BEATS, beats, MOST_RECORDS),
    ):
        if count > most:
            raise too_many(kind, most)


def _why_none(name: str, contents: list[FitContent]) -> tuple[Message, ...]:
    kinds = {
        text(fields, "type") or "unknown" for content in contents for fields in content.all_of("file_id")
    }
    damage = tuple(warning for content in contents for warning in content.warnings)
    count = sum(content.record_count for content in contents)
    if "course" in kinds:
        return (message("fit.course", name=name),)
    if count == 0 and not damage:
        kind = ", ".join(sorted(kinds)).replace("_", " ") or "unknown"
        return (message("fit.no_activity", name=name, kind=kind),)
    sentence = message(
        "fit.few_records", name=name, records=message(NAMED, count=count), fewest=FEWEST_RECORDS
    )
    return sentence, *damage


def _recordings_of(content: FitContent) -> list[Recording]:
    """One recording per session with records; the entire content where no session is written."""
    if any(text(fields, "type") == "course" for fields in content.all_of("file_id")):
        return []
    time_s = content.records["timestamp"]
    if not np.any(np.isfinite(time_s)):
        return []
    pauses = timer_pauses(content, float(np.nanmax(time_s)))
    trusted = trusted_records(time_s, pauses)
    warnings = [*content.warnings, *_record_warnings(time_s, trusted)]
    starts, sessions = _sessions(content)
    owner = np.searchsorted(starts[1:], np.where(trusted, time_s, -np.inf), side="right")
    made = []
    for index, session in enumerate(sessions):
        table = _assembled(content, trusted & (owner == index), first=index == 0)
        if not table.enough:
            continue
        messages = (*warnings, *findings([table], NAMED))
        made.append(_recording(content, session, table, pauses, len(sessions), messages))
    return made


def _record_warnings(time_s: NDArray[np.float64], trusted: NDArray[np.bool_]) -> list[Message]:
    warnings = []
    untimed = int(np.count_nonzero(~np.isfinite(time_s)))
    dropped = time_s.size - untimed - int(np.count_nonzero(trusted))
    if untimed:
        warnings.append(message("file.untimed", records=message(NAMED, count=untimed)))
    if dropped:
        warnings.append(message("fit.clock_jumped", records=message(NAMED, count=dropped)))
    if np.any(time_s[trusted] < FIRST_ABSOLUTE_TIME_S):
        warnings.append(message("fit.clock_not_set"))
    return warnings


def _sessions(content: FitContent) -> tuple[NDArray[np.float64], list[Fields]]:
    """Sessions by start time; records belong to the last session started, early ones to the first."""
    by_start: dict[float, Fields] = {}
    for fields in content.all_of("session"):
        start = number(fields, "start_time")
        if start is not None:
            by_start.setdefault(start, fields)
    if not by_start:
        unplaced = content.all_of("session")
        return np.array([-np.inf]), [unplaced[0] if unplaced else {}]
    starts = sorted(by_start)
    return np.array(starts), [by_start[start] for start in starts]


def _assembled(content: FitContent, chosen: NDArray[np.bool_], *, first: bool) -> Assembled:
    # Most files hold one session: then nothing need be copied.
    wanted = slice(None) if chosen.all() else chosen
    records = {name: values[wanted] for name, values in content.records.items()}
    known = records["distance"][np.isfinite(records["distance"])]
    if known.size and not first:
        # Devices count distance on through the sessions of one file.
        records["distance"] = records["distance"] - known.min()

    def first_of(preferred: str, other: str) -> NDArray[np.float64]:
        return np.where(np.isfinite(records[preferred]), records[preferred], records[other])

    columns = {
        "hr_bpm": records["heart_rate"],
        "elevation_m": first_of("enhanced_altitude", "altitude"),
        "distance_m": records["distance"],
        "speed_mps": first_of("enhanced_speed", "speed"),
        "lat_deg": records["position_lat"] * DEGREES_PER_SEMICIRCLE,
        "lon_deg": records["position_long"] * DEGREES_PER_SEMICIRCLE,
        "cadence_rpm": records["cadence"],
        "power_w": records["power"],
        "temperature_c": records["temperature"],
    }
    return assemble(records["timestamp"] + FIT_EPOCH_UNIX_S, columns)


def _recording(
    content: FitContent,
    session: Fields,
    table: Assembled,
    pauses: Spans,
    session_count: int,
    warnings: tuple[Message, ...],
) -> Recording:
    start_s = table.start_unix_s - FIT_EPOCH_UNIX_S
    span_s = float(table.samples["t_s"][-1])
    sport, sport_text = _sport(content, session)
    return Recording(
        samples=table.samples,
        start_utc=table.start_utc,
        sport=sport,
        utc_offset_s=_utc_offset_s(content),
        device=_device(content),
        pauses=pauses_within(pauses, start_s, span_s),
        laps=_laps(content, start_s, span_s),
        totals=_totals(content, session, session_count),
        warnings=warnings,
        sport_text=sport_text,
    )


def _sport(content: FitContent, session: Fields) -> tuple[Sport, str]:
    """Sport and words on it; a file that broke off has no session, but may have a ``sport`` message."""
    words = [(text(each, "sport"), text(each, "sub_sport")) for each in (session, *content.all_of("sport"))]
    sports = (sport for both in words if (sport := sport_of(*both)) is not Sport.UNKNOWN)
    return next(sports, Sport.UNKNOWN), next(filter(None, (sport_text_of(*both) for both in words)), "")


def _laps(content: FitContent, start_s: float, span_s: float) -> tuple[Lap, ...]:
    starts = (number(fields, "start_time") for fields in content.all_of("lap"))
    inside = [start - start_s for start in starts if start is not None]
    return laps_from_starts(inside, span_s)


def _totals(content: FitContent, session: Fields, session_count: int) -> DeviceTotals:
    timer_s = number(session, "total_timer_time")
    if timer_s is None and session_count == 1:
        activities = content.all_of("activity")
        timer_s = number(activities[-1], "total_timer_time") if activities else None
    return DeviceTotals(
        timer_s=timer_s,
        distance_m=number(session, "total_distance"),
        ascent_m=number(session, "total_ascent"),
        descent_m=number(session, "total_descent"),
    )


def _utc_offset_s(content: FitContent) -> float | None:
    """Local time minus UTC from the activity message, None unless it is one a time zone can have."""
    for fields in content.all_of("activity"):
        time, local = number(fields, "timestamp"), number(fields, "local_timestamp")
        if time is None or local is None:
            continue
        offset = round((local - time) / UTC_OFFSET_STEP_S) * UTC_OFFSET_STEP_S
        if abs(local - time - offset) <= _OFFSET_TOLERANCE_S and abs(offset) <= LARGEST_UTC_OFFSET_S:
            return offset
    return None


def _device(content: FitContent) -> str:
    """Maker and product as the file says them."""
    creators = [
        fields for fields in content.all_of("device_info") if text(fields, "device_index") in ("creator", "0")
    ]
    for fields in [*content.all_of("file_id"), *creators]:
        maker = text(fields, "manufacturer") or ""
        names = (text(fields, name) for name in ("product_name", "garmin_product", "product"))
        product = next(filter(None, names), "")
        words = f"{maker} {product}".replace("_", " ").strip()
        if words:
            return words
    return ""
