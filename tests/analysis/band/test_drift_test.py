"""An hour at the upper edge answers; anything else says why it cannot."""

from __future__ import annotations

import numpy as np
import pytest

from helpers.recordings import track
from slopebeat.analysis.band.drift_test import DriftTestOutcome, drift_test
from slopebeat.model.bands import Band
from slopebeat.review.words.messages import say, say_all

BAND = Band(112, 131)
T = np.arange(4201.0)
STEADY = np.full(T.shape, 4.6)


def rising(percent: float) -> np.ndarray:
    """Heart rate that rises linearly by a share from minute 10 to the end, its first half near 131 bpm."""
    used = np.clip((T - 600.0) / 3600.0, 0.0, 1.0)
    return 130.0 * (1.0 + percent / 100.0 * used)


# Closed form for a linear rise p at constant output: (p / 2) / (1 + 3 p / 4).
@pytest.mark.parametrize(("rise", "expected"), [(2.0, 0.985), (5.0, 2.410), (11.0, 5.081), (17.0, 7.539)])
def test_a_known_rise_gives_its_closed_form(rise: float, expected: float) -> None:
    found = drift_test(track(T, hr=rising(rise)), STEADY, BAND)
    assert found.percent == pytest.approx(expected, abs=0.01)
    assert not found.reasons
    assert found.outcome is (DriftTestOutcome.UNDER if expected < 5.0 else DriftTestOutcome.OVER)


def test_the_threshold_is_the_users_and_has_no_source() -> None:
    strict = drift_test(track(T, hr=rising(5.0)), STEADY, BAND, threshold_percent=2.0)
    assert strict.outcome is DriftTestOutcome.OVER
    assert "limit of 2 % (that 5 % is little is common practice without a source)" in say_all(
        strict.sentences
    )
    assert strict.near
    assert "repeat the test" in say_all(strict.sentences)
    far = drift_test(track(T, hr=rising(5.0)), STEADY, BAND, threshold_percent=9.0)
    assert not far.near
    assert "repeat" not in say_all(far.sentences)


def test_every_reason_against_a_test_is_given_beside_the_figure() -> None:
    hilly = np.where((T // 300) % 2 == 0, 0.08, -0.08)
    work = STEADY * np.where((T // 300) % 2 == 0, 1.5, 0.5)
    standing = (T > 1000) & (T < 1400)
    found = drift_test(track(T, hr=150.0, grade=hilly, moving=~standing), work, BAND)
    assert found.outcome is DriftTestOutcome.NOT_A_TEST
    assert found.percent is not None
    starts = [say(reason).split(":")[0] for reason in found.reasons]
    assert starts == ["Not level or not even", "Interrupted", "Not steady", "Not at the edge"]
    assert all(reason in found.sentences for reason in found.reasons)


@pytest.mark.parametrize(
    ("ground", "work", "words"),
    [
        (track(T[:2400], hr=131.0), STEADY[:2400], "Too short: 30 min"),
        (track(T, hr=118.0), STEADY, "13 under the upper edge of 131 bpm"),
        (track(T, hr=140.0), STEADY, "9 over the upper edge"),
        (track(T, hr=131.0, grade=0.05), STEADY, "Not level"),
        (track(T, hr=131.0), STEADY * np.linspace(0.9, 1.1, T.size), "9 % more work"),
        (track(T, hr=131.0), STEADY * np.where((T // 300) % 2, 0.85, 1.15), "Not steady"),
        (track(T, hr=131.0, moving=T % 10 != 0), STEADY, "10 % of the time was spent standing"),
        (track(T, hr=np.nan), STEADY, "No moving time with heart rate"),
    ],
)
def test_what_is_no_test_says_why(ground: object, work: np.ndarray, words: str) -> None:
    found = drift_test(ground, work, BAND)  # type: ignore[arg-type]
    assert found.outcome is DriftTestOutcome.NOT_A_TEST
    assert words in say_all(found.sentences)
