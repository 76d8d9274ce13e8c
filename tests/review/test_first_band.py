"""A first band says what it was made of, how far it may be off, and never calls a peak a maximum."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from helpers.libraries import FIRST, keep
from helpers.recordings import recording
from helpers.summaries import outing
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.people import Aim, Athlete, BandPeriod, Ground
from slopebeat.model.recording import Sport
from slopebeat.review.bands import back_to_first, exchange
from slopebeat.review.evidence import evidence_of
from slopebeat.review.first_band import (
    band_from_today,
    from_age,
    from_seen,
    highest_kept,
    highest_trusted,
)
from slopebeat.review.outing import review_recording
from slopebeat.review.summary import COMPUTATION_VERSION


def test_shares_of_what_was_seen_are_rounded_outward_and_called_what_they_are() -> None:
    # 60-70 % of 187 bpm are 112.2-130.9 bpm, by hand.
    found = from_seen(187)
    assert (found.band.lower_bpm, found.band.upper_bpm) == (112, 131)
    assert "no maximum reached" in found.reason


def test_a_peak_far_under_what_age_says_is_not_to_be_relied_on() -> None:
    # Tanaka, Monahan and Seals 2001 (J Am Coll Cardiol 37:153): 208 - 0.7 * 40 = 180 bpm; less 12, the
    # error cited in Gellish 2007 (Med Sci Sports Exerc 39:822), is 168.
    assert "do not rely" in from_seen(167, 40).reason
    assert "do not rely" not in from_seen(168, 40).reason


def test_by_age_the_error_and_the_bands_at_its_ends_are_said() -> None:
    # As above: 180 bpm, so 108-126; at its ends 168 gives 100.8-117.6 and 192 gives 115.2-134.4.
    found = from_age(40)
    assert (found.band.lower_bpm, found.band.upper_bpm, found.hr_max_bpm) == (108, 126, 180)
    for text in ("10-12 bpm", "100-118 bpm", "115-135 bpm"):
        assert text in found.reason
    with pytest.raises(UserError):
        from_age(7)


def test_marked_heart_rate_is_no_maximum() -> None:
    t = np.arange(3600.0)
    spiked = recording(
        t, hr=lambda s: np.where((s > 1000) & (s < 1003), 215.0, 130.0 + 10.0 * np.sin(s / 90))
    )
    assert highest_trusted(review_recording(spiked, Aim())) == 140
    assert highest_trusted(review_recording(recording(t, hr=float("nan")), Aim())) is None


def test_a_typed_band_is_offered_from_today_unless_it_is_in_force() -> None:
    walked = review_recording(recording(np.arange(1800.0), sport=Sport.HIKING), Aim(Band(112, 131)))
    someone, today = Athlete("a" * 36, "Hut warden"), date(2031, 5, 4)
    found = band_from_today(someone, (), walked, today)
    assert found == BandPeriod(someone.identity, Ground.FOOT, today, Band(112, 131))
    earlier = BandPeriod(someone.identity, Ground.FOOT, date(2031, 1, 1), Band(112, 131))
    assert band_from_today(someone, (earlier,), walked, today) is None
    since = BandPeriod(someone.identity, Ground.FOOT, date(2031, 3, 1), Band(110, 131))
    on_a_bike = BandPeriod(someone.identity, Ground.BIKE, date(2031, 4, 1), Band(112, 131))
    assert band_from_today(someone, (earlier, since, on_a_bike), walked, today) is not None


def falling_from(peak: float) -> Callable[[np.ndarray], np.ndarray]:
    return lambda s: peak - 20.0 * (s % 600.0) / 600.0


def test_the_highest_of_all_kept_outings_is_taken_and_how_many_they_are_is_said() -> None:
    t = np.arange(3600.0)
    reviews = [review_recording(recording(t, hr=falling_from(peak)), Aim()) for peak in (151.0, 173.0, 164.0)]
    # A recording without heart rate says nothing of the heart, and one not reviewed yet is passed over.
    silent = review_recording(recording(t, hr=float("nan")), Aim())
    taught = [evidence_of(each) for each in (*reviews, silent)]
    assert highest_kept([*taught, None]) == (173, 3)
    assert highest_kept([None]) is None
    found = from_seen(173, None, 3)
    assert "of 3 outings is 173 bpm" in found.reason
    # 60-70 % of 173 bpm are 103.8-121.1 bpm, by hand.
    assert (found.band.lower_bpm, found.band.upper_bpm) == (103, 122)
    assert "of this outing is 173 bpm" in from_seen(173).reason


def test_the_first_band_reaches_back_to_the_first_outing_in_one_step(tmp_path: Path) -> None:
    with Library.create(tmp_path / "library.sqlite3") as library:
        who = library.athletes.add(Athlete(new_identity(), "Hut warden"))
        keep(library, who.identity, [outing(start_utc=FIRST + timedelta(days=7 * at)) for at in range(4)])
        foot = BandPeriod(who.identity, Ground.FOOT, date(2026, 1, 20), Band(112, 131))
        later = replace(foot, from_day=date(2026, 3, 1), band=Band(115, 134))
        bike = replace(foot, ground=Ground.BIKE)
        for each in (foot, later, bike):
            library.bands.put(each)
        # A later band, or one on ground never gone, has nothing to reach back to.
        assert back_to_first(library, later) is None
        assert back_to_first(library, bike) is None
        # Reviewed without any band; one of the four is later than the first.
        assert len(library.stale_outings(COMPUTATION_VERSION)) == 1
        moved = replace(foot, from_day=date(2026, 1, 5))
        assert back_to_first(library, foot) == moved
        exchange(library, [foot], [moved])
        assert len(library.stale_outings(COMPUTATION_VERSION)) == 4
        assert set(library.bands.of(who.identity)) == {moved, later, bike}
        assert back_to_first(library, moved) is None
        day = library.inputs(who.identity).aim(Ground.FOOT, date(2026, 1, 5))
        assert day.band == foot.band
