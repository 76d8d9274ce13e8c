"""The episodes out of band: their figures, each with the cause of most of its seconds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.causes import CODE, NOT_OUT, Cause, Causes
from slopebeat.analysis.account.episodes import Episode
from slopebeat.analysis.account.windows import samples_of
from slopebeat.model.language import mark, tr
from slopebeat.review.outing import Review
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import PROJECT_CHOICE, Figure, Topic, in_files, in_tables
from slopebeat.review.words.names import key_name


@dataclass(frozen=True)
class OutOfBand(Episode):
    """An episode with the cause of most of its seconds.

    ``cause_grade`` is the grade the cause was found by: of the ground in the heart's memory, a mean over the
    seconds of that cause. The minute before may have been level where the climb came after it.
    """

    cause: Cause | None = None
    cause_grade: float | None = None


def episode_rows(review: Review) -> list[OutOfBand]:
    """Episodes with their causes, and the grades these were found by."""
    causes, track, episodes = review.causes, review.track, review.episodes
    if causes is None:
        return [OutOfBand(**vars(each)) for each in episodes]
    starts = np.searchsorted(track.t_s, [each.start_s for each in episodes])
    ends = np.searchsorted(track.t_s, [each.end_s for each in episodes])
    found = causes.main_causes(track, starts, ends)
    grades = _grades(
        review, causes, starts, ends, [NOT_OUT if cause is None else CODE[cause] for cause in found]
    )
    return [
        OutOfBand(**vars(each), cause=cause, cause_grade=grade)
        for each, cause, grade in zip(episodes, found, grades, strict=True)
    ]


def _grades(
    review: Review, causes: Causes, starts: NDArray[np.intp], ends: NDArray[np.intp], codes: list[int]
) -> list[float | None]:
    """The mean grade of the ground in the heart's memory, over the seconds of each stretch's cause."""
    place, track = review.parts.place, review.track
    own, at = samples_of(starts, ends)
    wanted = np.array(codes, dtype=np.int8)[own]
    counts = np.isfinite(place[at]) & ((wanted == NOT_OUT) | (causes.code[at] == wanted))
    own, at = own[counts], at[counts]
    weight = track.recorded_s[at]
    total = np.bincount(own, weight, minlength=len(codes))
    summed = np.bincount(own, weight * place[at], minlength=len(codes))
    return [
        part / whole if whole > 0.0 else None
        for part, whole in zip(summed.tolist(), total.tolist(), strict=True)
    ]


def _known(word: Cause | None) -> str:
    return tr("not known") if word is None else key_name(word)


SIDE, CAUSE = kinds.Kind(key_name, words=True), kinds.Kind(_known, words=True)

EPISODE_FIGURES: tuple[Figure, ...] = (
    Figure(
        "episode.number",
        mark("No."),
        mark("In order of time."),
        mark(
            "An episode is at least 10 s above or below the band; breaks under 15 s are bridged. Shorter "
            "moments are in the time account but in no row."
        ),
        PROJECT_CHOICE,
        csv="number",
        get=lambda i, episode: i + 1,
        leads=True,
    ),
    in_tables(
        "episode.from",
        mark("From"),
        mark("Time the band was left."),
        kind=kinds.AT,
        json="start_s",
        csv="start (s)",
    ),
    in_files("episode.end", json="end_s", csv="end (s)"),
    in_tables(
        "episode.lasts",
        mark("Lasts"),
        mark("Time out of band."),
        kind=kinds.LASTS,
        get=lambda i, episode: episode.end_s - episode.start_s,
    ),
    in_tables(
        "episode.side",
        mark("Side"),
        mark("Above or below the band."),
        kind=SIDE,
        json="direction",
        csv="side",
        leads=True,
    ),
    in_tables(
        "episode.cause",
        mark("Cause"),
        mark("What caused most of it."),
        kind=CAUSE,
        json="cause",
        csv="cause",
        leads=True,
    ),
    in_tables(
        "episode.farthest",
        mark("Farthest"),
        mark("Highest heart rate above, lowest below."),
        kind=kinds.BPM,
        json="peak_bpm",
        csv="farthest heart rate (bpm)",
    ),
    in_tables(
        "episode.beyond",
        mark("Beyond"),
        mark("Beats beyond the edge, summed over minutes."),
        mark(
            "The distance from the edge in bpm, times the time in minutes: 6 bpm over it for 5 minutes is 30."
        ),
        kind=kinds.number_of(0, "bpm·min"),
        json="bpm_minutes",
        csv="beyond the edge (bpm min)",
    ),
    in_tables(
        "episode.grade",
        mark("Grade"),
        mark("Mean grade the cause was told by."),
        mark(
            "The heart answers the ground of the last minutes, the latest most. The grade is that of the "
            "ground weighted so, over the seconds of the cause. The minute before the band was left, which "
            "speed and work are of, may have been flatter: on a climb that came after it."
        ),
        PROJECT_CHOICE,
        mark(
            "A steep pitch gone slowly after a fast descent takes little of that ground and shows a small "
            "grade."
        ),
        kind=kinds.GRADE,
        json="cause_grade",
        csv="grade of the cause (%)",
    ),
    in_files("episode.grade_before", kind=kinds.GRADE, json="grade", csv="grade before (%)"),
    Figure(
        "episode.speed",
        mark("Speed"),
        mark("Mean speed just before."),
        kind=kinds.SPEEDS,
        json="speed_mps",
        csv="speed before (m/s)",
    ),
    Figure(
        "episode.vertical",
        mark("Vertical"),
        mark("Mean vertical speed just before."),
        kind=kinds.HOURLY_RISES,
        json="vertical_speed_m_per_h",
        csv="vertical speed before (m/h)",
    ),
    Figure(
        "episode.work",
        mark("Work"),
        mark("Mean work rate just before."),
        mark("Means are of the minute before the band was left: the heart answers work by about a minute."),
        mark("Time constant of 57.6 s (Hunt 2015, doi:10.1186/s12938-015-0112-7)."),
        kind=kinds.number_of(1, "W/kg"),
        json="work_w_per_kg",
        csv="work rate before (W/kg)",
    ),
    in_files("episode.on_climb", json="on_climb", get=lambda i, e: e.climb is not None),
    in_files("episode.climb_index", json="climb"),
    Figure(
        "episode.climb",
        mark("On\nclimb"),
        mark("Number of the climb it belongs to."),
        csv="climb number",
        get=lambda i, episode: None if episode.climb is None else episode.climb + 1,
        leads=True,
    ),
    in_tables(
        "episode.return",
        mark("Back in band\nafter"),
        mark("From the farthest point until back in band."),
        kind=kinds.LASTS,
        json="return_s",
        csv="back in band after the farthest (s)",
    ),
)

EPISODES = Topic("episodes", mark("Out of band"), EPISODE_FIGURES)
