"""What of a recording can be believed: what was done, whose work it was, and which heart rate to doubt.

Cleaning sees single channels; here they are set beside one another.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from slopebeat.analysis.account.heart_parts import SteadyWork
from slopebeat.analysis.activity import Activity, Recognised, recognise
from slopebeat.analysis.doubts.heart_rate import doubts_alone, own_line, wrong_side
from slopebeat.analysis.doubts.steps import Mask, OutingSteps, outing_steps, spans_of
from slopebeat.analysis.doubts.work import doubtful_work
from slopebeat.analysis.response.grid import Grid, make_grid
from slopebeat.analysis.response.work_rate import RoadLoad, road_load_of, steady_work, work_rate_w_per_kg
from slopebeat.cleaning.clean import Cleaned, with_marks
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Note, NoteKind, sport_from_notes, utc_offset_from_notes
from slopebeat.model.outing.records import covered, grade_from_notes, load_from_notes, temperature_from_notes
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.model.samples import step_rate_per_min
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array, Track


@dataclass(frozen=True, eq=False)
class Expected:
    """(n,) heart rate that earlier outings predict, NaN beyond what they held, and how many they are."""

    hr_bpm: Array
    outings: int


@dataclass(frozen=True, eq=False)
class Assessment:
    """A cleaned recording with what is believed of it.

    Attributes
    ----------
    recording : with the sport a user put right. work_w_per_kg : (n,) NaN where unknown or doubted.
    road_load : resistances the work of a ride is modelled with; None on foot. steady : cost of holding a
        speed on a grade, with the load as carried up.
    """

    recording: Recording
    cleaned: Cleaned
    recognised: Recognised
    work_w_per_kg: Array
    load_kg: float
    road_load: RoadLoad | None
    steady: SteadyWork

    @cached_property
    def grid(self) -> Grid:
        """Track and work on even steps."""
        return make_grid(self.cleaned.track, self.work_w_per_kg)


def corrected(recording: Recording, notes: Sequence[Note]) -> Recording:
    """The recording with the sport and the time zone a user put right."""
    sport, utc_offset_s = sport_from_notes(notes), utc_offset_from_notes(notes)
    if sport is not None:
        recording = replace(recording, sport=sport)
    return recording if utc_offset_s is None else replace(recording, utc_offset_s=utc_offset_s)


def assess(
    recording: Recording, cleaned: Cleaned, aim: Aim, notes: Sequence[Note], decided: bool
) -> Assessment:
    """What to believe of a recording.

    Parameters
    ----------
    recording : as :func:`corrected`. cleaned : by the marks decided on, else by what cleaning proposes.
    decided : whether a user decided on the marks: then no others are proposed.
    """
    first = _seen(recording, cleaned, aim, notes)
    if decided:
        return first
    more = proposed(first)
    if not more:
        return first
    marked = with_marks(cleaned, recording, merged(cleaned.marks, more))
    only_heart = all(mark.channel is Channel.HEART_RATE for mark in more)
    if only_heart and first.recognised.kind not in TOLD_BY_HEART:
        return replace(first, cleaned=marked)  # Neither what was done nor its work hangs on heart rate.
    return _seen(recording, marked, aim, notes)


TOLD_BY_HEART = (Activity.RIDE, Activity.ELECTRIC)
"""What is told apart by the heart rate, too: whether a motor helped."""


def merged(marks: Sequence[Mark], more: Sequence[Mark]) -> tuple[Mark, ...]:
    """All marks in order of time."""
    return tuple(sorted((*marks, *more), key=lambda mark: (mark.start_s, mark.channel)))


def _seen(recording: Recording, cleaned: Cleaned, aim: Aim, notes: Sequence[Note]) -> Assessment:
    track = cleaned.track
    recognised = recognise(recording, track, steps_of(recording), sport_from_notes(notes) is not None)
    if recognised.kind is Activity.ELECTRIC and _rejected(cleaned.marks, Reason.ELECTRIC):
        recognised = replace(recognised, kind=Activity.RIDE)
    riding = road_load_of(recording, track) if track.on_bike else None
    load = load_from_notes(notes, track.t_s, aim.load_at(track.t_s))
    work = _work(track, aim, notes, load, riding)
    if not recognised.kind.has_work or (
        recognised.kind is not Activity.FRAGMENT and recognised.kind.on_foot == track.on_bike
    ):
        work = np.full(work.shape, np.nan)
    work = np.where(covered(track.t_s, cleaned.marks, Channel.WORK), np.nan, work)
    carried = greatest_load_kg(aim, notes, load)
    masses = (aim.body_mass_kg, carried, aim.bike_mass_kg)
    steady = steady_work(track.on_bike, *masses, mean_height_m(track), riding)
    return Assessment(recording, cleaned, recognised, work, carried, riding, steady)


def mean_height_m(track: Track) -> float:
    """Mean elevation of an outing, sea level where none is known: the air its rides go through."""
    known = track.elevation_m[np.isfinite(track.elevation_m)]
    return float(known.mean()) if known.size else 0.0


def _work(track: Track, aim: Aim, notes: Sequence[Note], load: Array, riding: RoadLoad | None) -> Array:
    """Work rate with the aim's masses and the notes' conditions, and a declared grade."""
    declared = grade_from_notes(notes, track.t_s)
    unknown = ~np.isfinite(track.elevation_m)
    if unknown.all() and np.isfinite(declared).any():
        track = replace(track, grade=np.where(track.moving, declared, np.nan))
    air_c = temperature_from_notes(notes, track.t_s)
    return work_rate_w_per_kg(track, aim.body_mass_kg, load, aim.bike_mass_kg, air_c, riding)


def greatest_load_kg(aim: Aim, notes: Sequence[Note], load: Array) -> float:
    """The greatest load of an outing: the aim's, unless notes tell what was carried when."""
    has_load_note = any(note.kind is NoteKind.LOAD and not note.deleted for note in notes)
    return float(load.max()) if has_load_note and load.size else aim.load_kg


