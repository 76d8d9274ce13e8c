"""What is read under the cursor."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import figure
from slopebeat.model.units import MISSING
from slopebeat.review.outing import Review
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import Figure, Topic
from slopebeat.review.words.names import STATE_WORDS


def _state(i: int, review: Review) -> str:
    if review.aim.band is None:
        return MISSING
    state = BandState(int(band_state(review.track.hr_bpm[i : i + 1], review.aim.band)[0]))
    return tr(STATE_WORDS[state])


def _heart_rate(i: int, review: Review) -> str:
    used = float(review.track.hr_bpm[i])
    recorded = float(review.recording.samples["hr_bpm"][i])
    doubtful = np.isnan(used) and np.isfinite(recorded)
    return f"({figure(recorded)})" if doubtful else figure(used)


def _of_track(key: str, name: str, line: str, field: str, kind: kinds.Kind) -> Figure:
    return Figure(key, name, line, kind=kind, get=lambda i, review: float(getattr(review.track, field)[i]))


CURSOR_FIGURES: tuple[Figure, ...] = (
    _of_track("at_time", mark("Time"), mark("Time since the first record, h:mm:ss."), "t_s", kinds.AT),
    _of_track("at_distance", mark("Distance"), mark("Distance along the ground."), "distance_m", kinds.WAYS),
    Figure(
        "at_heart_rate",
        mark("Heart rate"),
        mark("Recorded heart rate; in brackets where it is doubted and not used."),
        mark(
            "Doubted are: changes faster than a heart can (5 bpm in a second), values outside 30 to "
            "230 bpm, stretches frozen for a minute while the work changed, drop-outs, a heart rate "
            "that follows the step rate, and the first record after a restart. Each mark can be "
            "rejected. "
            "Doubted beside the work, for a minute at least: under 100 bpm at 140 steps a minute, 40 bpm "
            "under or 30 over the outing's own line on a run, changes of 2.5 bpm a second on average, "
            "and of a jump of 25 bpm in 10 s the side further from the line. Where a library holds "
            "earlier outings on foot or with recorded power: the larger of 15 bpm and 3 standard "
            "deviations below what they foretell, of 25 bpm and 4 above, never beyond the work, climbs "
            "and hours they held. These limits are this project's choice, made on runs with hand "
            "labels: 9 of 10 stretches marked were wrong there, and 1 of 10 wrong minutes was marked."
        ),
        mark(
            "Wrist sensors were off by 13 % on trails, a chest strap by 2 % "
            "(doi:10.1371/journal.pone.0238569)."
        ),
        kind=kinds.Kind(str, "bpm"),
        get=_heart_rate,
    ),
    Figure(
        "at_band",
        mark("Band"),
        mark("Where the heart rate lies; both edges of the band count as in band."),
        kind=kinds.WORDS,
        get=_state,
    ),
    _of_track("at_elevation", mark("Elevation"), mark("Smoothed elevation."), "elevation_m", kinds.HEIGHTS),
    Figure(
        "at_grade",
        mark("Grade"),
        mark("Rise over run of the smoothed track; none while standing."),
        mark("Grade = climbing speed / speed over ground, smoothed over 15 m of way: 0.10 is 10 %."),
        kind=kinds.GRADE,
        get=lambda i, r: float(r.track.grade[i]),
    ),
    _of_track("at_speed", mark("Speed"), mark("Smoothed speed over ground."), "speed_mps", kinds.OWN_SPEEDS),
    _of_track(
        "at_vertical",
        mark("Vertical"),
        mark("Vertical speed, from the smoothed elevation."),
        "vertical_speed_mps",
        kinds.RISES,
    ),
    Figure(
        "work_rate",
        mark("Work"),
        mark(
            "Estimated work rate per kilogram of body mass, from grade and speed (on a bike: recorded "
            "power where there is any)."
        ),
        mark(
            "On foot: the published energy cost of walking on grades, from the speed of running on "
            "that of running; a load counts like body mass. On a bike: recorded power, else slope, "
            "rolling, air and inertia, never under zero; road riding with a drag area of 0.32 m² and "
            "rolling of 0.006, forest roads and trails with 0.45 m² and 0.015, told by the file's "
            "words, else by a usual speed over or under 18 km/h. Work of over 25 W/kg on foot or 12 on a "
            "bike for a minute, climbing over 2,100 m an hour, or over 1,000 with a heart rate under "
            "100 bpm, and a motor's help are doubts: such work counts as unknown."
        ),
        mark("Walking: Looney et al. 2019. Running: Minetti et al. 2002. Cycling: Martin et al. 1998."),
        mark(
            "The ground itself is not known: snow, mud, poles and rough paths cost more. Grades beyond "
            "those measured are held at the edge. A pack costs more than its mass alone. Modelled power "
            "of rides differs from a meter's by a quarter and more, so both are never set on one scale."
        ),
        kind=kinds.number_of(1, "W/kg"),
        get=lambda i, r: float(r.work_w_per_kg[i]),
    ),
)
"""The row is a review, its number that of a record."""

CURSOR = Topic("cursor", mark("Under the cursor"), CURSOR_FIGURES)
