"""Which injected faults of heart rate are doubted, and how much of untouched recordings is.

Run by hand: ``python tests/benchmarks/doubts_found.py``. Runs and rides with power among the real recordings
are each given faults at several places; a fault is found where half of it is under a mark. What is doubted of
the untouched recordings, in minutes an hour, is counted as false alarm, though some may be wrong indeed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from slopebeat.files.reading import read_recordings
from slopebeat.library.results import KeptEvidence
from slopebeat.model.errors import UserError
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.outing.records import covered
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.model.samples import sample_table
from slopebeat.review.earlier import EarlierOutings
from slopebeat.review.evidence import evidence_of
from slopebeat.review.outing import Review, review_recording

SHARED = Path(__file__).resolve().parents[3] / "shared"
LASTS_S, PLACES = 480.0, 5
FAULTS = {
    "20 too low": lambda hr: hr - 20.0,
    "30 too low": lambda hr: hr - 30.0,
    "40 too low": lambda hr: hr - 40.0,
    "60 too low": lambda hr: hr - 60.0,
    "half": lambda hr: hr / 2.0,
    "40 too high": lambda hr: hr + 40.0,
    "stuck": lambda hr: np.full(hr.shape, np.nanmedian(hr)),
    "stuck at 80": lambda hr: np.full(hr.shape, 80.0),
    "erratic": lambda hr: hr + np.random.default_rng(1).normal(0.0, 12.0, hr.size),
}
OURS = {reason for reason in Reason if reason is not Reason.DROP_OUT}


def outings(folder: str) -> Iterator[Recording]:
    """Recordings of a folder with heart rate, in order of time."""
    found = []
    for path in sorted((SHARED / folder).rglob("*")):
        if path.suffix in (".fit", ".gpx", ".tcx", ".gz"):
            try:
                found += read_recordings(path)
            except UserError:
                continue
    return iter(
        sorted((r for r in found if np.isfinite(r.samples["hr_bpm"]).mean() > 0.9), key=lambda r: r.start_utc)
    )


def doubted(review: Review) -> np.ndarray:
    """(n,) samples whose heart rate is doubted."""
    marks = [mark for mark in review.marks if mark.reason in OURS]
    return covered(review.track.t_s, marks, Channel.HEART_RATE)


def with_fault(recording: Recording, fault: str, start_s: float) -> tuple[Recording, np.ndarray]:
    """The recording with a fault of ``LASTS_S``, and where it lies."""
    table = recording.samples.frame()
    t = table["t_s"].to_numpy()
    here = (t >= start_s) & (t < start_s + LASTS_S)
    table.loc[here, "hr_bpm"] = np.round(FAULTS[fault](table["hr_bpm"].to_numpy()[here]))
    return replace(recording, samples=sample_table(table)), here


def reviewed(recording: Recording, earlier: EarlierOutings | None) -> Review:
    review = review_recording(recording, Aim())

    def again(marks: tuple[Mark, ...]) -> Review:
        return review_recording(recording, Aim(), marks)

    return review if earlier is None else earlier.speak(review, again)


def measure(name: str, recordings: list[Recording], with_history: bool) -> None:
    kept: list[KeptEvidence] = []
    found: dict[str, list[bool]] = defaultdict(list)
    alarm_s = hours = 0.0
    for recording in recordings:
        earlier = EarlierOutings(tuple(kept)) if with_history else None
        review = reviewed(recording, earlier)
        kept.append(KeptEvidence(str(len(kept)), "", True, evidence_of(review_recording(recording, Aim()))))
        if with_history and review.predicted is None:
            continue
        alarm_s += float(review.track.recorded_s[doubted(review)].sum())
        hours += float(review.track.recorded_s.sum()) / 3600.0
        last = float(review.track.t_s[-1])
        for fault in FAULTS:
            for start in np.linspace(400.0, last - LASTS_S - 100.0, PLACES) if last > 1500.0 else ():
                broken, here = with_fault(recording, fault, float(start))
                held = reviewed(broken, earlier)
                found[fault].append(bool(doubted(held)[here].mean() > 0.5))
    print(f"{name}: {hours:.1f} h, {alarm_s / 60.0 / max(hours, 1e-9):.2f} min doubted an hour")
    for fault, hits in found.items():
        print(f"  {fault:12} {np.mean(hits):.2f} of {len(hits)}")


if __name__ == "__main__":
    everything = list(outings("recordings"))
    months = list(outings("months"))
    runs = [r for r in everything if str(r.sport) == "running"]
    feet = [r for r in everything + months if not r.sport.on_bike and str(r.sport) != "other"]
    power = [r for r in months if np.isfinite(r.samples["power_w"]).mean() > 0.5]
    measure("runs, by themselves", runs, False)
    measure("rides with power, from earlier ones", power, True)
    for title, those in (
        ("all on foot", feet),
        ("all rides", [r for r in everything + months if r.sport.on_bike]),
    ):
        reviews = [reviewed(one, None) for one in those]
        seconds = sum(float(r.track.recorded_s[doubted(r)].sum()) for r in reviews)
        hours = sum(float(r.track.recorded_s.sum()) for r in reviews) / 3600.0
        print(f"{title}: {hours:.1f} h, {seconds / 60.0 / hours:.2f} min doubted an hour")
