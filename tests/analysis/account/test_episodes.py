from __future__ import annotations

import numpy as np
import pytest

from helpers.recordings import track
from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.episodes import Direction, EpisodeFinder, out_of_band
from slopebeat.model.bands import Band

BAND = Band(112, 131)
T = np.arange(1200.0)


def heart(*stretches: tuple[int, int, float]) -> np.ndarray:
    hr = np.full(T.size, 120.0)
    for start, end, value in stretches:
        hr[start:end] = value
    return hr


def spans(hr: np.ndarray, direction: Direction = Direction.ABOVE) -> list[tuple[float, float]]:
    return list(out_of_band(track(T, hr=hr), BAND, direction))


def test_a_short_visit_is_no_episode_and_short_breaks_are_bridged() -> None:
    assert spans(heart((100, 109, 140.0))) == []
    assert spans(heart((100, 110, 140.0))) == [(100, 110)]
    assert spans(heart((100, 200, 140.0), (214, 300, 140.0))) == [(100, 300)]
    assert spans(heart((100, 200, 140.0), (215, 300, 140.0))) == [(100, 200), (215, 300)]


def test_each_side_has_its_own_episodes() -> None:
    hr = heart((100, 200, 140.0), (400, 500, 100.0))
    assert spans(hr) == [(100, 200)]
    assert spans(hr, Direction.BELOW) == [(400, 500)]


def test_an_episode_says_how_far_and_what_the_ground_asked() -> None:
    hr = heart((300, 420, 141.0))
    hr[350] = 151.0
    ground = track(T, hr=hr, grade=np.where(T < 240, 0.02, 0.12), speed=1.0)
    climb = Climb(240.0, 600.0, 0.0, 0.0, 0.0, 0.0, 43.0, 360.0, 0.12, None, None)
    (episode,) = EpisodeFinder(ground, np.full(T.size, 7.5)).find(BAND, [climb])
    assert (episode.start_s, episode.end_s, episode.direction) == (300.0, 420.0, Direction.ABOVE)
    assert episode.peak_bpm == 151.0
    assert episode.bpm_minutes == pytest.approx((119 * 10 + 20) / 60.0)
    assert episode.grade == pytest.approx(0.12)
    assert episode.vertical_speed_m_per_h == pytest.approx(432.0)
    assert episode.work_w_per_kg == 7.5
    assert episode.climb == 0
    assert episode.return_s == pytest.approx(70.0)


def test_the_work_told_is_that_of_the_minute_before() -> None:
    """The heart answers with a time constant of 57.6 s (Hunt 2015, doi:10.1186/s12938-015-0112-7).

    Work that rises by 1 a second up to 299 just before the episode has a mean of 269.5 over that minute.
    """
    (episode,) = EpisodeFinder(track(T, hr=heart((300, 420, 141.0))), T).find(BAND, [])
    assert episode.work_w_per_kg == pytest.approx(269.5)


def test_an_episode_cut_off_by_the_end_has_no_return() -> None:
    (episode,) = EpisodeFinder(track(T, hr=heart((1100, 1200, 140.0))), np.full(T.size, 5.0)).find(BAND, [])
    assert episode.return_s is None
    assert episode.climb is None


def test_a_gap_is_not_part_of_an_episode() -> None:
    t = np.concatenate((np.arange(300.0), np.arange(900.0, 1200.0)))
    found = list(out_of_band(track(t, hr=140.0), BAND, Direction.ABOVE))
    assert found == [(0.0, 299.0), (900.0, 1199.0)]


def test_episodes_and_short_visits_together_are_all_time_above() -> None:
    rng = np.random.default_rng(2)
    hr = 128.0 + 6.0 * np.sin(T / 50.0) + rng.normal(0, 1.0, T.size)
    ground = track(T, hr=hr)
    above = float(np.sum(ground.recorded_s[hr > 131]))
    episodes = out_of_band(ground, BAND, Direction.ABOVE)
    inside = float(np.sum(ground.recorded_s[(hr > 131) & episodes.contains(T)]))
    assert 0.0 < inside <= above
    assert above - inside < 0.1 * above


def test_one_finder_tells_for_every_band_what_is_counted_second_by_second() -> None:
    """A second implementation, in plain Python."""
    rng = np.random.default_rng(7)
    t = np.cumsum(rng.choice([1.0, 2.0, 9.0, 90.0], 900, p=[0.7, 0.2, 0.09, 0.01]))
    hr = np.round(122.0 + 14.0 * np.sin(t / 70.0) + rng.normal(0.0, 2.0, t.size))
    hr[rng.random(t.size) < 0.05] = np.nan
    ground = track(t - t[0], hr=hr)
    finder, found = EpisodeFinder(ground, np.full(t.size, 5.0)), 0
    for band in (BAND, Band(112, 125), Band(120, 125)):
        for each in finder.find(band, []):
            found += 1
            inside = [
                i for i in range(t.size) if each.start_s <= ground.t_s[i] < each.end_s and hr[i] == hr[i]
            ]
            side = 1.0 if each.direction is Direction.ABOVE else -1.0
            edge = band.upper_bpm if side > 0.0 else band.lower_bpm
            beats = [max(side * (hr[i] - edge), 0.0) * ground.recorded_s[i] for i in inside]
            assert each.bpm_minutes == pytest.approx(sum(beats) / 60.0)
            farthest = max(inside, key=lambda i: side * hr[i])
            assert each.peak_bpm == hr[farthest]
            assert each.return_s in (None, pytest.approx(each.end_s - ground.t_s[farthest]))
    assert found > 20
