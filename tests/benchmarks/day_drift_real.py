"""Whether the drift of the first half foretells the heart rate at given work in the second: real months.

    PYTHONPATH=app python tests/benchmarks/day_drift_real.py [FOLDER] [--write]

Each long outing is cut in two at half its span and the first half is reviewed as if it were all there is. Its
drift foretells what the heart rate at the outing's own usual work is in the second half, as means of ten
minutes: as the half alone has it, with what is known of drifts beforehand, by the mean of the drifts of
earlier outings, by the usual drift of the trade, and by the simplest of all, that nothing changes. What work
does is taken away by the fit of the whole outing, the same for all of them. ``--write`` keeps the table
beside this file.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from slopebeat.analysis.day.drift import DriftPoints, day_drift
from slopebeat.analysis.day.parts import days_of
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.files.reading import read
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.review.day.day import ends_of
from slopebeat.review.outing import Review, review_recording

FOLDER = Path(__file__).resolve().parents[4] / "shared" / "months"

LEAST_S = 80 * 60.0
"""Shorter outings have no half an hour to fit in each half."""

PREDICTORS = ("nothing changes", "own drift", "with prior", "earlier outings", "3 bpm/h")

USUAL_BPM_PER_H = 3.0
"""A few beats an hour are usual in prolonged work (cardiovascular drift; review: Coyle and Gonzalez-Alonso
2001, doi:10.1097/00003677-200104000-00009; the figure itself from memory)."""


FEW = (
    "Data are few: one rider, one walker, and hardly any day in parts, so nothing is said of one part from "
    "another. Where nothing changes foretells as well as a drift does, the drift of a day says what was and "
    "foretells nothing."
)


@dataclass(frozen=True)
class Halves:
    """One outing: bpm the heart rate at usual work rose from the first half's mean to the second's, the hours
    between their middles, and the drift of the first half in bpm/h, alone and with prior."""

    name: str
    hours: float
    rise_bpm: float
    own: float
    own_sd: float
    prior: float


def first_half(recording: Recording) -> Recording:
    """The recording up to half its span."""
    samples = recording.samples
    kept = samples["t_s"] <= recording.span_s / 2.0
    return replace(recording, samples=samples.rows(kept), laps=())


def halves_of(recording: Recording, whole: Review) -> Halves | None:
    """None where either the outing or its first half cannot be fitted."""
    if whole.response.status is not FitStatus.USABLE:
        return None
    points: DriftPoints = day_drift([whole.track], [whole.response], [0.0]).points
    early = points.hours * 3600.0 <= recording.span_s / 2.0
    half = review_recording(first_half(recording), Aim())
    drift = day_drift([half.track], [half.response], [0.0])
    part = drift.parts[0]
    prior = half.response.drift_bpm_per_h
    if early.sum() < 2 or (~early).sum() < 2 or part is None or prior is None:
        return None
    at, off = (
        [float(np.average(column[side], weights=points.seconds[side])) for side in (early, ~early)]
        for column in (points.hours, points.off_bpm)
    )
    return Halves(recording.title, at[1] - at[0], off[1] - off[0], part.mean, part.sd, prior)


def errors(halves: list[Halves]) -> dict[str, np.ndarray]:
    """Of the foretold rise, bpm, by predictor; outings in order of time."""
    rise, hours = (np.array([getattr(each, name) for each in halves]) for name in ("rise_bpm", "hours"))
    own, sd, prior = (
        np.array([getattr(each, name) for each in halves]) for name in ("own", "own_sd", "prior")
    )
    before = np.array(
        [
            float(np.average(own[:i], weights=(sd[:i] ** 2 + 9.0) ** -1.0)) if i else USUAL_BPM_PER_H
            for i in range(own.size)
        ]
    )
    drifts = (np.zeros(own.size), own, prior, before, np.full(own.size, USUAL_BPM_PER_H))
    return {name: rise - drift * hours for name, drift in zip(PREDICTORS, drifts, strict=True)}


def recordings(folder: Path) -> Iterator[Recording]:
    for path in sorted(folder.iterdir()):
        if path.name.endswith((".fit", ".tcx", ".gpx", ".gz")):
            yield from read(path).recordings


def table(folder: Path) -> Iterator[str]:
    yield "| athlete | outings | days in parts | " + " | ".join(PREDICTORS) + " | 95 % of own holds |"
    yield "| --- |" + " --: |" * (len(PREDICTORS) + 3)
    for athlete in sorted(path for path in folder.iterdir() if path.is_dir()):
        found, ends = [], []
        for recording in recordings(athlete):
            ends.append(ends_of(recording))
            if recording.span_s >= LEAST_S and np.isfinite(recording.samples["hr_bpm"]).any():
                halves = halves_of(recording, review_recording(recording, Aim()))
                found += [] if halves is None else [halves]
        parts = sum(len(group) > 1 for group in days_of(ends))
        if not found:
            yield f"| {athlete.name} | 0 | {parts} |" + " – |" * (len(PREDICTORS) + 1)
            continue
        off = errors(found)
        middle = [f"{np.sqrt(np.mean(off[name] ** 2)):.1f}" for name in PREDICTORS]
        reach = [abs(x.rise_bpm - x.own * x.hours) <= 1.96 * x.own_sd * x.hours for x in found]
        yield f"| {athlete.name} | {len(found)} | {parts} | {' | '.join(middle)} | {np.mean(reach):.0%} |"
    yield ""
    yield "Root mean square error in bpm of the heart rate at usual work in the second half."
    yield ""
    yield FEW


if __name__ == "__main__":
    named = [Path(each) for each in sys.argv[1:] if not each.startswith("--")]
    lines = list(table(named[0] if named else FOLDER))
    print("\n".join(lines))
    if "--write" in sys.argv:
        Path(__file__).with_suffix(".md").write_text(
            f"# {(__doc__ or '').splitlines()[0]}\n\n" + "\n".join(lines) + "\n", encoding="utf-8"
        )
