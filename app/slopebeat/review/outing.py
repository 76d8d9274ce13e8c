"""One outing reviewed: the join of cleaning and analysis that the window and the command both show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.account.causes import WARM_UP_S, Causes, find_causes
from slopebeat.analysis.account.climbs import Climb, find_climbs, with_heart_rate
from slopebeat.analysis.account.episodes import Direction, Episode, find_episodes, out_of_band
from slopebeat.analysis.account.extension import Extension, extension
from slopebeat.analysis.account.next_outing import NextAnswers, next_outing
from slopebeat.analysis.account.past import past_outing
from slopebeat.analysis.account.time_account import TimeAccount, time_account
from slopebeat.analysis.band.drift_test import DriftTest, drift_test
from slopebeat.analysis.response.ceiling import Ceiling, ceiling
from slopebeat.analysis.response.decoupling import Decoupling, decoupling
from slopebeat.analysis.response.fit import FitStatus, Response, fit_response
from slopebeat.analysis.response.terrain_fair import TerrainFair, terrain_fair_decoupling
from slopebeat.analysis.response.work_rate import steady_work, work_rate_w_per_kg
from slopebeat.cleaning.clean import Cleaned, clean
from slopebeat.cleaning.elevation import Elevation
from slopebeat.model.athlete import Aim
from slopebeat.model.conditions import load_from_notes, temperature_from_notes
from slopebeat.model.language import tr
from slopebeat.model.marks import Mark
from slopebeat.model.notes import Note, NoteKind
from slopebeat.model.past import PastOuting
from slopebeat.model.recording import Recording
from slopebeat.model.track import Array, Track


@dataclass(frozen=True, eq=False)
class Review:
    """Everything computed of one outing. What needs a band is None or empty without one.

    Attributes
    ----------
    work_w_per_kg : (n,) work rate per kilogram of body mass, NaN where unknown.
    load_kg : the most that was carried at any time.
    response, terrain_fair : the fitted heart rate and the decoupling row read from it.
    causes : why each recorded second did not count.
    drift_test : the outing judged as a test of the band's upper edge.
    past : what the outing leaves for those to come. next_outings : what the next one may give,
        told from this one alone.
    ceiling : speed on each grade that holds the band's upper edge; None without a usable fit.
    warnings : sentences from the reader, the cleaning and the analysis.
    """

    recording: Recording
    aim: Aim
    marks: tuple[Mark, ...]
    elevation: Elevation
    track: Track
    work_w_per_kg: Array
    load_kg: float
    climbs: tuple[Climb, ...]
    decoupling: Decoupling
    response: Response
    terrain_fair: TerrainFair
    account: TimeAccount | None
    causes: Causes | None
    episodes: tuple[Episode, ...]
    extension: Extension | None
    drift_test: DriftTest | None
    past: PastOuting
    next_outings: NextAnswers | None
    ceiling: Ceiling | None
    warnings: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Prepared:
    """What is known of an outing before a band is chosen; neither band nor target changes any of it."""

    recording: Recording
    cleaned: Cleaned
    work_w_per_kg: Array
    load_kg: float
    climbs: tuple[Climb, ...]
    decoupling: Decoupling
    response: Response
    terrain_fair: TerrainFair
    past: PastOuting


def review_recording(
    recording: Recording, aim: Aim, marks: tuple[Mark, ...] | None = None, notes: Sequence[Note] = ()
) -> Review:
    """Clean and analyse one recording.

    ``marks`` replaces what cleaning would propose, once a user has accepted, rejected or added some. Of
    ``notes`` those on load go before the aim's, and those on the air's temperature before the standard one.
    """
    cleaned = clean(recording, marks)
    return count(prepare(recording, cleaned, *work_of(cleaned.track, aim, notes)), aim)


def work_of(track: Track, aim: Aim, notes: Sequence[Note]) -> tuple[Array, float]:
    """(n,) work rate, W/kg, with the aim's masses and the notes' conditions; and the most carried, kg."""
    load = load_from_notes(notes, track.t_s, aim.load_at(track.t_s))
    air_c = temperature_from_notes(notes, track.t_s)
    work = work_rate_w_per_kg(track, aim.body_mass_kg, load, aim.bike_mass_kg, air_c)
    return work, most_carried_kg(aim, notes, load)


def prepare(recording: Recording, cleaned: Cleaned, work_w_per_kg: Array, load_kg: float) -> Prepared:
    """Everything that can be said without a band."""
    track = cleaned.track
    response = fit_response(track, work_w_per_kg)
    return Prepared(
        recording=recording,
        cleaned=cleaned,
        work_w_per_kg=work_w_per_kg,
        load_kg=load_kg,
        climbs=find_climbs(track),
        decoupling=decoupling(track, work_w_per_kg),
        response=response,
        terrain_fair=terrain_fair_decoupling(response),
        past=_past(recording, track, work_w_per_kg, cleaned.elevation),
    )


def count(prepared: Prepared, aim: Aim) -> Review:
    """The outing counted against the band of the aim."""
    cleaned, work, response = prepared.cleaned, prepared.work_w_per_kg, prepared.response
    track = cleaned.track
    counted = _counted(prepared, aim)
    return Review(
        recording=prepared.recording,
        aim=aim,
        marks=cleaned.marks,
        elevation=cleaned.elevation,
        track=track,
        work_w_per_kg=work,
        load_kg=prepared.load_kg,
        climbs=counted.climbs,
        decoupling=prepared.decoupling,
        response=response,
        terrain_fair=prepared.terrain_fair,
        account=counted.account,
        causes=counted.causes,
        episodes=counted.episodes,
        extension=counted.extension,
        drift_test=drift_test(track, work, aim.band, aim.drift_threshold_percent) if aim.band else None,
        past=prepared.past,
        next_outings=next_outing([prepared.past], aim.band, aim.target_s) if aim.band else None,
        ceiling=_ceiling(track, response, aim, prepared.load_kg),
        warnings=prepared.recording.warnings + cleaned.warnings + _missing(track),
    )


@dataclass(frozen=True)
class _Counted:
    """What is counted against a band; only the climbs without one."""

    climbs: tuple[Climb, ...]
    account: TimeAccount | None = None
    causes: Causes | None = None
    episodes: tuple[Episode, ...] = ()
    extension: Extension | None = None


def _counted(prepared: Prepared, aim: Aim) -> _Counted:
    climbs, band = prepared.climbs, aim.band
    if band is None:
        return _Counted(climbs)
    track, work, response = prepared.cleaned.track, prepared.work_w_per_kg, prepared.response
    climbs = with_heart_rate(climbs, track, band, out_of_band(track, band, Direction.ABOVE))
    account = time_account(track, band)
    return _Counted(
        climbs,
        account,
        find_causes(track, band, early_heart_rate(track, response), response.tau_s),
        find_episodes(track, work, band, climbs),
        extension(account, aim.target_s),
    )


def early_heart_rate(track: Track, response: Response) -> Array | None:
    """(n,) heart rate the fit expects with the drift since the warm-up taken out; None without a fit.

    A fit that cannot be trusted says nothing about causes, so it counts as none.
    """
    fitted, drift = response.fitted_hr_bpm, response.drift_bpm_per_h
    if fitted is None or drift is None or response.status is not FitStatus.USABLE:
        return None
    return np.asarray(fitted - drift / 3600.0 * np.maximum(track.t_s - WARM_UP_S, 0.0))


def most_carried_kg(aim: Aim, notes: Sequence[Note], load: Array) -> float:
    """The greatest load of an outing: the aim's, unless notes tell what was carried when."""
    told = any(note.kind is NoteKind.LOAD and not note.deleted for note in notes)
    return float(load.max()) if told and load.size else aim.load_kg


