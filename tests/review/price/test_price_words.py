"""What ground costs and next week, in words: worked by hand from outings made to be simple."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from scipy import stats

from helpers.outings import an_outing
from helpers.pasts import past
from helpers.summaries import outing as summary
from slopebeat.model.bands import Band
from slopebeat.model.evidence import RIDE, RUN, OutingEvidence, PastOuting
from slopebeat.model.people import BandPeriod, Ground, Prescription, session_target_s
from slopebeat.review.price.athlete import plan_week, week_so_far
from slopebeat.review.price.grounds import review_price
from slopebeat.review.price.words import price_sentences

BAND = Band(112, 132)
PERIODS = tuple(BandPeriod("a", ground, date(2026, 1, 1), BAND) for ground in Ground)
DAY = date(2026, 7, 31)
THREE = Prescription("a", date(2026, 1, 1), 135.0, 3)


def taught(*pasts: PastOuting, kind: str = RIDE, sport: str = "cycling") -> list[OutingEvidence]:
    one = an_outing(0.0, 140.0, np.random.default_rng(1))
    return [replace(one, kind=kind, sport=sport, past=each, start_utc=each.start_utc) for each in pasts]


def rides(mean: float = 122.0) -> list[OutingEvidence]:
    """Even rides spread by 6 bpm, less even ones by 14."""
    return taught(
        *(past(mean, 6.0, i, variation=0.2) for i in range(0, 20, 2)),
        *(past(mean, 14.0, i, variation=0.7) for i in range(1, 20, 2)),
    )


def test_the_sentence_for_next_week_names_each_ground_with_its_length_and_the_heart_rate() -> None:
    # By hand, with SciPy's normal distribution and the mean 3.2 bpm off (the middle one of such days): 54 min
    # over the share in 112 to 132 at spreads of 6 and 14 bpm are 61 and 101 min.
    by_hand = [
        54.0 / (stats.norm.cdf(132.5, 125.2, s) - stats.norm.cdf(111.5, 125.2, s)) for s in (6.0, 14.0)
    ]
    week = plan_week(rides(), PERIODS, 54 * 60.0, THREE, DAY)
    assert week.sessions == 1
    (said,) = week.sentences
    found = re.fullmatch(
        r"54 min missing: about 1 h (\d+) min on steady ground or 1 h (\d+) min in stop and go, "
        r"with the heart about 122\.",
        said,
    )
    assert found is not None, said
    assert [60 + int(minutes) for minutes in found.groups()] == pytest.approx(by_hand, abs=5.0)


def test_many_minutes_are_spread_over_prescribed_sessions() -> None:
    week = plan_week(rides(), PERIODS, 135 * 60.0, THREE, DAY)
    assert (week.sessions, week.price.target_s) == (3, 2700.0)
    assert week.sentences[0].startswith("2 h 15 min missing, 3 times 45 min: about 55 min on steady ground")


def test_with_nothing_missing_it_says_so_and_the_price_is_that_of_a_session() -> None:
    week = plan_week(rides(), PERIODS, 0.0, THREE, DAY)
    assert week.sentences == ("Nothing is missing of the prescribed minutes.",)
    assert week.price.target_s == 2700.0


@pytest.mark.parametrize(("mean", "says"), [(165.0, "43 bpm above"), (90.0, "32 bpm under")])
def test_off_the_band_it_says_so_and_gives_no_length(mean: float, says: str) -> None:
    price = review_price(rides(mean), PERIODS, 2700.0, DAY)
    assert all(row.answers.aimed.needed_s is row.answers.as_usual.needed_s is None for row in price.rows)
    (said,) = price_sentences(price)
    assert f"The last 10 outings lay {says} the middle of the band: no length helps" in said
    assert says in plan_week(rides(mean), PERIODS, 3000.0, THREE, DAY).sentences[0]


def test_a_treadmill_is_a_place_of_its_own_and_sports_have_their_own_sentences() -> None:
    indoors = [past(122.0, 5.0, i, on_bike=False, indoors=True, variation=None) for i in range(6)]
    price = review_price(
        [*rides(), *taught(*indoors, kind="treadmill", sport="running")], PERIODS, 2700.0, DAY
    )
    assert [sport.sport for sport in price.sports] == [RUN, RIDE]
    said = price_sentences(price)
    assert said[0].startswith("Running: with the mean kept about 122 bpm, 45 min in band take ")
    assert " indoors. Told from 6 outings; brackets should hold 80 % of next times." in said[0]
    assert said[1].startswith("Riding: ")


def test_outings_after_the_day_and_bands_not_yet_in_force_do_not_count() -> None:
    early = date(2026, 4, 6)
    price = review_price(rides(), PERIODS, 2700.0, early)
    assert price.sports[0].outings == 6
    later = (BandPeriod("a", Ground.BIKE, date(2026, 5, 1), BAND),)
    (sport,) = review_price(rides(), later, 2700.0, early).sports
    assert (sport.band, sport.rows) == (None, ())
    assert "no band is in force" in price_sentences(review_price(rides(), later, 2700.0, early))[0]


def test_without_outings_it_says_so() -> None:
    price = review_price([], PERIODS, 2700.0, DAY)
    assert price_sentences(price) == ("No outing with heart rate yet: what ground costs cannot be told.",)
    assert "no outing yet" in plan_week([], PERIODS, 3000.0, THREE, DAY).sentences[0]


def test_the_week_so_far_counts_monday_to_the_day() -> None:
    # The plain hike of 60 min in band is on Monday 2026-01-05; a second one a week earlier does not count.
    before = summary(start_utc=summary().start_utc.replace(year=2025, month=12, day=29))
    week = week_so_far([summary(), before], THREE, date(2026, 1, 8))
    assert (week.in_band_s, week.prescribed_s, week.missing_s) == (3600.0, 8100.0, 4500.0)
    assert week_so_far([summary()], None, date(2026, 1, 8)).missing_s is None


def test_one_session_is_the_weeks_minutes_over_its_sessions_else_the_default() -> None:
    assert session_target_s(THREE) == 2700.0
    assert session_target_s(replace(THREE, minutes_per_week=180.0)) == 3600.0
    assert session_target_s(replace(THREE, sessions_per_week=None)) == 2700.0
    assert session_target_s(None) == 2700.0
