"""What is measured of one outing to be kept, and what it teaches for those to come."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.account.time_account import TimeAccount
from slopebeat.analysis.activity import Recognised
from slopebeat.analysis.response.decoupling import Decoupling, TerrainFair
from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.response.grid import Grid
from slopebeat.analysis.response.teaching import input_sums, work_source
from slopebeat.analysis.response.work_rate import RoadLoad
from slopebeat.cleaning.elevation import Elevation
from slopebeat.model.evidence import FitEvidence, OutingEvidence, PastOuting
from slopebeat.model.marks import Mark
from slopebeat.model.numerics import zero_where_unknown
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.model.track import Array, Track


@dataclass(frozen=True, eq=False)
class Measured:
    """What a library keeps figures of: no more is computed of an outing that nobody looks at.

    Attributes
    ----------
    work_w_per_kg : (n,) work rate per kilogram of body mass, NaN where unknown. grid : both of it and of the
        track on even steps.
    load_kg : the most that was carried at any time.
    recognised : what was done. road_load : resistances a ride's work is modelled with; None on foot.
    response, terrain_fair : the fitted heart rate and the decoupling row read from it.
    past : what the outing leaves for those to come.
    account : None without a band.
    """

    recording: Recording
    aim: Aim
    marks: tuple[Mark, ...]
    elevation: Elevation
    track: Track
    work_w_per_kg: Array
    grid: Grid
    load_kg: float
    recognised: Recognised
    road_load: RoadLoad | None
    decoupling: Decoupling
    response: Response
    terrain_fair: TerrainFair
    past: PastOuting
    account: TimeAccount | None

    @property
    def work_source(self) -> str | None:
        """Where the work rate comes from: a key of :mod:`slopebeat.model.evidence`; None where unknown."""
        return work_source(self.track) if has_work(self.track, self.work_w_per_kg) else None


def has_work(track: Track, work_w_per_kg: Array) -> bool:
    """Whether any work rate is known while moving: standing costs what it costs."""
    return bool(np.isfinite(work_w_per_kg[track.moving]).any())


def evidence_of(review: Measured) -> OutingEvidence:
    """The record of one outing; what it cannot tell is None."""
    track, work = review.track, review.work_w_per_kg
    recorded = float(track.recorded_s.sum())
    trusted = np.isfinite(track.hr_bpm)
    hr_mean, hr_sd = _mean_and_sd(track.hr_bpm[trusted], track.recorded_s[trusted])
    moving = np.where(np.isfinite(work), track.moving_s, 0.0)
    work_mean, _ = _mean_and_sd(work[moving > 0.0], moving[moving > 0.0])
    temperature = review.recording.samples["temperature_c"]
    temperature = temperature[np.isfinite(temperature)]
    enough = len(track) >= 2 and recorded > 0.0
    return OutingEvidence(
        start_utc=review.recording.start_utc,
        kind=activity_key(review),
        sport=str(review.recording.sport),
        on_bike=track.on_bike,
        work_source=review.work_source if moving.sum() > 0.0 else None,
        device=review.recording.device,
        coverage=float(track.recorded_s[trusted].sum()) / recorded if recorded > 0.0 else 0.0,
        recorded_s=recorded,
        moving_s=float(track.moving_s.sum()),
        trusted_s=float(moving[trusted].sum()),
        mean_work_w_per_kg=work_mean,
        work_variation=moving_work_variation(track, work),
        mean_hr_bpm=hr_mean,
        hr_sd_bpm=hr_sd,
        load_kg=review.load_kg,
        temperature_c=float(temperature.mean()) if temperature.size else None,
        fit=fit_evidence(review.response),
        sums=input_sums(review.grid, track.on_bike) if enough else None,
        past=review.past,
        span_s=review.recording.span_s,
    )


def activity_key(review: Measured) -> str:
    """Key of what was done."""
    return str(review.recognised.kind.value)


def fit_evidence(response: Response) -> FitEvidence | None:
    """The outing's own fit as kept; None without one."""
    posterior = response.own
    if posterior is None or response.tau_s is None or response.residual_rms_bpm is None:
        return None
    per_hour = np.array([1.0, 3600.0, 1.0, 1.0, 1.0])
    covariance = posterior.total_covariance[:5, :5] * np.outer(per_hour, per_hour)
    return FitEvidence(
        coefficients=posterior.mean[:5] * per_hour,
        covariance=covariance,
        centre_h=posterior.centre_t_s / 3600.0,
        centre=posterior.weight @ posterior.centre[:, :3],
        tau_s=response.tau_s,
        residual_bpm=response.residual_rms_bpm,
        used_s=response.used_s,
        usable=response.status is FitStatus.USABLE,
    )


def moving_work_variation(track: Track, work_w_per_kg: Array) -> float | None:
    """Coefficient of variation of the work rate's minute means while moving; None under ten minutes."""
    minute = (track.t_s // 60.0).astype(int)
    weight = np.where(np.isfinite(work_w_per_kg), track.moving_s, 0.0)
    seconds: Array = np.bincount(minute, weight).astype(float)
    total = np.bincount(minute, weight * zero_where_unknown(work_w_per_kg))
    full = seconds >= 30.0
    if np.count_nonzero(full) < 10:
        return None
    mean, sd = _mean_and_sd(total[full] / seconds[full], seconds[full])
    return None if not mean or sd is None else sd / mean


def _mean_and_sd(values: Array, weight: Array) -> tuple[float | None, float | None]:
    total = weight.sum()
    if total <= 0.0:
        return None, None
    mean = float((values * weight).sum() / total)
    return mean, float(np.sqrt(((values - mean) ** 2 * weight).sum() / total))
