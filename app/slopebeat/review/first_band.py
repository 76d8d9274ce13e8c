"""A first band, where none was chosen: what can be suggested, from what, and how far it may be off."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from slopebeat.analysis.band.drift_test import DriftTestOutcome
from slopebeat.analysis.band.hr_max import ERROR_BPM, usual_estimate
from slopebeat.model.bands import HR_MAX_SHARE, Band, BandMethod, band_from_hr_max
from slopebeat.model.basis import DRIFT_TEST
from slopebeat.model.evidence import OutingEvidence
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import figure
from slopebeat.model.people import Athlete, BandPeriod, Ground, band_in_force
from slopebeat.model.recording import local_day
from slopebeat.review.outing import Review

OTHER_WAYS = mark(
    "Better founded: a lactate step test, or an hour at steady output that checks the upper edge; both stand "
    "in the list above."
)


@dataclass(frozen=True)
class Suggestion:
    """A band with the maximum it is a share of, why it is suggested, and how far it may be off."""

    band: Band
    hr_max_bpm: int
    reason: str


def highest_trusted(review: Review) -> int | None:
    """The highest heart rate of an outing that nothing speaks against, bpm; None where there is none."""
    hr = review.track.hr_bpm
    return round(float(np.nanmax(hr))) if np.isfinite(hr).any() else None


def highest_kept(taught: Iterable[OutingEvidence | None]) -> tuple[int, int] | None:
    """The highest trusted heart rate of kept outings and how many of them hold one; None where none does."""
    peaks = []
    for each in taught:
        past = None if each is None else each.past
        if past is not None and past.has_heart:
            beats = np.flatnonzero(past.hr_seconds)
            peaks.append(past.hr_from_bpm + int(beats[-1]))
    return (max(peaks), len(peaks)) if peaks else None


def from_seen(highest_bpm: int, age_years: int | None = None, outings: int = 1) -> Suggestion:
    """A band from the highest heart rate recorded in so many outings, which is at the most the maximum."""
    band = band_from_hr_max(highest_bpm)
    where = tr("The highest trusted heart rate of this outing is {bpm} bpm.")
    if outings > 1:
        where = tr("The highest trusted heart rate of {count} outings is {bpm} bpm.")
    sentences = [
        where.format(bpm=highest_bpm, count=outings),
        tr(
            "{low}-{high} % of it is common practice. A maximum seen is no maximum reached: the true one may "
            "lie higher, and so may the band."
        ).format(low=figure(100 * HR_MAX_SHARE[0]), high=figure(100 * HR_MAX_SHARE[1])),
    ]
    if age_years is not None and highest_bpm < usual_estimate(age_years).low_bpm:
        sentences.append(tr("By age it lies higher in five of six people: do not rely on this one."))
    return Suggestion(band, highest_bpm, " ".join(sentences))


def from_age(age_years: int) -> Suggestion:
    """A band from age alone, never without its error.

    Raises
    ------
    UserError
        For an age from which nothing can be derived.
    """
    found = usual_estimate(age_years)
    lowest, highest = (band_from_hr_max(bpm) for bpm in (found.low_bpm, found.high_bpm))
    sentences = tr(
        "At {age} years the maximum is {bpm} bpm on the mean of many people ({name}); single people differ "
        "from it by {low}-{high} bpm, one in three by more. The band may as well be {lowest} or {highest}."
    ).format(
        age=age_years,
        bpm=figure(found.hr_max_bpm),
        name=found.formula.name,
        low=figure(ERROR_BPM[0]),
        high=figure(ERROR_BPM[1]),
        lowest=lowest,
        highest=highest,
    )
    hr_max_bpm = round(found.hr_max_bpm)  # A maximum is entered in whole beats.
    return Suggestion(band_from_hr_max(hr_max_bpm), hr_max_bpm, sentences)


def band_from_today(
    athlete: Athlete, periods: tuple[BandPeriod, ...], review: Review, today: date
) -> BandPeriod | None:
    """The band of a review as one in force from today on; None where one with its edges is already."""
    band = review.aim.band
    if band is None:
        return None
    ground = Ground.BIKE if review.track.on_bike else Ground.FOOT
    now = band_in_force(periods, ground, today)
    if now is not None and (now.lower_bpm, now.upper_bpm) == (band.lower_bpm, band.upper_bpm):
        return None
    return BandPeriod(athlete.identity, ground, today, band)


def tested_band(
    athlete: Athlete | None, periods: tuple[BandPeriod, ...], review: Review
) -> BandPeriod | None:
    """The band whose upper edge an outing has passed as a drift test, in force from its day on.

    None when it was no test or not passed, without an athlete, or where a band from that day is kept.
    """
    band, found = review.aim.band, review.drift_test
    if athlete is None or band is None or found is None or found.outcome is not DriftTestOutcome.UNDER:
        return None
    ground = Ground.BIKE if review.track.on_bike else Ground.FOOT
    day = local_day(review.recording.start_utc, review.recording.utc_offset_s)
    if any((period.ground, period.from_day) == (ground, day) for period in periods):
        return None
    figures = {"percent": found.percent, "threshold_percent": found.threshold_percent}
    basis = band.basis.followed_by(DRIFT_TEST, day=day.isoformat(), **figures)
    tested = replace(band, method=BandMethod.DRIFT_TEST, basis=basis)
    return BandPeriod(athlete.identity, ground, day, tested)
