"""One outing reviewed: the join of cleaning and analysis that the window and the command both show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from slopebeat.analysis.account.causes import Causes
from slopebeat.analysis.account.climbs import Climb, find_climbs
from slopebeat.analysis.account.counting import Counting
from slopebeat.analysis.account.episodes import Episode
from slopebeat.analysis.account.heart_parts import HeartParts, SteadyWork, heart_parts
from slopebeat.analysis.account.held_climbs import HeldOuting, hold_climbs
from slopebeat.analysis.account.time_account import Extension, time_account
from slopebeat.analysis.band.drift_test import DriftTest
from slopebeat.analysis.day.drift import Bend, drift_bend
from slopebeat.analysis.day.night import night_spans
from slopebeat.analysis.price.next_outing import NextAnswers
from slopebeat.analysis.response.ceiling import Ceiling, GradeSpeeds, speeds_by_grade
from slopebeat.analysis.response.decoupling import (
    Decoupling,
    TerrainFair,
    decoupling,
    terrain_fair_decoupling,
)
from slopebeat.analysis.response.fit import FitStatus, Response, fit_response
from slopebeat.analysis.route.past import past_outing
from slopebeat.cleaning.clean import Cleaned, clean
from slopebeat.cleaning.elevation import Elevation
from slopebeat.model.evidence import PastOuting
from slopebeat.model.language import tr
from slopebeat.model.marks import Mark
from slopebeat.model.notes import Note
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.model.track import Array, Track
from slopebeat.review.assessment import Assessment, Expected, assess, corrected
from slopebeat.review.evidence import Measured, has_work
from slopebeat.review.words.messages import activity_sentences, say


@dataclass(frozen=True, eq=False)
class Review(Measured):
    """Everything computed of one outing. What needs a band is None or empty without one.

    Attributes
    ----------
    causes : why each recorded second did not count.
    drift_test : the outing judged as a test of the band's upper edge.
    next_outings : what the next one may give, derived from this one alone.
    ceiling : speed on each grade that holds the band's upper edge; None without a usable fit.
    warnings : sentences from the reader, the cleaning and the analysis.
    parts : the heart rate of each sample in parts that add up. steady : cost of holding a speed on a grade.
    predicted : what earlier outings predict of the heart rate; None where none speak.
    bend : how the drift changed on the way; None where an even one does.
    """

    climbs: tuple[Climb, ...]
    causes: Causes | None
    episodes: tuple[Episode, ...]
    extension: Extension | None
    drift_test: DriftTest | None
    next_outings: NextAnswers | None
    ceiling: Ceiling | None
    warnings: tuple[str, ...]
    parts: HeartParts
    steady: SteadyWork
    predicted: Expected | None = None
    bend: Bend | None = None

    @cached_property
    def held(self) -> HeldOuting | None:
        """The same outing with its climbs held in band; worked out when first asked for."""
        if self.aim.band is None:
            return None
        return hold_climbs(
            self.track, self.work_w_per_kg, self.response, self.parts, self.steady, self.aim.band, self.climbs
        )

    @cached_property
    def nights(self) -> tuple[tuple[float, float], ...]:
        """When it was night, seconds from the first record."""
        return night_spans(self.recording)


@dataclass(frozen=True, eq=False)
class Prepared:
    """What is known of an outing before a band is chosen; neither band nor target changes any of it.

    What is only looked at is worked out when first asked for.
    """

    assessed: Assessment
    decoupling: Decoupling
    response: Response
    terrain_fair: TerrainFair
    past: PastOuting

    @cached_property
    def climbs(self) -> tuple[Climb, ...]:
        return find_climbs(self.assessed.cleaned.track)

    @cached_property
    def parts(self) -> HeartParts:
        assessed = self.assessed
        return heart_parts(assessed.cleaned.track, assessed.work_w_per_kg, self.response, assessed.steady)

    @cached_property
    def bend(self) -> Bend | None:
        return drift_bend(self.assessed.cleaned.track, self.response)

    @cached_property
    def counting(self) -> Counting:
        """Counts the outing against any band."""
        assessed = self.assessed
        track, work = assessed.cleaned.track, assessed.work_w_per_kg
        return Counting(track, work, self.climbs, self.parts, self.decoupling, self.past, self.speeds)

    @cached_property
    def speeds(self) -> tuple[GradeSpeeds, ...]:
        """What each speed settles at, for the load as carried up; nothing without a usable fit."""
        if self.response.status is not FitStatus.USABLE:
            return ()
        assessed = self.assessed
        return speeds_by_grade(self.response, assessed.cleaned.track, assessed.steady)


def review_recording(
    recording: Recording, aim: Aim, marks: tuple[Mark, ...] | None = None, notes: Sequence[Note] = ()
) -> Review:
    """Clean and analyse one recording.

    ``marks`` replaces what cleaning would propose, once a user has accepted, rejected or added some. Of
    ``notes`` those on load go before the aim's, and those on the air's temperature before the standard one.
    """
    return count(_prepared(recording, aim, marks, notes), aim)


def measure_recording(
    recording: Recording,
    aim: Aim,
    marks: tuple[Mark, ...] | None = None,
    notes: Sequence[Note] = (),
    cleaned: Cleaned | None = None,
) -> Measured:
    """What :func:`review_recording` says of the same as far as it is kept in a library.

    ``cleaned``, where no marks and notes are given, is the recording as it was cleaned before.
    """
    return measure(_prepared(recording, aim, marks, notes, cleaned), aim)


def _prepared(
    recording: Recording,
    aim: Aim,
    marks: tuple[Mark, ...] | None,
    notes: Sequence[Note],
    cleaned: Cleaned | None = None,
) -> Prepared:
    fixed = corrected(recording, notes)
    return prepare(assess(fixed, cleaned or clean(fixed, marks), aim, notes, marks is not None))


def prepare(assessed: Assessment) -> Prepared:
    """Everything that can be said without a band."""
    track, work_w_per_kg = assessed.cleaned.track, assessed.work_w_per_kg
    response = fit_response(track, work_w_per_kg, assessed.grid)
    return Prepared(
        assessed=assessed,
        decoupling=decoupling(track, work_w_per_kg),
        response=response,
        terrain_fair=terrain_fair_decoupling(response),
        past=_past(assessed.recording, track, work_w_per_kg, assessed.cleaned.elevation),
    )


def measure(prepared: Prepared, aim: Aim) -> Measured:
    """What is kept of the outing, counted against the band of the aim."""
    assessed, cleaned = prepared.assessed, prepared.assessed.cleaned
    return Measured(
        recording=assessed.recording,
        aim=aim,
        marks=cleaned.marks,
        elevation=cleaned.elevation,
        track=cleaned.track,
        work_w_per_kg=assessed.work_w_per_kg,
        grid=assessed.grid,
        load_kg=assessed.load_kg,
        recognised=assessed.recognised,
        road_load=assessed.road_load,
        decoupling=prepared.decoupling,
        response=prepared.response,
        terrain_fair=prepared.terrain_fair,
        past=prepared.past,
        account=None if aim.band is None else time_account(cleaned.track, aim.band),
    )


def count(prepared: Prepared, aim: Aim) -> Review:
    """The outing counted against the band of the aim."""
    assessed, measured = prepared.assessed, measure(prepared, aim)
    counted = prepared.counting.count(aim, measured.account)
    return Review(
        **vars(measured),
        **vars(counted),
        parts=prepared.parts,
        steady=assessed.steady,
        bend=prepared.bend,
        warnings=(
            *(say(each) for each in (*assessed.recording.warnings, *assessed.cleaned.warnings)),
            *activity_sentences(assessed.recognised, has_work(measured.track, measured.work_w_per_kg)),
            *_missing(measured.track, assessed),
        ),
    )


def _past(recording: Recording, track: Track, work: Array, elevation: Elevation) -> PastOuting:
    lat, lon = (recording.samples[name] for name in ("lat_deg", "lon_deg"))
    known = np.flatnonzero(np.isfinite(lat) & np.isfinite(lon))
    start = (float(lat[known[0]]), float(lon[known[0]])) if known.size else None
    return past_outing(track, work, recording.start_utc, elevation.ascent_m, start)


def _missing(track: Track, assessed: Assessment) -> tuple[str, ...]:
    absent = []
    if not np.isfinite(track.hr_bpm).any():
        absent.append(tr("The recording has no heart rate, so nothing can be counted in band."))
    if not np.isfinite(track.elevation_m).any():
        absent.append(_no_elevation(assessed))
    if not np.isfinite(track.distance_m).any():
        absent.append(tr("The recording has neither distance, speed nor position, so work rate is unknown."))
    return tuple(absent)


def _no_elevation(assessed: Assessment) -> str:
    """What the missing elevation hides, and how to help."""
    if has_work(assessed.cleaned.track, assessed.work_w_per_kg):
        return tr("The recording has no elevation, so climbs are unknown.")
    return tr(
        "The recording has no elevation, so climbs and work on grades are unknown. Where the ground was "
        "level, declare it under Recording."
    )
