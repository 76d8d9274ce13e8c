"""Reference times against published examples."""

from __future__ import annotations

import pytest

from slopebeat.analysis.route.references import din_33466_s, naismith_s, tobler_mps, tobler_s


@pytest.mark.parametrize(
    ("km", "up", "down", "hours"),
    [
        # German and Austrian alpine clubs' trail concept (2009), quoting DIN 33466.
        (8, 900, 0, 4.0),
        (8, 1200, 0, 5.0),
        # Recomputed from the rule.
        (8, 600, 600, 4.2),
        (20, 0, 0, 5.0),
        (3, 0, 1000, 2.375),
    ],
)
def test_din_33466(km: float, up: float, down: float, hours: float) -> None:
    assert din_33466_s(km * 1000, up, down) / 3600 == pytest.approx(hours)


def test_naismith() -> None:
    # 20 km with 1600 m: 4 h + 2 h 40 min by the rule of 1892 in metric.
    assert naismith_s(20_000, 1600) / 3600 == pytest.approx(6 + 40 / 60)


@pytest.mark.parametrize(
    ("degrees_gradient", "kmh"),
    [(-0.58, 0.95), (-0.36, 2.0), (-0.18, 3.86), (-0.05, 6.0), (0.0, 5.04), (0.09, 3.71), (0.36, 1.41)],
)
def test_tobler_reproduces_its_published_table(degrees_gradient: float, kmh: float) -> None:
    # The published table rounds the gradient to two digits, which is worth up to 2 % of speed.
    assert float(tobler_mps(degrees_gradient)) * 3.6 == pytest.approx(kmh, rel=0.02)


def test_tobler_sums_over_stretches() -> None:
    assert tobler_s([1000.0, 500.0], [0.0, float("nan")]) == pytest.approx(1500.0 / (5.0367 / 3.6), rel=1e-4)
