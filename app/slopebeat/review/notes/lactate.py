"""Lactate samples taken on the way against the heart rate of that time, and the band edges they imply."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.band.lactate import ABOVE_BASELINE_MMOL_L, BAND_MMOL_L
from slopebeat.model.language import tr
from slopebeat.model.measures import figure, shortest_number
from slopebeat.model.notes import Note, NoteKind
from slopebeat.model.track import Track

SAMPLE_WINDOW_S = 60.0
"""The heart rate of a sample is the mean of this time before it [project choice]."""

LEAST_KNOWN_S = 20.0
"""Trusted heart rate needed in that time [project choice]."""


@dataclass(frozen=True)
class LactateReading:
    """A sample with the heart rate it goes with; None without a trusted one."""

    note: Note
    t_s: float
    lactate_mmol_l: float
    hr_bpm: float | None


@dataclass(frozen=True)
class ImpliedEdge:
    """The heart rate at a lactate value, straight between the two samples around it.

    Attributes
    ----------
    hr_bpm : None when the samples do not reach around the value; ``reason`` then says why.
    between_bpm : heart rates of the two samples: how far the edge could be off.
    """

    lactate_mmol_l: float
    hr_bpm: float | None
    between_bpm: tuple[float, float] | None
    reason: str = ""


def lactate_readings(notes: Iterable[Note], track: Track) -> tuple[LactateReading, ...]:
    """Every lactate sample with its heart rate, in order of time."""
    samples = [note for note in notes if note.kind is NoteKind.LACTATE and not note.deleted]
    found = [
        LactateReading(note, note.start_s, note.value, _heart_rate(track, note.start_s))
        for note in samples
        if note.start_s is not None and note.value is not None
    ]
    return tuple(sorted(found, key=lambda reading: reading.t_s))


def _heart_rate(track: Track, t_s: float) -> float | None:
    """Mean trusted heart rate of the time before, weighted by recorded time."""
    here = (track.t_s >= t_s - SAMPLE_WINDOW_S) & (track.t_s < t_s) & np.isfinite(track.hr_bpm)
    weight = track.recorded_s[here]
    if weight.sum() < LEAST_KNOWN_S:
        return None
    return float(np.average(track.hr_bpm[here], weights=weight))


def implied_edges(readings: Iterable[LactateReading]) -> tuple[ImpliedEdge, ImpliedEdge]:
    """Heart rate at 1.0 and 1.9 mmol/L (common practice, no source) as the samples have it.

    Samples are put in order of heart rate; the edge lies where lactate rises through the value for the
    last time. They are no step test: terrain and time lie between them.
    """
    lower, upper = BAND_MMOL_L
    pairs = sorted((r.hr_bpm, r.lactate_mmol_l) for r in readings if r.hr_bpm is not None)
    return _edge(pairs, lower), _edge(pairs, upper)


def baseline_edge(readings: Iterable[LactateReading]) -> ImpliedEdge:
    """Heart rate 0.5 mmol/L over the lowest sample: the other common reading of the upper edge.

    The lowest sample stands for the baseline; it was taken on the way, so the true one may be lower.
    """
    pairs = sorted((r.hr_bpm, r.lactate_mmol_l) for r in readings if r.hr_bpm is not None)
    lowest = min((lactate for _, lactate in pairs), default=0.0)
    return _edge(pairs, lowest + ABOVE_BASELINE_MMOL_L)


def _edge(pairs: list[tuple[float, float]], wanted: float) -> ImpliedEdge:
    under = [i for i, (_, lactate) in enumerate(pairs) if lactate < wanted]
    if len(pairs) < 2:
        return ImpliedEdge(wanted, None, None, tr("it takes two samples with a trusted heart rate"))
    if not under:
        return ImpliedEdge(wanted, None, None, tr("every sample was at or over it"))
    if under[-1] == len(pairs) - 1:
        return ImpliedEdge(wanted, None, None, tr("no sample at a higher heart rate was over it"))
    (hr1, lactate1), (hr2, lactate2) = pairs[under[-1]], pairs[under[-1] + 1]
    share = (wanted - lactate1) / (lactate2 - lactate1)
    return ImpliedEdge(wanted, hr1 + share * (hr2 - hr1), (hr1, hr2))


def lactate_sentences(notes: Iterable[Note], track: Track) -> tuple[str, ...]:
    """What the samples say, for screen and report; empty without samples."""
    readings = lactate_readings(notes, track)
    if not readings:
        return ()
    pairs = [_sample(reading) for reading in readings]
    lower, upper = implied_edges(readings)
    if lower.hr_bpm is None and lower.reason == upper.reason:
        template = tr(
            "{samples}. Heart rate at {low} and {high} mmol/L not known ({reason}). Samples on the way are "
            "no step test: a trained person takes them, and a band needs more than these."
        )
    else:
        template = tr(
            "{samples}. Heart rate {lower}; {upper}. Samples on the way are no step test: a trained person "
            "takes them, and a band needs more than these."
        )
    edges = {"lower": _worded(lower), "upper": _worded(upper), "reason": lower.reason}
    low, high = (figure(edge, 1) for edge in BAND_MMOL_L)
    return (template.format(samples=", ".join(pairs), low=low, high=high, **edges),)


def _worded(edge: ImpliedEdge) -> str:
    level = figure(edge.lactate_mmol_l, 1)
    if edge.hr_bpm is None or edge.between_bpm is None:
        return tr("at {level} mmol/L not known ({reason})").format(level=level, reason=edge.reason)
    low, high = (figure(bpm) for bpm in edge.between_bpm)
    return tr("at {level} mmol/L about {bpm} bpm (between {low} and {high})").format(
        level=level, bpm=figure(edge.hr_bpm), low=low, high=high
    )


def _sample(reading: LactateReading) -> str:
    level = shortest_number(reading.lactate_mmol_l)
    if reading.hr_bpm is None:
        return tr("{level} mmol/L at an unknown heart rate").format(level=level)
    return tr("{level} mmol/L at {bpm} bpm").format(level=level, bpm=figure(reading.hr_bpm))
