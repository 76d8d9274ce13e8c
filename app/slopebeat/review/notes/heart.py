"""What the heart rate says at the place of a note: beside what was felt there, and with lactate samples."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.band.lactate import ABOVE_BASELINE_MMOL_L, BAND_MMOL_L
from slopebeat.model.bands import Band
from slopebeat.model.language import tr
from slopebeat.model.measures import figure, shortest_number
from slopebeat.model.notes import Note, NoteKind, TalkTest
from slopebeat.model.track import Track
from slopebeat.model.units import MISSING, percent
from slopebeat.review.words.names import STATE_WORDS

SAMPLE_WINDOW_S = 60.0
"""The heart rate of a sample is the mean of this time before it [project choice]."""

LEAST_KNOWN_S = 20.0
"""Trusted heart rate needed in that time [project choice]."""

SIDES = (BandState.BELOW, BandState.IN_BAND, BandState.ABOVE)


@dataclass(frozen=True)
class HeartThere:
    """Trusted heart rate where a note is about.

    Attributes
    ----------
    mean_bpm : mean over recorded time, of the minute before a moment, of the whole of a stretch.
    state : where the mean lies of a moment, where most of the time lies of a stretch; None without a band.
    share : share of that time in ``state``, 0 to 1; None without a band.
    """

    mean_bpm: float
    state: BandState | None = None
    share: float | None = None

    @property
    def words(self) -> str:
        """``124 bpm, in band``; with the share where not all of the time was there."""
        bpm = tr("{bpm} bpm").format(bpm=figure(self.mean_bpm))
        if self.state is None or self.share is None:
            return bpm
        side = tr(STATE_WORDS[self.state])
        if self.share > 0.995:
            return tr("{bpm}, {side}").format(bpm=bpm, side=side)
        return tr("{bpm}, {side} {share}").format(bpm=bpm, side=side, share=percent(self.share))


def heart_there(note: Note, track: Track, band: Band | None) -> HeartThere | None:
    """The heart rate a note goes with; None with less than 20 s of trusted heart rate.

    A moment takes the minute before it, as a lactate sample does.
    """
    here = _inside(note, track.t_s)
    mean = _mean_bpm(track, here)
    if mean is None:
        return None
    if band is None:
        return HeartThere(mean)
    if note.start_s is not None and note.end_s is None:
        return HeartThere(mean, BandState(int(band_state(np.array([mean]), band)[0])), 1.0)
    states, weight = band_state(track.hr_bpm[here], band), track.recorded_s[here]
    seconds = {state: float(weight[states == state].sum()) for state in SIDES}
    state = max(SIDES, key=lambda each: seconds[each])
    return HeartThere(mean, state, seconds[state] / sum(seconds.values()))


def _mean_bpm(track: Track, here: slice) -> float | None:
    """Mean trusted heart rate by recorded time; None with less than :data:`LEAST_KNOWN_S` of it."""
    known = np.isfinite(track.hr_bpm[here])
    weight = track.recorded_s[here][known]
    if weight.sum() < LEAST_KNOWN_S:
        return None
    return float(np.average(track.hr_bpm[here][known], weights=weight))


def _inside(note: Note, t_s: NDArray[np.float64]) -> slice:
    """The records of the place, found by search: a long outing with many notes is a long way to walk."""
    if note.start_s is None:
        return slice(None)
    start, end = note.start_s, note.end_s
    if end is None:
        start, end = note.start_s - SAMPLE_WINDOW_S, note.start_s
    first, last = np.searchsorted(t_s, (start, end))
    return slice(int(first), int(last))


def heart_words(there: HeartThere | None) -> str:
    """The same in words; a dash without a trusted heart rate."""
    return MISSING if there is None else there.words


def disagreement(note: Note, there: HeartThere | None) -> str:
    """A sentence where the talk test and the band do not fit; empty where they do or nothing is known.

    Full sentences go with low intensity (common practice, no source), so they are at odds with a heart rate
    above the band, and single words or phrases with one in or below it. Perceived effort is not judged:
    which of its numbers belongs to the band differs from person to person.
    """
    if note.kind is not NoteKind.TALK_TEST or note.value is None or there is None or there.state is None:
        return ""
    fluent = TalkTest(int(note.value)) is TalkTest.FULL_SENTENCES
    if fluent and there.state is BandState.ABOVE:
        return tr("Spoke in full sentences while the heart rate was above the band.")
    if not fluent and there.state is not BandState.ABOVE:
        return tr("Could not speak in full sentences though the heart rate was not above the band.")
    return ""


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
        LactateReading(note, note.start_s, note.value, _mean_bpm(track, _inside(note, track.t_s)))
        for note in samples
        if note.start_s is not None and note.value is not None
    ]
    return tuple(sorted(found, key=lambda reading: reading.t_s))


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
