"""What the heart rate says at the place of a note, beside what was said and felt there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.model.bands import Band
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import figure
from slopebeat.model.notes import Note, NoteKind, TalkTest
from slopebeat.model.track import Track
from slopebeat.model.units import MISSING, percent
from slopebeat.review.notes.lactate import LEAST_KNOWN_S, SAMPLE_WINDOW_S

SIDES = {
    BandState.BELOW: mark("below"),
    BandState.IN_BAND: mark("in band"),
    BandState.ABOVE: mark("above"),
}


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
        side = tr(SIDES[self.state])
        if self.share > 0.995:
            return tr("{bpm}, {side}").format(bpm=bpm, side=side)
        return tr("{bpm}, {side} {share}").format(bpm=bpm, side=side, share=percent(self.share))


def heart_there(note: Note, track: Track, band: Band | None) -> HeartThere | None:
    """The heart rate a note goes with; None with less than 20 s of trusted heart rate.

    A moment takes the minute before it, as a lactate sample does.
    """
    here = _inside(note, track.t_s)
    known = np.isfinite(track.hr_bpm[here])
    weight = track.recorded_s[here][known]
    known_s = float(weight.sum())
    if known_s < LEAST_KNOWN_S:
        return None
    hr = track.hr_bpm[here][known]
    mean = float(np.average(hr, weights=weight))
    if band is None:
        return HeartThere(mean)
    states = band_state(hr, band)
    shares = {state: float(weight[states == state].sum()) / known_s for state in SIDES}
    at_moment = note.start_s is not None and note.end_s is None
    if at_moment:
        state = BandState(int(band_state(np.array([mean]), band)[0]))
        return HeartThere(mean, state, 1.0)
    state = max(SIDES, key=lambda each: shares[each])
    return HeartThere(mean, state, shares[state])


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
