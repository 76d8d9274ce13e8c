"""The stretches of parts and causes: they hold the seconds that the account counts, told a second way."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.account.causes import CODE, Cause
from slopebeat.analysis.account.episodes import BRIDGED_BREAK_S, SHORTEST_EPISODE_S
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.files.reading import read
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.model.track import CLIMBING_GRADE
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.pieces import cause_stretches, episode_at, part_name, part_stretches, words_at
from slopebeat.review.present.account import ABOVE, BELOW, GAP, IN_BAND, PAUSE
from slopebeat.review.present.episodes import episode_rows
from slopebeat.session.outing.opening import demo_files


@pytest.fixture(scope="module")
def ride() -> Review:
    path = next(path for path in demo_files() if path.suffix == ".tcx")
    return review_recording(read(path).recordings[0], Aim(band=Band(112, 131)))


@pytest.mark.parametrize(
    ("part", "state"),
    [(IN_BAND, BandState.IN_BAND), (ABOVE, BandState.ABOVE), (BELOW, BandState.BELOW)],
    ids=lambda each: getattr(each, "key", ""),
)
def test_a_part_lies_where_its_seconds_are(ride: Review, part: object, state: BandState) -> None:
    assert ride.aim.band is not None
    found = part_stretches(ride, getattr(part, "key"))  # noqa: B009
    track = ride.track
    here = band_state(track.hr_bpm, ride.aim.band) == state
    inside = np.zeros(len(track), dtype=bool)
    for start_s, end_s in found:
        inside |= (track.t_s >= start_s) & (track.t_s < end_s)
        assert end_s - start_s >= SHORTEST_EPISODE_S
    # What is left out are stretches of seconds, what is put in are breaks of seconds.
    wrong = inside != here
    edges = np.flatnonzero(np.diff(np.concatenate(([False], wrong, [False])).astype(int)))
    for first, last in edges.reshape(-1, 2):
        assert track.recorded_s[first:last].sum() < BRIDGED_BREAK_S
    starts = [start for start, _ in found]
    assert starts == sorted(starts)


def test_standing_and_moving_are_apart(ride: Review) -> None:
    standing = part_stretches(ride, BELOW.key, standing=True)
    assert standing
    for start_s, end_s in standing:
        inside = (ride.track.t_s >= start_s) & (ride.track.t_s < end_s)
        assert ride.track.moving[inside].mean() < 0.5


def test_pauses_and_gaps_are_as_long_as_the_account_says(ride: Review) -> None:
    assert ride.account is not None
    for part, seconds in ((PAUSE, ride.account.pause_s), (GAP, ride.account.gap_s)):
        assert sum(end - start for start, end in part_stretches(ride, part.key)) == pytest.approx(seconds)


def test_a_cause_lies_where_its_seconds_are(ride: Review) -> None:
    assert ride.causes is not None
    for cause, seconds in ride.causes.seconds.items():
        found = cause_stretches(ride, cause)
        assert bool(found) == (seconds > 0.0)
        for start_s, end_s in found:
            inside = (ride.track.t_s >= start_s) & (ride.track.t_s < end_s)
            # Breaks are bridged, so not all of it is of this cause, but it begins and ends with it.
            code = ride.causes.code[inside]
            assert code[0] == code[-1] == CODE[cause]


def test_hovering_tells_side_cause_and_climb(ride: Review) -> None:
    episode = next(e for e in ride.episodes if e.climb is not None and e.direction == "above")
    middle = (episode.start_s + episode.end_s) / 2
    number = episode_at(ride, middle)
    assert number is not None
    assert ride.episodes[number] is episode
    first = words_at(ride, middle).splitlines()[0]
    assert first.startswith("Above: ")
    assert words_at(ride, ride.climbs[0].start_s + 1.0).splitlines()[-1].startswith("Climb 1, ")


def test_standing_is_said_with_the_part() -> None:
    assert part_name(BELOW.key, standing=True) == "Below, standing"
    assert part_name(BELOW.key) == "Below"


def test_an_episode_shows_the_grade_its_cause_goes_by(ride: Review) -> None:
    told = {Cause.FAST_CLIMB: 1.0, Cause.EASY_CLIMB: 1.0, Cause.DESCENT: -1.0}
    rows = [row for row in episode_rows(ride) if row.cause in told]
    assert len(rows) >= 2
    for row in rows:
        assert row.cause is not None
        assert row.cause_grade is not None
        # A cause that names climbing or sinking ground is never shown with level ground.
        assert row.cause_grade * told[row.cause] > CLIMBING_GRADE


def test_without_a_band_there_is_no_grade_of_a_cause(ride: Review) -> None:
    assert episode_rows(review_recording(ride.recording, Aim())) == []
