"""Figures of the screen that :mod:`slopebeat.model.units` does not word."""

from __future__ import annotations

import math
from collections.abc import Sequence

from slopebeat.model import measures
from slopebeat.model.units import MISSING, clock


def number(value: float | None, digits: int = 0, factor: float = 1.0) -> str:
    """A plain number times a factor, as :func:`slopebeat.model.measures.figure` writes it."""
    return MISSING if value is None else measures.figure(value * factor, digits)


def minutes_seconds(seconds: float | None) -> str:
    """``m:ss``, or ``h:mm:ss`` from an hour on."""
    if seconds is None or not math.isfinite(seconds):
        return MISSING
    whole = round(abs(seconds))
    return clock(seconds) if whole >= 3600 else f"{whole // 60}:{whole % 60:02d}"


def whole_minutes(seconds: Sequence[float], total: int | None = None) -> list[int]:
    """Whole minutes that add up to ``total``, by default the whole minutes of the sum.

    The largest remainders are rounded up, so every figure is within a minute of the exact one.
    """
    exact = [value / 60 for value in seconds]
    whole = [math.floor(value) for value in exact]
    missing = (round(sum(exact)) if total is None else total) - sum(whole)
    by_remainder = sorted(range(len(exact)), key=lambda i: exact[i] - whole[i], reverse=True)
    for index in by_remainder[:missing]:
        whole[index] += 1
    return whole
