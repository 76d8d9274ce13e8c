"""The drift all parts of a day share, against a least-squares fit of everything at once."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from helpers.checks import not_none
from helpers.responses import DRIFT, track_of, true_hr, work_at
from slopebeat.analysis.day.drift import DriftPoints, PartDrift, common_drift, day_drift, find_bend
from slopebeat.analysis.response.fit import fit_response
from slopebeat.model.track import Array

SIGMA = 3.0


def own_design(count: int, rng: np.random.Generator) -> tuple[Array, Array]:
    """Hours, and level and two slopes of one part."""
    hours = np.sort(rng.uniform(0.0, 3.0, count))
    return hours, np.column_stack([np.ones(count), rng.normal(0.0, 1.0, (count, 2))])


def test_mean_of_the_parts_is_the_fit_of_all_at_once() -> None:
    """scipy fits all parts together, each with its level and slopes, all with one drift."""
    rng = np.random.default_rng(3)
    designs = [own_design(count, rng) for count in (40, 90, 60)]
    heart = [
        own @ rng.normal(50.0, 20.0, 3) + 2.5 * hours + rng.normal(0.0, SIGMA, hours.size)
        for hours, own in designs
    ]
    drifts = []
    for (hours, own), values in zip(designs, heart, strict=True):
        whole = np.column_stack([hours, own])
        covariance = SIGMA**2 * np.linalg.inv(whole.T @ whole)
        drifts.append(PartDrift(float(lsq_linear(whole, values).x[0]), float(np.sqrt(covariance[0, 0]))))
    rows = sum(hours.size for hours, _ in designs)
    joint, at = np.zeros((rows, 1 + 3 * len(designs))), 0
    for number, (hours, own) in enumerate(designs):
        here = slice(at, at + hours.size)
        joint[here, 0], joint[here, 1 + 3 * number : 4 + 3 * number] = hours, own
        at += hours.size
    expected = lsq_linear(joint, np.concatenate(heart)).x[0]
    covariance = SIGMA**2 * np.linalg.inv(joint.T @ joint)
    mean, sd, disagree = common_drift(drifts)
    assert not disagree
    assert mean == pytest.approx(expected)
    assert sd == pytest.approx(np.sqrt(covariance[0, 0]))


def test_parts_that_disagree_widen_the_interval() -> None:
    """By the ratio of Birge 1932, by hand: weights 1 and 1, mean 3, chi squared 18 over 1."""
    mean, sd, disagree = common_drift([PartDrift(0.0, 1.0), PartDrift(6.0, 1.0)])
    assert disagree
    assert mean == pytest.approx(3.0)
    assert sd == pytest.approx(np.sqrt(0.5 * 18.0))


def test_a_known_drift_is_found_over_two_parts() -> None:
    """The second part has another level; its heart rate comes from an adaptive solver."""
    t = np.arange(5400.0)
    rng = np.random.default_rng(1)
    tracks = [track_of(t, true_hr(t) + level + rng.normal(0.0, 1.5, t.size)) for level in (0.0, 20.0)]
    responses = [fit_response(each, work_at(t + 0.5)) for each in tracks]
    found = day_drift(tracks, responses, [0.0, 7200.0])
    low, high = not_none(found.interval_bpm_per_h)
    assert low < DRIFT < high
    assert high - low < 6.0
    alone = day_drift(tracks[:1], responses[:1], [0.0])
    assert high - low < np.ptp(not_none(alone.interval_bpm_per_h))
    assert abs(np.average(found.points.off_bpm[found.points.part == 1])) < 1.0
    assert found.points.hours.min() > 1 / 6
    assert found.points.hours.max() == pytest.approx(3.5, abs=0.2)


def test_without_a_fit_nothing_is_said() -> None:
    t = np.arange(1200.0)
    tracks = [track_of(t, np.full(t.size, np.nan))]
    found = day_drift(tracks, [fit_response(each, work_at(t)) for each in tracks], [0.0])
    assert (found.bpm_per_h, found.interval_bpm_per_h, found.parts) == (None, None, (None,))
    assert found.points.hours.size == 0


def blocks(bend_bpm: float, rng: np.random.Generator, count: int = 60) -> DriftPoints:
    """Ten-minute means of a long day, neighbours alike (0.4), with a bend of so much at its middle."""
    hours = np.arange(count) / 6.0
    noise = rng.normal(0.0, 2.5, count)
    for i in range(1, count):
        noise[i] = 0.4 * noise[i - 1] + np.sqrt(1 - 0.4**2) * noise[i]
    x = (hours - hours.mean()) / (0.5 * np.ptp(hours))
    part = (hours > 4.0).astype(np.intp)
    return DriftPoints(hours, 1.0 * hours - bend_bpm * x**2 + noise, part, np.full(count, 600.0))


def test_bends_are_seen_and_seldom_imagined() -> None:
    rng = np.random.default_rng(7)
    imagined = sum(find_bend(blocks(0.0, rng)) is not None for _ in range(300))
    assert imagined <= 0.03 * 300
    seen = [find_bend(blocks(12.0, rng)) for _ in range(60)]
    assert sum(each is not None for each in seen) >= 0.8 * 60
    # By hand: over 4.92 h either way the parabola adds -+ 12 bpm of slope per half.
    early = np.mean([each.early_bpm_per_h for each in seen if each])
    late = np.mean([each.late_bpm_per_h for each in seen if each])
    assert early == pytest.approx(1.0 + 12.0 / 4.92, abs=1.2)
    assert late == pytest.approx(1.0 - 12.0 / 4.92, abs=1.2)


def test_few_blocks_show_no_bend() -> None:
    assert find_bend(blocks(30.0, np.random.default_rng(0), 11)) is None
