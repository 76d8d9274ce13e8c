"""The whole join, on invented and on real recordings."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from helpers.recordings import recording
from slopebeat.analysis.account.causes import Cause
from slopebeat.analysis.response.work_rate import foot_w_per_kg
from slopebeat.cleaning.clean import clean
from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band, band_from_hr_max
from slopebeat.model.codec import encode
from slopebeat.model.errors import UserError
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import counted_time
from slopebeat.review import outing
from slopebeat.review.answer import answer, why
from slopebeat.review.evidence import evidence_of
from slopebeat.review.ground.way import way_of
from slopebeat.review.outing import measure_recording, review_recording
from slopebeat.review.stages import Stages
from slopebeat.review.summary import summarise

AIM = Aim(band_from_hr_max(187))


def up_and_down(t: np.ndarray) -> np.ndarray:
    return 800.0 + 250.0 * np.sin(np.pi * np.clip((t - 900.0) / 5400.0, 0.0, 1.0))


def heart(t: np.ndarray) -> np.ndarray:
    level = np.where((t > 1000) & (t < 3600), 145.0, np.where(t > 4500, 105.0, 120.0))
    return np.round(level + 0.7 * np.sin(t / 9.0))  # A heart never stands still for an hour.


HIKE = recording(np.arange(7200.0), hr=heart, elevation=up_and_down)


def test_without_a_band_everything_that_needs_none_is_there() -> None:
    review = review_recording(HIKE, Aim())
    assert (review.account, review.episodes, review.extension) == (None, (), None)
    assert len(review.climbs) == 1
    assert review.decoupling.pace.percent is not None
    assert answer(review) == "Set a band to see what counted."


def test_what_is_kept_is_measured_without_what_is_only_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """A library keeps the figures of the review; causes, climbs and the next outing are not worked out."""
    review = review_recording(HIKE, AIM)

    def unwanted(*_arguments: object) -> None:
        raise AssertionError("nobody looks at this")

    for name in ("find_climbs", "heart_parts", "Counting", "speeds_by_grade"):
        monkeypatch.setattr(outing, name, unwanted)
    measured = measure_recording(HIKE, AIM)
    assert summarise(measured) == summarise(review)
    assert encode(evidence_of(measured)) == encode(evidence_of(review))
    assert encode(way_of(measured).facts) == encode(way_of(review).facts)
    with pytest.raises(AssertionError, match="nobody looks"):
        review_recording(HIKE, AIM)


def test_a_band_adds_account_episodes_and_extension() -> None:
    review = review_recording(HIKE, AIM)
    assert [e.direction for e in review.episodes] == ["above", "below"]
    assert review.episodes[0].climb == 0
    assert review.account is not None
    assert review.extension is not None
    assert review.account.above_s == pytest.approx(2599, abs=6)
    climb = review.climbs[0]
    assert climb.above_s == pytest.approx(climb.end_s - 1001, abs=6)
    assert "counted" in answer(review)


def test_causes_add_up_and_are_said_in_words() -> None:
    review = review_recording(HIKE, AIM)
    account, causes = review.account, review.causes
    assert account is not None
    assert causes is not None
    assert sum(causes.seconds.values()) == pytest.approx(account.recorded_s - account.in_band_s)
    # How much of a climb the ground asked for and how much was chosen depends on what slow is called.
    assert causes.seconds[Cause.STEEP_CLIMB] + causes.seconds[Cause.FAST_CLIMB] > 1800
    assert causes.seconds[Cause.DESCENT] > 1800
    assert "over the band on climbs gone too fast" in why(review)
    assert why(review_recording(HIKE, Aim())) == ""
    assert why(review_recording(recording(np.arange(3000.0)), AIM)) == "Every recorded second counted."


def test_a_load_set_down_on_the_way_lowers_the_work_from_then_on() -> None:
    t = np.arange(7200.0)
    laden = review_recording(recording(t), Aim(load_kg=15.0, load_until_s=3600.0)).work_w_per_kg
    plain = review_recording(recording(t), Aim()).work_w_per_kg
    assert np.allclose(laden[:3600], plain[:3600] * 90.0 / 75.0)
    assert np.allclose(laden[3600:], plain[3600:])


def test_a_load_note_on_a_range_changes_the_work_there_and_nowhere_else() -> None:
    """Against the printed walking equation (Looney et al. 2019) at 1 m/s on the level: 3.62 W per kg."""
    t = np.arange(7200.0)
    walk = recording(t, speed=1.0)
    note = new_note(NoteKind.LOAD, Author.COACH, value=15.0, start_s=1800.0, end_s=3600.0)
    laden = review_recording(walk, Aim(load_kg=3.0), notes=(note,))
    plain = review_recording(walk, Aim(load_kg=3.0))
    inside = (t >= 1800.0) & (t < 3600.0)
    steady = plain.track.moving & (np.abs(plain.track.speed_mps - 1.0) < 1e-6)
    assert np.count_nonzero(steady & inside) > 1500
    assert laden.work_w_per_kg[steady & inside] == pytest.approx(3.62 * 90.0 / 75.0, rel=1e-3)
    assert plain.work_w_per_kg[steady & inside] == pytest.approx(3.62 * 78.0 / 75.0, rel=1e-3)
    assert np.array_equal(laden.work_w_per_kg[~inside], plain.work_w_per_kg[~inside], equal_nan=True)
    assert (laden.load_kg, plain.load_kg) == (15.0, 3.0)
    gone = review_recording(walk, Aim(load_kg=3.0), notes=(note.taken_back(note.created_utc),))
    assert np.array_equal(gone.work_w_per_kg, plain.work_w_per_kg, equal_nan=True)


def test_cold_air_noted_makes_a_ride_harder_by_its_density() -> None:
    """Air resistance is in proportion to density (Martin et al. 1998), density to one over temperature."""
    ride = recording(np.arange(3600.0), elevation=0.0, speed=8.0, sport=Sport.CYCLING)

    def work_w(*temperature_c: float) -> float:
        notes = [new_note(NoteKind.WEATHER, Author.COACH, value=each) for each in temperature_c]
        return float(review_recording(ride, Aim(), notes=notes).work_w_per_kg[1000]) * 75.0

    # Half of density, drag area and speed cubed over the drive's efficiency; 15 degC is the standard air.
    air_w = 0.5 * 1.225 * (0.32 + 0.0044) * 8.0**3 / 0.976
    assert work_w(-20.0) - work_w() == pytest.approx(air_w * (288.15 / 253.15 - 1.0), rel=1e-3)
    assert work_w(35.0) - work_w() == pytest.approx(air_w * (288.15 / 308.15 - 1.0), rel=1e-3)
    assert work_w(15.0) == pytest.approx(work_w(), rel=1e-9)


def test_the_ceiling_is_the_speed_whose_fitted_heart_rate_settles_at_the_upper_edge() -> None:
    review = review_recording(_answering_walk(), AIM)
    ceiling = review.ceiling
    assert ceiling is not None
    known = np.isfinite(ceiling.speed_mps) & (ceiling.grade > 0.03)
    assert known.sum() >= 2
    # Independent way back: the walk was made with 70 + 12 w, so 131 bpm is 61 / 12 W/kg.
    work = foot_w_per_kg(ceiling.speed_mps[known], ceiling.grade[known])
    assert np.allclose(work, 61.0 / 12.0, atol=0.35)
    assert np.all(np.diff(ceiling.speed_mps[known]) < 0)


def _answering_walk() -> Recording:
    """Hills walked at a changing pace; the heart answers 70 + 12 w after a lag of 50 s, without drift."""
    t = np.arange(9000.0)
    speed = 1.1 + 0.3 * np.sin(t / 410.0)
    grade = 0.10 * np.sin(t / 300.0)
    distance = np.concatenate(([0.0], np.cumsum(speed[:-1])))
    height = 700.0 + np.concatenate(([0.0], np.cumsum((speed * grade)[:-1])))
    work = foot_w_per_kg(speed, grade)
    lagged = np.empty_like(work)
    lagged[0] = work[0]
    for i in range(1, work.size):
        lagged[i] = lagged[i - 1] + (work[i - 1] - lagged[i - 1]) * (1 - np.exp(-1 / 50.0))
    return recording(t, hr=lambda _: 70.0 + 12.0 * lagged, elevation=lambda _: height, distance_m=distance)


def test_marks_decided_by_the_user_replace_the_proposed_ones() -> None:
    mark = Mark(1200.0, 1800.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)
    review = review_recording(HIKE, AIM, (mark,))
    assert review.marks == (mark,)
    assert review.account is not None
    assert review.account.no_hr_s == pytest.approx(600.0)


def test_an_answer_never_plans_a_day_longer_than_a_day_out() -> None:
    t = np.arange(7200.0)
    barely = review_recording(recording(t, hr=lambda s: np.where(s < 60, 120.0, 150.0)), AIM)
    assert "go slower" in answer(barely)
    never = review_recording(recording(t, hr=150.0), AIM)
    assert "no length helps" in answer(never)
    deaf = review_recording(recording(t, hr=float("nan")), AIM)
    assert answer(deaf) == "Without heart rate nothing can be counted in band."


@pytest.mark.parametrize("length", [1, 2, 3, 45])
def test_very_short_recordings_are_reviewed(length: int) -> None:
    review = review_recording(recording(np.arange(float(length))), AIM)
    assert review.account is not None
    assert review.account.span_s == length - 1
    assert answer(review)


def every_recording(folder: Path) -> list[tuple[str, Recording]]:
    found, refused = [], set()
    for path in sorted(folder.iterdir()):
        try:
            found += [(path.name, one) for one in read_recordings(path)]
        except UserError:
            refused.add(path.suffix)
    assert refused <= {".md", ".csv", ".json"}, "the folder's own index and notes are no recordings"
    return found


def test_every_real_recording_sums_up_and_has_an_answer(recordings: Path) -> None:
    found = every_recording(recordings)
    assert len({name for name, _ in found}) >= 23
    for name, one in found:
        account = review_recording(one, AIM).account
        assert account is not None
        sides = account.in_band_s + account.above_s + account.below_s + account.no_hr_s
        assert sides + account.pause_s + account.gap_s == pytest.approx(account.span_s, abs=1e-6), name
        assert account.moving_s + account.stop_s == pytest.approx(account.recorded_s, abs=1e-6), name


def test_time_per_zone_is_the_devices_own(recordings: Path) -> None:
    # The devices' own seconds per zone, read from their files with independent readers.
    zones = json.loads((recordings / "device_zone_times.json").read_text(encoding="utf-8"))
    for name, device in zones.items():
        (one,) = read_recordings(recordings / name)
        samples = one.samples
        seconds = counted_time(samples["t_s"], one.pauses).recorded_s
        inner = device["zone_boundaries"]
        zone = np.digitize(samples["hr_bpm"], inner)
        counted = [float(np.sum(seconds[zone == i])) for i in range(len(inner) + 1)]
        assert counted == pytest.approx(device["device_time_in_hr_zone_s"], abs=20.0), name


def test_cleaning_takes_little_from_the_devices_own_zones(recordings: Path) -> None:
    # The same zones as bands, with doubtful heart rate left out: at most the marked time may be missing.
    zones = json.loads((recordings / "device_zone_times.json").read_text(encoding="utf-8"))
    for name, device in zones.items():
        (one,) = read_recordings(recordings / name)
        marked = sum(m.end_s - m.start_s for m in clean(one).marks if m.channel is Channel.HEART_RATE)
        edges, review = device["zone_boundaries"], Stages()
        for i, (low, high) in enumerate(pairwise(edges)):
            account = review(one, Aim(Band(low, high - 1))).account
            assert account is not None
            own = device["device_time_in_hr_zone_s"][i + 1]
            assert own - marked - 20.0 <= account.in_band_s <= own + 20.0, (name, low)
