"""A day in parts as JSON values: seconds, metres, beats per minute; null for unknown."""

from __future__ import annotations

from typing import Any

from slopebeat.review.day.day import Day
from slopebeat.review.day.rows import PART_FIGURES, part_rows
from slopebeat.review.outing import Review
from slopebeat.review.present.account import ACCOUNT_FIGURES
from slopebeat.review.present.figure import json_of
from slopebeat.review.values import EXTENSION_NAMES, plain, review_values


def day_values(day: Day, warnings: tuple[str, ...] = ()) -> dict[str, Any]:
    """The whole in ``day``, and every part in ``parts`` as the review of a single recording has it."""
    rows = [json_of(PART_FIGURES, i, row) for i, row in enumerate(part_rows(day))]
    values: dict[str, Any] = plain({"day": _whole(day), "warnings": warnings})
    values["parts"] = [
        {"in_day": {**plain(row), **_band(part)}, **review_values(part)}
        for row, part in zip(rows, day.parts, strict=True)
    ]
    return values


def _band(part: Review) -> dict[str, int | None]:
    """The band a part was counted with: on a bike it may be another one."""
    band = part.aim.band
    return {
        "band_lower_bpm": None if band is None else band.lower_bpm,
        "band_upper_bpm": None if band is None else band.upper_bpm,
    }


def _whole(day: Day) -> dict[str, Any]:
    account, longer = day.account, day.extension
    whole: dict[str, Any] = {
        "start_utc": day.parts[0].recording.start_utc.isoformat(),
        "span_s": day.span_s,
        "between_s": day.between_s,
    }
    if account is not None and longer is not None:
        whole |= json_of(ACCOUNT_FIGURES, 0, account.parts)
        whole |= {"coverage": account.parts.coverage, "yield": longer.yield_share}
        whole |= {name: getattr(longer, name) for name in EXTENSION_NAMES}
    return whole | {"drift": _drift(day)}


def _drift(day: Day) -> dict[str, Any]:
    drift, points = day.drift, day.drift.points
    bend = drift.bend
    return {
        "bpm_per_h": drift.bpm_per_h,
        "interval_95_bpm_per_h": drift.interval_bpm_per_h,
        "parts_disagree": drift.disagree,
        "bend": None
        if bend is None
        else {"early_bpm_per_h": bend.early_bpm_per_h, "late_bpm_per_h": bend.late_bpm_per_h},
        "hours": points.hours.tolist(),
        "off_level_bpm": points.off_bpm.tolist(),
        "part": (points.part + 1).tolist(),
    }
