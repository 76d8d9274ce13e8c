"""A day in parts, reviewed as one outing; the triathlon is a real file of five activities."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from helpers.checks import not_none
from helpers.recordings import recording
from slopebeat.analysis.day.parts import days_of
from slopebeat.command.together import day_values
from slopebeat.files.reading import read
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.review.day.day import Day, ends_of, review_day
from slopebeat.review.day.rows import day_parts_of
from slopebeat.review.day.words import day_answer, day_sums, drift_sentences
from slopebeat.review.outing import review_recording

RECORDINGS = Path(__file__).parents[3].parent / "shared" / "recordings"
AIM = Aim(Band(120, 150))


def heart(t: np.ndarray) -> np.ndarray:
    return np.round(125.0 + 8.0 * np.sin(t / 200.0) + 0.7 * np.sin(t / 9.0))


HIKE = recording(np.arange(1800.0), hr=heart)


def later(one: Recording, minutes: float) -> Recording:
    return replace(one, start_utc=one.start_utc + timedelta(minutes=minutes))


@pytest.fixture(scope="module")
def hike() -> Day:
    """Two parts of half an hour with ten minutes between, given in the wrong order."""
    return review_day([review_recording(each, AIM) for each in (later(HIKE, 40), HIKE)])


def test_the_parts_and_the_time_between_are_the_span(hike: Day) -> None:
    one = not_none(review_recording(HIKE, AIM).account)
    account = not_none(hike.account)
    assert hike.start_s == (0.0, 2400.0)
    assert hike.between_s == (601.0,)
    assert account.parts.in_band_s == pytest.approx(2 * one.in_band_s)
    assert account.span_s == hike.span_s == 2400.0 + 1799.0
    assert sum(each.seconds for each in day_parts_of(hike)) == pytest.approx(hike.span_s)
    assert day_sums(hike).endswith("0:10:01 between parts = 1:09:59")


def test_the_target_is_the_days(hike: Day) -> None:
    in_band = not_none(hike.account).parts.in_band_s
    assert not_none(hike.extension).missing_s == pytest.approx(max(AIM.target_s - in_band, 0.0))
    assert day_answer(hike)[0]


def test_what_was_recorded_twice_is_refused() -> None:
    with pytest.raises(UserError, match="at the same time"):
        review_day([review_recording(each, AIM) for each in (HIKE, later(HIKE, 20))])


def test_json_holds_the_whole_and_every_part(hike: Day) -> None:
    values = json.loads(json.dumps(day_values(hike), allow_nan=False))
    assert values["day"]["between_s"] == [601.0]
    assert values["day"]["in_band_s"] == pytest.approx(sum(each["in_band_s"] for each in values["parts"]))
    assert [each["in_day"]["start_s"] for each in values["parts"]] == [0.0, 2400.0]


def test_a_part_without_a_band_leaves_the_day_uncounted() -> None:
    day = review_day([review_recording(HIKE, AIM), review_recording(later(HIKE, 40), Aim())])
    assert day.account is None
    assert day_parts_of(day) == []
    assert "every part" in day_answer(day)[0]


@pytest.mark.skipif(not RECORDINGS.is_dir(), reason="no real recordings beside the project")
def test_a_real_triathlon_is_one_outing() -> None:
    """Its five activities begin 1 to 3 s after one another, by the file's own times."""
    found = read(RECORDINGS / "chained_triathlon.fit").recordings
    assert days_of([ends_of(each) for each in found]) == ((0, 1, 2, 3, 4),)
    day = review_day([review_recording(each, AIM) for each in found])
    assert sum(day.between_s) == 8.0
    assert day.span_s == 2 * 3600.0 + 38 * 60.0 + 11.0
    assert not_none(day.account).span_s == day.span_s
    fitted = [number for number, each in enumerate(day.drift.parts, 1) if each is not None]
    if len(fitted) == 1:
        assert re.search(rf"part {fitted[0]}\b", drift_sentences(day.drift)[0])