def steps_of(recording: Recording) -> Array:
    """(n,) steps of both legs a minute; NaN where the file has none."""
    return step_rate_per_min(recording.samples["cadence_rpm"])


def proposed(seen: Assessment) -> tuple[Mark, ...]:
    """Marks on the heart rate and the work of an outing that it shows by itself."""
    track, work = seen.cleaned.track, seen.work_w_per_kg
    marks = _marks(doubtful_work(track, work), Channel.WORK)
    if seen.recognised.kind is Activity.ELECTRIC and len(track) > 1:
        marks += [Mark(0.0, float(track.t_s[-1]), Channel.WORK, Reason.ELECTRIC)]
    if not np.isfinite(track.hr_bpm).any() or len(track) < 2:
        return tuple(marks)
    steps = outing_steps(track, seen.grid, steps_of(seen.recording))
    return (*marks, *heart_marks(seen, steps))


def heart_marks(seen: Assessment, steps: OutingSteps) -> list[Mark]:
    """Marks on the heart rate the outing shows by itself."""
    running = seen.recognised.kind is Activity.RUN and bool(np.isfinite(seen.work_w_per_kg).any())
    found: dict[Reason, Mask] = doubts_alone(steps, running)
    if running:
        doubted = np.any([*found.values()], axis=0)
        found[Reason.WRONG_SIDE] = wrong_side(steps, own_line(steps, doubted))
    return _marks({reason: spans_of(mask) for reason, mask in found.items()}, Channel.HEART_RATE)


def _marks(found: Mapping[Reason, Spans], channel: Channel) -> list[Mark]:
    return [Mark(start, end, channel, reason) for reason, spans in found.items() for start, end in spans]


def _rejected(marks: Sequence[Mark], reason: Reason) -> bool:
    return any(mark.reason is reason and mark.state is MarkState.REJECTED for mark in marks)
