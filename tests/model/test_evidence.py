from __future__ import annotations

import json

import numpy as np

from helpers.outings import FIRST_DAY, hilly_walk, taught
from slopebeat.model.codec import decode, encode, to_builtins
from slopebeat.model.evidence import FitEvidence, OutingEvidence, PastOuting


def test_a_record_comes_back_from_json_whole() -> None:
    fit = FitEvidence(
        np.array([131.0, 2.5, 8.0, -4.0, 1.0]),
        np.diag([1.0, 4.0, 0.5, 90.0, 80.0]),
        0.7,
        np.ones(3),
        55.0,
        3.0,
        3600.0,
        True,
    )
    past = PastOuting(FIRST_DAY, False, 4200.0, 4000.0, 0.0, 5e3, None, 120, (60.0, 90.5), None)
    made = taught(3.0, hilly_walk(1), fit=fit, past=past)
    back = decode(json.dumps(to_builtins(made) | {"later": 1}), OutingEvidence)
    assert back.start_utc == made.start_utc
    assert back.past == made.past
    assert back.fit is not None
    np.testing.assert_array_equal(back.fit.covariance, fit.covariance)
    assert back.fit.usable is True
    assert back.sums is not None
    assert made.sums is not None
    np.testing.assert_allclose(back.sums.gram, made.sums.gram, rtol=1e-8)
    np.testing.assert_allclose(back.sums.within, made.sums.within, rtol=1e-3, atol=1e-3)
    assert len(encode(back)) < 5000


def test_an_outing_without_heart_rate_or_work_has_a_record_of_nulls() -> None:
    made = taught(3.0, hilly_walk(1), sums=None, mean_hr_bpm=None)
    back = decode(encode(made), OutingEvidence)
    assert back.sums is None
    assert back.fit is None
    assert back.mean_hr_bpm is None
