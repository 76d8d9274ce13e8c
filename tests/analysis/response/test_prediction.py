from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from helpers.outings import FIRST_DAY, hilly_walk, taught
from slopebeat.analysis.response import prediction as module
from slopebeat.analysis.response.grid import make_grid
from slopebeat.analysis.response.prediction import learn, predict
from slopebeat.analysis.response.teaching import (
    LEAST_LIMIT_BPM,
    NotTeaching,
    group_of,
    input_sums,
    why_not,
)
from slopebeat.model.evidence import RIDE, RUN, WALK
from slopebeat.model.track import Array, Track

Walk = tuple[Track, Array]


@pytest.fixture(scope="module")
def walks() -> list[Walk]:
    return [
        hilly_walk(seed, level=60.0 + shift) for seed, shift in enumerate((-4.0, 3.0, 0.0, 5.0, -2.0, 1.0))
    ]


def test_heart_rate_of_an_unseen_walk_is_foretold_within_the_spread_of_days(walks: list[Walk]) -> None:
    learnt = learn([taught(7.0 * i, walk) for i, walk in enumerate(walks)], FIRST_DAY + timedelta(days=42))
    assert learnt is not None
    ahead, work = hilly_walk(99, level=60.0)
    told = predict(learnt, ahead, work)
    late = ahead.t_s > 600.0
    assert np.mean(np.abs(told.hr_bpm - ahead.hr_bpm)[late]) < 4.0
    assert told.known[late].mean() > 0.98
    own = predict(learnt, replace(ahead, hr_bpm=ahead.hr_bpm + 6.0), work, own_day=True)
    assert np.mean(own.hr_bpm - told.hr_bpm) > 3.0
    assert np.mean(np.abs(own.hr_bpm - ahead.hr_bpm - 6.0)[late]) < 2.5


def test_pooled_slopes_are_those_of_least_squares_with_an_intercept_for_every_outing(
    walks: list[Walk], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Fixed effects: numpy.linalg.lstsq on all rows with one dummy column for every outing."""
    monkeypatch.setattr(module, "SLOPE_SD", {False: np.full(5, 1e6), True: np.full(5, 1e6)})
    monkeypatch.setattr(module, "HALF_LIFE_DAYS", 1e9)
    learnt = learn([taught(i, walk) for i, walk in enumerate(walks)], FIRST_DAY + timedelta(days=9))
    assert learnt is not None
    rows, values = [], []
    for number, (track, work) in enumerate(walks):
        grid = make_grid(track, work)
        inputs = grid.binned(grid.lagged)
        rows.append(np.hstack([inputs, np.tile(np.eye(len(walks))[number], (len(inputs), 1))]))
        values.append(grid.binned(grid.hr_bpm))
    expected = np.linalg.lstsq(np.vstack(rows), np.concatenate(values), rcond=None)[0]
    moved = np.vstack(rows)[:, :5].std(axis=0)
    # In beats: what a usual change of each input makes. No half-minute here is odd enough to weigh less.
    np.testing.assert_allclose(learnt.coefficients * moved, expected[:5] * moved, atol=0.05)


def test_an_odd_half_hour_moves_the_sums_little() -> None:
    track, work = hilly_walk(5)
    hr = track.hr_bpm.copy()
    hr[2400:3000] -= 60.0
    clean, odd = (
        input_sums(make_grid(replace(track, hr_bpm=each), work), on_bike=False) for each in (track.hr_bpm, hr)
    )
    assert clean is not None
    assert odd is not None
    mean_if_all_counted_alike = hr[600:].mean() - track.hr_bpm[600:].mean()
    assert abs(odd.means[5] - clean.means[5]) < 0.5 * abs(mean_if_all_counted_alike)
    assert LEAST_LIMIT_BPM < 60.0


def test_nothing_is_known_beyond_the_climb_and_the_hours_seen(walks: list[Walk]) -> None:
    learnt = learn([taught(i, walk) for i, walk in enumerate(walks)], FIRST_DAY + timedelta(days=9))
    assert learnt is not None
    long, work = hilly_walk(7, minutes=240.0)
    told = predict(learnt, long, work)
    hours = long.t_s / 3600.0
    assert told.known[(hours > 0.2) & (hours < 1.0)].mean() > 0.98
    assert not told.known[hours > 2.5].any()
    steep = np.array([[work.mean(), 0.6, 0.0, 0.0, 0.5]])
    assert not learnt.known(steep)[0]


def test_a_recent_outing_counts_more_than_an_old_one(walks: list[Walk]) -> None:
    before = [taught(i, hilly_walk(i, level=50.0)) for i in range(4)]
    after = [taught(200 + i, hilly_walk(i, level=70.0)) for i in range(4)]
    learnt = learn(before + after, FIRST_DAY + timedelta(days=210))
    assert learnt is not None
    assert learnt.level_at(learnt.usual_work_w_per_kg, with_power=False)[0] == pytest.approx(70.0, abs=2.5)


def test_too_few_outings_teach_nothing(walks: list[Walk]) -> None:
    assert learn([taught(i, walk) for i, walk in enumerate(walks[:2])], FIRST_DAY) is None
    short = [taught(i, hilly_walk(i, minutes=25.0)) for i in range(3)]
    assert learn(short, FIRST_DAY) is None


def test_who_teaches_whom(walks: list[Walk]) -> None:
    one = taught(0.0, walks[0])
    assert why_not(one) is None
    assert why_not(one, chosen=False) is NotTeaching.LEFT_OUT
    assert why_not(replace(one, kind="skiing")) is NotTeaching.NO_WORK
    assert why_not(replace(one, coverage=0.4)) is NotTeaching.LITTLE_HEART_RATE
    assert why_not(replace(one, trusted_s=1100.0)) is NotTeaching.TOO_SHORT
    assert why_not(replace(one, work_source=None)) is NotTeaching.NO_WORK
    assert len({group_of(replace(one, kind=kind)) for kind in (WALK, RUN, RIDE)}) == 3
    assert group_of(replace(one, kind="lifts")) is None
