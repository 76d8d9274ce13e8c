"""Figures of the screen that :mod:`slopebeat.model.units` does not word."""

from __future__ import annotations

from slopebeat.model import measures
from slopebeat.model.units import MISSING


def number(value: float | None, digits: int = 0, factor: float = 1.0) -> str:
    """A plain number times a factor, as :func:`slopebeat.model.measures.figure` writes it."""
    return MISSING if value is None else measures.figure(value * factor, digits)
