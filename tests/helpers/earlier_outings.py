"""Earlier outings to plan from: an invented walker or rider whose pace and heart follow plain rules."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

import numpy as np

from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.results import Result, input_key
from slopebeat.library.store import Library
from slopebeat.model.evidence import OutingEvidence, OutingSummary
from slopebeat.model.people import Aim, Ground
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import sample_table
from slopebeat.model.spans import Spans
from slopebeat.review.evidence import evidence_of
from slopebeat.review.outing import review_recording
from slopebeat.review.summary import COMPUTATION_VERSION, summarise

FIRST = datetime(2026, 3, 1, 7, tzinfo=UTC)
LEVEL_MPS = {False: 1.4, True: 6.0}
RUNNING_MPS = 4.0
STANDING_BPM = {False: 60.0, True: 95.0}
"""A rider who climbs as these do with a resting heart rate would be helped by a motor."""

UPHILL = 4.0
"""The walker's log pace grows by this per unit of grade uphill; downhill he goes as on the level."""


@cache
def evidence_before(
    count: int = 8, on_bike: bool = False, sport: Sport | None = None
) -> tuple[OutingEvidence, ...]:
    """Outings of an hour and more over humps of differing height, three days apart."""
    return tuple(evidence_of(review_recording(made, Aim())) for made in recordings(count, on_bike, sport))


@cache
def recordings(count: int = 8, on_bike: bool = False, sport: Sport | None = None) -> tuple[Recording, ...]:
    rng = np.random.default_rng(77)
    kind = sport or (Sport.MOUNTAIN_BIKING if on_bike else Sport.HIKING)
    return tuple(_recording(number, kind, on_bike, rng) for number in range(count))


def _recording(number: int, sport: Sport, on_bike: bool, rng: np.random.Generator) -> Recording:
    level = RUNNING_MPS if sport is Sport.RUNNING else LEVEL_MPS[on_bike]
    day = float(np.exp(rng.normal(0.0, 0.05)))
    length = level * 3600.0 * float(rng.uniform(1.0, 1.5))
    step, wave = 5.0, 900.0 * level
    along = np.arange(0.0, length, step)
    high = float(rng.uniform(30.0, 70.0)) * level / 1.4
    height = 900.0 + high * (1.0 - np.cos(2.0 * np.pi * along / wave))
    grade = np.gradient(height, step)
    speed = level * day * np.exp(-UPHILL * np.maximum(grade, 0.0))
    at = np.concatenate(([0.0], np.cumsum(step / speed)[:-1]))
    t = np.arange(0.0, at[-1], 2.0)
    effort = np.interp(t - 50.0, at, speed * (1.0 + 8.0 * np.maximum(grade, 0.0)) / level)
    noise = np.cumsum(rng.normal(0.0, 0.6, t.size))
    noise = noise - np.convolve(noise, np.ones(301) / 301, mode="same")
    heart = STANDING_BPM[on_bike] + 45.0 * effort + rng.normal(0.0, 3.0) + 2.0 * t / 3600.0 + noise
    pause = Spans.from_pairs([(1800.0, 1800.0 + 300.0)])
    late = np.where(t >= 1800.0, t + 300.0, t)
    samples = sample_table(
        {
            "t_s": late,
            "hr_bpm": np.rint(heart),
            "elevation_m": np.interp(t, at, height),
            "distance_m": np.interp(t, at, along),
            "lat_deg": 46.9 + np.interp(t, at, along) / 111_195.0,
            "lon_deg": np.full(t.size, 11.6),
        }
    )
    start = FIRST + timedelta(days=3 * number, hours=6 * on_bike)
    return Recording(samples, start, sport, pauses=pause, title=f"Hump {number}")


@cache
def _taught(count: int, on_bike: bool, number: int, aim: Aim) -> tuple[OutingSummary, OutingEvidence]:
    review = review_recording(recordings(count, on_bike)[number], aim)
    return summarise(review), evidence_of(review)


def keep_teachers(library: Library, athlete: str, count: int = 8, on_bike: bool = False) -> None:
    """Put the outings with what they teach into a library; their files hold no recording."""
    ground = Ground.BIKE if on_bike else Ground.FOOT
    for number, made in enumerate(recordings(count, on_bike)):
        aim = library.inputs(athlete).aim(ground, made.start_utc.date())
        summary, evidence = _taught(count, on_bike, number, aim)
        result = Result(summary, COMPUTATION_VERSION, input_key(aim, ground), evidence)
        facts = OutingFacts(0, made.start_utc, 3600.0, str(made.sport), on_bike, made.title)
        content = packed(f"hump {number} {on_bike}".encode())
        library.imports.keep(athlete, content, f"hump_{number}.gpx", [IncomingOuting(facts, result)])


def write_gpx(folder: Path, count: int = 6) -> list[Path]:
    """The walker's outings as GPX files with heart rate."""
    paths = []
    for number, made in enumerate(recordings(count)):
        rows = []
        table = made.samples
        columns = (table["t_s"], table["lat_deg"], table["lon_deg"], table["elevation_m"], table["hr_bpm"])
        for t, lat, lon, height, heart in zip(*(np.asarray(c)[::3] for c in columns), strict=True):
            when = (made.start_utc + timedelta(seconds=float(t))).strftime("%Y-%m-%dT%H:%M:%SZ")
            rows.append(
                f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"><ele>{height:.1f}</ele><time>{when}</time>'
                f"<extensions><x:hr>{heart:.0f}</x:hr></extensions></trkpt>"
            )
        path = folder / f"hump_{number}.gpx"
        path.write_text(
            '<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1" '
            f'xmlns:x="http://x"><trk><name>Hump {number}</name><type>hiking</type><trkseg>'
            f"{''.join(rows)}</trkseg></trk></gpx>"
        )
        paths.append(path)
    return paths


def silent(one: OutingEvidence) -> OutingEvidence:
    """The same outing without heart rate."""
    past = None if one.past is None else replace(one.past, hr_seconds=())
    return replace(one, past=past, sums=None, coverage=0.0)
