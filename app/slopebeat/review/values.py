"""A review as JSON values: seconds, metres, beats per minute; null for unknown."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from slopebeat.analysis.price.next_outing import INTERVAL_LEVEL, NextAnswers, NextOuting
from slopebeat.model.measures import System
from slopebeat.model.message import Message
from slopebeat.review.outing import Review
from slopebeat.review.present.account import ACCOUNT_FIGURES
from slopebeat.review.present.climbs import CLIMB_FIGURES
from slopebeat.review.present.decoupling import DECOUPLING_VALUES
from slopebeat.review.present.episodes import EPISODE_FIGURES, episode_rows
from slopebeat.review.present.figure import json_of
from slopebeat.review.present.head import head_values
from slopebeat.review.present.held import HELD_FIGURES, held_rows, in_band_by_ground
from slopebeat.review.present.hold import HOLD_FIGURES, known_rows
from slopebeat.review.present.stretch import STRETCH_FIGURES, SplitBy, Stretch, splits

EXTENSION_NAMES = ("target_s", "needed_s", "extra_s", "missing_s", "more_s")
MARK_NAMES = ("start_s", "end_s", "channel", "reason")


def review_values(review: Review, warnings: tuple[str, ...] = ()) -> dict[str, Any]:
    """The answer as JSON values: seconds, metres, beats per minute; null for unknown."""
    account = review.account
    values: dict[str, Any] = head_values(review)
    values |= {} if account is None else json_of(ACCOUNT_FIGURES, 0, account)
    values |= _extension(review)
    if review.causes is not None:
        values["causes_s"] = review.causes.seconds
    values |= {
        "climbs": [json_of(CLIMB_FIGURES, i, each) for i, each in enumerate(review.climbs)],
        "episodes": [json_of(EPISODE_FIGURES, i, each) for i, each in enumerate(episode_rows(review))],
        "decoupling": json_of(DECOUPLING_VALUES, 0, review),
        "drift_test": _drift_test(review),
        "ceiling": [json_of(HOLD_FIGURES, i, each) for i, each in enumerate(known_rows(review))],
        "ceiling_too_steep_from_grade": None if review.ceiling is None else review.ceiling.gentlest_too_steep,
        "splits": {
            by.value: [json_of(STRETCH_FIGURES, i, each) for i, each in enumerate(cut(review, by))]
            for by in SplitBy
        },
        "in_band_by_ground_s": in_band_by_ground(review),
        "climbs_held": _held(review),
        "marks": marks_values(review),
        "warnings": [*warnings, *review.warnings],
    }
    plain_values: dict[str, Any] = plain(values)
    return plain_values


def cut(review: Review, by: SplitBy) -> list[Stretch]:
    """Laps, kilometres or steps of 100 m of ascent: files are metric."""
    return splits(review, by, System.METRIC)


def marks_values(review: Review) -> list[dict[str, Any]]:
    """The stretches that are not believed."""
    counting = [mark for mark in review.marks if mark.counts]
    return [{name: plain(getattr(mark, name)) for name in MARK_NAMES} for mark in counting]


def _extension(review: Review) -> dict[str, Any]:
    """How much longer, with its interval; nothing without a band."""
    longer = review.extension
    if longer is None:
        return {}
    return {
        "coverage": None if review.account is None else review.account.coverage,
        "yield": longer.yield_share,
        **{name: getattr(longer, name) for name in EXTENSION_NAMES},
        "extension": _next_outings(review.next_outings),
    }


def _next_outings(answers: NextAnswers | None) -> dict[str, Any]:
    """What the next outing may give, gone as usual and with the mean kept in the middle of the band.

    An answer that holds a share in band but no length says why in its ``reason``; one that holds nothing is
    null, and its reason stands beside it. The ends at the top are those of going as usual.
    """
    if answers is None:
        return {}
    usual = _next_outing(answers.as_usual)
    names = ("yield_low", "yield_high", "needed_low_s", "needed_high_s")
    return {
        **{name: None if usual is None else usual[name] for name in names},
        "next_as_usual": usual,
        "next_as_usual_reason": answers.as_usual.reason,
        "next_aimed": _next_outing(answers.aimed),
        "next_aimed_reason": answers.aimed.reason,
        "off_bpm": answers.as_usual.off_bpm,
        "outings": answers.as_usual.outings,
    }


def _next_outing(answer: NextOuting) -> dict[str, Any] | None:
    if answer.share is None:
        return None
    share, needed = answer.share, answer.needed_s
    return {
        "yield_low": share.low,
        "yield": share.middle,
        "yield_high": share.high,
        "needed_low_s": None if needed is None else needed.low,
        "needed_s": None if needed is None else needed.middle,
        "needed_high_s": None if needed is None else needed.high,
        "interval_percent": 100.0 * INTERVAL_LEVEL,
        "reason": answer.reason,
    }


def _drift_test(review: Review) -> dict[str, Any] | None:
    """The outing as a test of the band's upper edge; null without a band."""
    found = review.drift_test
    if found is None:
        return None
    return {name: getattr(found, name) for name in ("outcome", "percent", "threshold_percent", "reasons")}


def _held(review: Review) -> dict[str, Any] | None:
    """The same outing with its climbs held; None where that cannot be known."""
    held = review.held
    if held is None:
        return None
    return {
        "aimed_bpm": held.aimed_bpm,
        "in_band_s": held.in_band_s[0],
        "in_band_interval_80_s": list(held.in_band_s[1:]),
        "recorded_s": held.recorded_s,
        "climbs": [json_of(HELD_FIGURES, i, row) for i, row in enumerate(held_rows(review))],
    }


def plain(value: Any) -> Any:
    """JSON values only: no NumPy types, null instead of NaN, keys instead of enumerations and sentences."""
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, Message):
        return value.key
    if isinstance(value, str):
        return str(value)
    if isinstance(value, Sequence):
        return [plain(item) for item in value]
    if isinstance(value, bool | int) or value is None:
        return value
    number = float(value)
    return number if math.isfinite(number) else None
