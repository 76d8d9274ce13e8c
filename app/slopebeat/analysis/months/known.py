"""What is known of outings that moves their heart rate, so that it does not pass for a change of fitness."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.foretell import MEAN_WORK_SD
from slopebeat.model.evidence import POWER, OutingEvidence
from slopebeat.model.track import Array

SOURCE_SD, SPORT_SD, PER_C_SD, PER_KG_SD, PER_HOUR_SD = 15.0, 6.0, 0.5, 0.5, 1.5
"""How far each may move the level: recorded power against computed work bpm (the model may be off by half of
what a meter reads), another sport of the kind bpm, each degree of heat, each kilogram of load, each hour the
outing lasts [project choice]."""

HEAT_FROM_C = 20.0
"""Air from which it counts as heat [project choice]."""

LEVEL_SCALE = 4.5
"""Usual day-to-day spread of the level, bpm, that these go with [project choice, measured]."""


@dataclass(frozen=True, eq=False)
class Known:
    """(n, p) columns about their means, without constant ones, and the (p,) precisions of their effects."""

    columns: Array
    precision: Array


def known_of(outings: Sequence[OutingEvidence], mean_work: Array, scale: float) -> Known:
    """What is known of outings of one kind.

    Parameters
    ----------
    mean_work : (n,) W/kg over what was fitted. scale : usual day-to-day spread of the figure; effects are in
        proportion to it.
    """
    usual_sport = Counter(one.sport for one in outings).most_common(1)[0][0]
    columns = {
        "work": (mean_work, MEAN_WORK_SD[outings[0].on_bike]),
        "source": ([one.work_source == POWER for one in outings], SOURCE_SD),
        "sport": ([one.sport != usual_sport for one in outings], SPORT_SD),
        "heat": ([_heat(one) for one in outings], PER_C_SD),
        "load": ([one.load_kg for one in outings], PER_KG_SD),
        "hours": ([one.moving_s / 3600.0 for one in outings], PER_HOUR_SD),
    }
    kept, precision = [], []
    for values, sd in columns.values():
        column = _centred(np.array(values, dtype=float))
        if np.ptp(column) > 1e-9:
            kept.append(column)
            precision.append((sd * scale / LEVEL_SCALE) ** -2.0)
    return Known(np.column_stack(kept) if kept else np.zeros((len(outings), 0)), np.array(precision))


def _heat(one: OutingEvidence) -> float:
    return np.nan if one.temperature_c is None else max(one.temperature_c - HEAT_FROM_C, 0.0)


def _centred(values: Array) -> Array:
    """About their mean; unknown ones are taken for usual."""
    seen = np.isfinite(values)
    if not seen.any():
        return np.zeros(values.shape)
    return np.where(seen, values - values[seen].mean(), 0.0)


@dataclass(frozen=True)
class NamedChange:
    """Something that was another in the second half of the outings: key of what, and both values."""

    what: str
    before: str
    after: str
    first: int
    """Index of the first outing with the later value."""


def named_changes(outings: Sequence[OutingEvidence]) -> tuple[NamedChange, ...]:
    """Changes of meter, sport and device that may pass for one of the athlete."""
    found = []
    for what in ("work_source", "sport", "device"):
        values = [str(getattr(one, what) or "") for one in outings]
        half = len(values) // 2
        if not half:
            continue
        before = Counter(values[:half]).most_common(1)[0][0]
        after = Counter(values[half:]).most_common(1)[0][0]
        if before and after and before != after:
            found.append(NamedChange(what, before, after, values.index(after)))
    return tuple(found)