def _ceiling(track: Track, response: Response, aim: Aim, load_kg: float) -> Ceiling | None:
    """What to hold next time; for the load as carried up."""
    if aim.band is None or response.status is not FitStatus.USABLE:
        return None
    known = track.elevation_m[np.isfinite(track.elevation_m)]
    height = float(known.mean()) if known.size else 0.0
    work = steady_work(track.on_bike, aim.body_mass_kg, load_kg, aim.bike_mass_kg, height)
    return ceiling(response, float(aim.band.upper_bpm), track, work)


def _past(recording: Recording, track: Track, work: Array, elevation: Elevation) -> PastOuting:
    lat, lon = (recording.samples[name].to_numpy(dtype=float) for name in ("lat_deg", "lon_deg"))
    known = np.flatnonzero(np.isfinite(lat) & np.isfinite(lon))
    start = (float(lat[known[0]]), float(lon[known[0]])) if known.size else None
    return past_outing(track, work, recording.start_utc, elevation.ascent_m, start)


def _missing(track: Track) -> tuple[str, ...]:
    """Sentences on channels without which an answer is missing."""
    absent = []
    if not np.isfinite(track.hr_bpm).any():
        absent.append(tr("The recording has no heart rate, so nothing can be counted in band."))
    if not np.isfinite(track.elevation_m).any():
        absent.append(tr("The recording has no elevation, so climbs and work on grades are unknown."))
    if not np.isfinite(track.distance_m).any():
        absent.append(tr("The recording has neither distance, speed nor position, so work rate is unknown."))
    return tuple(absent)
