"""What was done, told by speed, steps and climbing: against outings of known kind."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from helpers.recordings import recording
from slopebeat.analysis.activity import Activity, Recognised, activity_stated, recognise
from slopebeat.cleaning.clean import clean
from slopebeat.files.reading import read_recordings
from slopebeat.model.errors import UserError
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import step_rate_per_min

T = np.arange(0.0, 2400.0)


def told(made: Recording) -> Recognised:
    cadence = made.samples["cadence_rpm"]
    return recognise(made, clean(made).track, step_rate_per_min(cadence))


def test_steps_part_a_run_from_a_walk_whatever_the_file_says() -> None:
    # 160-180 steps a minute are usual running, 100-120 walking: common practice, no source.
    slow_run = recording(T, speed=2.3, sport=Sport.WALKING, cadence_rpm=np.full(T.shape, 82.0))
    hike = recording(T, speed=1.3, sport=Sport.RUNNING, cadence_rpm=np.full(T.shape, 54.0))
    assert told(slow_run).kind is Activity.RUN
    assert told(hike) == Recognised(Activity.WALK, Activity.RUN)
    assert told(hike).contradicts


def test_a_steep_slow_run_without_steps_is_a_hike() -> None:
    steep = recording(T, speed=1.1, sport=Sport.RUNNING, elevation=lambda t: 500.0 + 0.25 * t)
    assert told(steep).kind is Activity.WALK


def test_wheels_are_told_by_speed_and_by_the_length_of_steps() -> None:
    ride = recording(T, speed=8.0, sport=Sport.RUNNING)
    assert told(ride).kind is Activity.RIDE
    assert told(ride).contradicts
    fast_run = recording(T, speed=5.0, sport=Sport.RUNNING, cadence_rpm=np.full(T.shape, 95.0))
    assert told(fast_run).kind is Activity.RUN


def test_a_day_of_lifts_is_no_hike() -> None:
    # Ten minutes up by 4 m/s, ten down at 12 m/s: no one climbs 14,400 m an hour.
    def height(t: np.ndarray) -> np.ndarray:
        phase = (t % 1200.0) / 600.0
        return 1000.0 + 800.0 * np.where(phase < 1.0, phase, 2.0 - phase)

    speed = np.where((T % 1200.0) < 600.0, 3.0, 12.0)
    day = recording(T, elevation=height, sport=Sport.UNKNOWN, distance_m=np.cumsum(speed))
    assert told(day).kind is Activity.LIFTS
    assert not told(day).kind.has_work


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        # Names of sports and kinds of sport in the FIT profile (its public table of types).
        ("alpine_skiing/backcountry", Activity.SKIING),
        ("cross_country_skiing", Activity.SKIING),
        ("swimming/open_water", Activity.SWIMMING),
        ("training/strength_training", Activity.STRENGTH),
        ("running/treadmill", Activity.TREADMILL),
        ("e_biking", Activity.ELECTRIC),
        ("cycling/e_bike_mountain", Activity.ELECTRIC),
        ("snowshoeing", None),
        ("running/trail", None),
        ("cycling/road", None),
    ],
)
def test_the_words_of_files(words: str, kind: Activity | None) -> None:
    assert activity_stated(words) is kind


def test_a_motor_shows_in_fast_climbing_with_an_easy_heart() -> None:
    up = recording(T, hr=105.0, speed=5.5, sport=Sport.CYCLING, elevation=lambda t: 500.0 + 0.4 * t)
    assert told(up).kind is Activity.ELECTRIC
    hard = recording(T, hr=170.0, speed=5.5, sport=Sport.CYCLING, elevation=lambda t: 500.0 + 0.4 * t)
    assert told(hard).kind is Activity.RIDE


def test_a_sport_put_right_by_hand_is_not_contradicted() -> None:
    ride = replace(recording(T, speed=8.0), sport=Sport.CYCLING)
    assert recognise(ride, clean(ride).track, np.full(T.shape, np.nan), by_hand=True).kind is Activity.RIDE


def test_real_outings_are_what_their_devices_call_them(
    recordings: Path, index: dict[str, dict[str, str]]
) -> None:
    """The devices' own word is the outside check; nothing on foot may pass for a ride, nor the other way."""
    seen = set()
    for name in index:
        try:
            made = read_recordings(recordings / name)
        except UserError:  # damaged ones are another test's
            continue
        for one in made:
            if one.sport not in (Sport.RUNNING, Sport.CYCLING, Sport.MOUNTAIN_BIKING):
                continue
            kind = told(one).kind
            seen.add(kind)
            wanted = (Activity.RUN,) if one.sport is Sport.RUNNING else (Activity.RIDE,)
            assert kind in (*wanted, Activity.FRAGMENT, Activity.HEART_ONLY), name
    assert seen >= {Activity.RUN, Activity.RIDE}
