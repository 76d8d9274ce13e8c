"""Real months read from a folder beside the project: ``FOLDER/ATHLETE/*.fit``, also TCX, GPX and gzipped."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from slopebeat.analysis.response.teaching import group_of
from slopebeat.analysis.route.profile import RouteGround, route_ground
from slopebeat.files.reading import read_recordings
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import OutingEvidence, PastOuting
from slopebeat.model.people import Aim
from slopebeat.model.track import Array, Track
from slopebeat.review.evidence import evidence_of
from slopebeat.review.outing import review_recording

FOLDER = Path(__file__).resolve().parents[4] / "shared" / "months"
"""Where the months lie, unless another folder is named."""

SUFFIXES = (".fit", ".tcx", ".gpx", ".gz")

LEAST_S = 1200.0
"""Shorter outings neither teach nor are foretold here."""


@dataclass(frozen=True, eq=False)
class Real:
    """One outing: what it teaches, its ground, and its heart rate second by second."""

    name: str
    evidence: OutingEvidence
    past: PastOuting
    ground: RouteGround | None
    hr_bpm: Array
    lasts_s: Array
    track: Track
    work: Array

    @property
    def group(self) -> str | None:
        return group_of(self.evidence)

    def clock_s(self, lower_bpm: float, upper_bpm: float, target_s: float) -> float:
        """Time with the timer running until a target is in band; infinite where it is never reached."""
        inside = (self.hr_bpm >= lower_bpm) & (self.hr_bpm <= upper_bpm)
        got = np.cumsum(np.where(inside, self.lasts_s, 0.0))
        reached = np.flatnonzero(got >= target_s)
        return float(np.cumsum(self.lasts_s)[reached[0]]) if reached.size else np.inf


def read_months(folder: Path = FOLDER) -> dict[str, list[Real]]:
    """Every athlete's outings in order of time; files that cannot be read are passed over."""
    return {each.name: _of_athlete(each) for each in sorted(folder.iterdir()) if each.is_dir()}


def _of_athlete(folder: Path) -> list[Real]:
    found = []
    for path in sorted(p for p in folder.iterdir() if p.suffix in SUFFIXES):
        try:
            for recording in read_recordings(path):
                review = review_recording(recording, Aim())
                track = review.track
                ground = route_ground(track.distance_m, track.elevation_m) if len(track) > 1 else None
                taught = (evidence_of(review), review.past, ground)
                measured = (track.hr_bpm, track.recorded_s, track, review.work_w_per_kg)
                found.append(Real(path.name, *taught, *measured))
        except UserError as problem:
            print(f"{path.name}: {problem}")
    return sorted(found, key=lambda one: one.past.start_utc)


def of_sport(outings: list[Real], group: str) -> list[Real]:
    """Outings of one sport that lasted."""
    return [one for one in outings if one.group == group and one.past.moving_s >= LEAST_S]


def middle_of(outings: list[Real]) -> float:
    """Median of the outings' mean heart rates: bands are laid about it."""
    return float(np.nanmedian([one.past.mean_bpm for one in outings if one.past.has_heart]))
