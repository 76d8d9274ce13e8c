"""Stretches measured: what was gone, how, what the heart did on it, and the figures of that."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Any

import numpy as np

from slopebeat.analysis.account.splits import cuts_by_ascent, cuts_by_distance
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.cleaning.elevation import ASCENT_THRESHOLD_M, ascent_descent
from slopebeat.model.language import mark
from slopebeat.model.measures import FOOT_M, MILE_M, System, system
from slopebeat.model.track import Array
from slopebeat.model.units import MISSING, clock
from slopebeat.review.outing import Review
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import PROJECT_CHOICE, Figure, Topic, in_files

SHORTEST_GROUND_M = 10.0
"""Over less ground no grade is given [project choice]."""

LEAST_KNOWN_SHARE = 0.5
"""Of the moving time with work known, for a mean of it to stand for the stretch [project choice]."""


@dataclass(frozen=True)
class Stretch:
    """Figures of one stretch, SI; None where unknown.

    Attributes
    ----------
    start_s, end_s : on the outing. recorded_s, moving_s : without pauses and gaps; and without standing.
    distance_m, ascent_m, descent_m : ascent as for the whole outing, by hysteresis.
    grade : rise from end to end over the distance. speed_mps, vertical_speed_mps : of the moving time.
    hr_mean_bpm, hr_max_bpm : of the trusted heart rate, the mean weighted by recorded time.
    share_in_band : of the time with trusted heart rate.
    work_w_per_kg : mean of the moving time. beats_per_kj_per_kg : heart beats for each kJ/kg of that work.
    """

    start_s: float
    end_s: float
    recorded_s: float
    moving_s: float
    distance_m: float | None
    ascent_m: float | None
    descent_m: float | None
    grade: float | None
    speed_mps: float | None
    vertical_speed_mps: float | None
    hr_mean_bpm: float | None
    hr_max_bpm: float | None
    share_in_band: float | None
    work_w_per_kg: float | None
    beats_per_kj_per_kg: float | None


def measure_stretch(review: Review, start_s: float, end_s: float) -> Stretch:
    """Measure ``[start_s, end_s)`` of an outing; a stretch up to the last record takes that in.

    Distance and rise are those between the two moments, read between records where they fall between
    two. Ascent counts swings over the outing's own threshold, so that stretches laid end to end may
    together have a little less than the whole, never more through noise.
    """
    track = review.track
    first, last = np.searchsorted(track.t_s, (start_s, end_s))
    if len(track) and end_s >= track.t_s[-1]:
        last = len(track)
    here = slice(int(first), int(last))
    recorded, moving = track.recorded_s[here], track.moving_s[here]
    distance = _between(track.t_s, track.distance_m, start_s, end_s)
    rise = _between(track.t_s, track.elevation_m, start_s, end_s)
    height = track.elevation_m[here]
    up, down = ascent_descent(height, ASCENT_THRESHOLD_M) if np.isfinite(height).any() else (None, None)
    moved_s = float(moving.sum())
    heart, known_s = track.hr_bpm[here], np.where(np.isfinite(track.hr_bpm[here]), recorded, 0.0)
    mean_hr = _mean(heart, known_s)
    moving_hr = _mean(heart, np.where(np.isfinite(heart), moving, 0.0))  # the time the work is of
    work = review.work_w_per_kg[here]
    worked_s = np.where(np.isfinite(work), moving, 0.0)
    mean_work = _mean(work, worked_s) if worked_s.sum() >= LEAST_KNOWN_SHARE * moved_s else None
    return Stretch(
        start_s=start_s,
        end_s=end_s,
        recorded_s=float(recorded.sum()),
        moving_s=moved_s,
        distance_m=distance,
        ascent_m=up,
        descent_m=down,
        grade=rise / distance if rise is not None and distance and distance >= SHORTEST_GROUND_M else None,
        speed_mps=distance / moved_s if distance is not None and moved_s else None,
        vertical_speed_mps=rise / moved_s if rise is not None and moved_s else None,
        hr_mean_bpm=mean_hr,
        hr_max_bpm=float(np.nanmax(heart)) if np.isfinite(heart).any() else None,
        share_in_band=_in_band(review, heart, known_s),
        work_w_per_kg=mean_work,
        beats_per_kj_per_kg=1000.0 * moving_hr / 60.0 / mean_work if mean_work and moving_hr else None,
    )


class SplitBy(StrEnum):
    """What an outing is cut by."""

    LAP = "lap"
    DISTANCE = "distance"
    ASCENT = "ascent"


ASCENT_STEP = {System.METRIC: 100.0, System.IMPERIAL: 300.0 * FOOT_M}
"""Metres of ascent of one split: 100 m, or 300 ft [project choice]."""

DISTANCE_STEP = {System.METRIC: 1000.0, System.IMPERIAL: MILE_M}
"""Metres of way of one split: a kilometre, or a mile."""


def splits(review: Review, by: SplitBy, units: System | None = None) -> list[Stretch]:
    """The outing cut end to end, each part measured; the last is what was left. Empty where nothing cuts it.

    Laps are the device's own; steps of distance and ascent go with the units given, else with those shown.
    """
    units = units or system()
    if by is SplitBy.LAP:
        ends = [(lap.start_s, lap.end_s) for lap in review.recording.laps if lap.end_s > lap.start_s]
    elif by is SplitBy.DISTANCE:
        ends = list(pairwise(cuts_by_distance(review.track, DISTANCE_STEP[units])))
    else:
        ends = list(pairwise(cuts_by_ascent(review.track, ASCENT_STEP[units], ASCENT_THRESHOLD_M)))
    return [measure_stretch(review, start_s, end_s) for start_s, end_s in ends]


def _between(t_s: Array, values: Array, start_s: float, end_s: float) -> float | None:
    """How much a value changes from one moment to another; None where fewer than two are known there."""
    known = np.isfinite(values)
    t, v = t_s[known], values[known]
    if np.count_nonzero((t >= start_s) & (t <= end_s)) < 2:
        return None
    return float(np.interp(end_s, t, v) - np.interp(start_s, t, v))


def _mean(values: Array, weight_s: Array) -> float | None:
    total = float(weight_s.sum())
    # Not as a product of vectors: its threads wait for one another longer than this takes.
    return float((np.where(weight_s > 0, values, 0.0) * weight_s).sum()) / total if total > 0 else None


def _in_band(review: Review, heart: Array, known_s: Array) -> float | None:
    band, total = review.aim.band, float(known_s.sum())
    if band is None or total <= 0:
        return None
    return float(known_s[band_state(heart, band) == BandState.IN_BAND].sum()) / total


def difference(one: Stretch, other: Stretch) -> Stretch:
    """Each figure of one less that of the other; None where either is unknown."""
    pairs = {name: (value, getattr(other, name)) for name, value in vars(one).items()}
    less: dict[str, Any] = {k: None if a is None or b is None else a - b for k, (a, b) in pairs.items()}
    return Stretch(**less)


def _time(seconds: float | None) -> str:
    """A time, or how much shorter one is than another."""
    return MISSING if seconds is None else ("−" if seconds < 0 else "") + clock(abs(seconds))


TIME = kinds.Kind(_time)

NUMBER = Figure(
    "stretch.number",
    mark("No."),
    mark("Laps as the device marked them, or the outing cut by distance or ascent, in order."),
    mark(
        "Cut by distance: a kilometre or a mile each. Cut by ascent: 100 m or 300 ft each, counted "
        "like the ascent of the outing. The last is what was left."
    ),
    PROJECT_CHOICE,
    csv="number",
    get=lambda i, stretch: i + 1,
    leads=True,
)

STRETCH_FIGURES: tuple[Figure, ...] = (
    Figure(
        "stretch.start",
        mark("Begins at"),
        mark("Time from the first record to its start."),
        kind=TIME,
        json="start_s",
        csv="start (s)",
    ),
    in_files("stretch.end", json="end_s", csv="end (s)"),
    Figure(
        "stretch.recorded",
        mark("Recorded"),
        mark("Without pauses and gaps."),
        kind=TIME,
        json="recorded_s",
        csv="recorded (s)",
    ),
    Figure(
        "stretch.moving",
        mark("Moving"),
        mark("Recorded time without standing."),
        kind=TIME,
        json="moving_s",
        csv="moving (s)",
    ),
    Figure(
        "stretch.distance",
        mark("Distance"),
        mark("Along the ground, from end to end."),
        kind=kinds.WAYS,
        json="distance_m",
        csv="distance (m)",
    ),
    Figure(
        "stretch.ascent",
        mark("Ascent"),
        mark("Metres up on the stretch, in steps of 2 m."),
        mark("Counted like the ascent of the outing, so that the jitter of the sensor is not summed up."),
        PROJECT_CHOICE,
        kind=kinds.HEIGHTS,
        json="ascent_m",
        csv="ascent (m)",
    ),
    Figure(
        "stretch.descent",
        mark("Descent"),
        mark("Metres down on the stretch, in steps of 2 m."),
        kind=kinds.HEIGHTS,
        json="descent_m",
        csv="descent (m)",
    ),
    Figure(
        "stretch.grade",
        mark("Grade"),
        mark("Rise from end to end over the distance."),
        mark("What goes up and down again inside the stretch does not show in it."),
        kind=kinds.FINE_GRADE,
        json="grade",
        csv="grade (%)",
    ),
    Figure(
        "stretch.speed",
        mark("Speed"),
        mark("Distance over moving time."),
        kind=kinds.OWN_SPEEDS,
        json="speed_mps",
        csv="speed (m/s)",
    ),
    Figure(
        "stretch.vertical",
        mark("Vertical"),
        mark("Rise from end to end over moving time."),
        kind=kinds.RISES,
        json="vertical_speed_mps",
        csv="vertical speed (m/s)",
    ),
    Figure(
        "stretch.hr_mean",
        mark("HR\nmean"),
        mark("Of the trusted heart rate, by recorded time."),
        kind=kinds.BARE_BPM,
        json="hr_mean_bpm",
        csv="mean heart rate (bpm)",
    ),
    Figure(
        "stretch.hr_max",
        mark("HR\nhighest"),
        mark("Of the trusted heart rate."),
        kind=kinds.BARE_BPM,
        json="hr_max_bpm",
        csv="highest heart rate (bpm)",
    ),
    Figure(
        "stretch.in_band",
        mark("In band"),
        mark("Share of its time with trusted heart rate."),
        kind=kinds.number_of(0, "%", 100.0),
        json="share_in_band",
        csv="in band (%)",
    ),
    Figure(
        "stretch.work",
        mark("Work"),
        mark("Mean work rate while moving; absent where half is unknown."),
        kind=kinds.number_of(2, "W/kg"),
        json="work_w_per_kg",
        csv="work rate (W/kg)",
    ),
    Figure(
        "stretch.beats",
        mark("Beats"),
        mark("Heart beats for each kilojoule of work per kilogram, while moving."),
        mark(
            "Mean heart rate over mean work rate of the moving time. Fewer beats for the same work say "
            "that the work was easier for the heart."
        ),
        PROJECT_CHOICE,
        mark(
            "The heart answers late, and at little work it beats mostly for the body at rest: compare "
            "stretches of several minutes and of much the same work. Work from a power meter and "
            "modelled work do not compare."
        ),
        kind=kinds.number_of(0, "kg/kJ"),
        json="beats_per_kj_per_kg",
        csv="beats (kg/kJ)",
    ),
)
"""The row is a :class:`slopebeat.review.present.stretch.Stretch`, or what two of them differ by."""

STRETCHES = Topic("stretches", mark("A stretch measured"), (NUMBER, *STRETCH_FIGURES))
