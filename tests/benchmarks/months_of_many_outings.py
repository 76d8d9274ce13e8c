"""Time of the months of 10,000 outings; run with ``PYTHONPATH=app:tests``."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta

import numpy as np

from slopebeat.review.months import review_months
from summaries import outing

LIMIT_S = 0.3


def main() -> None:
    rng = np.random.default_rng(0)
    start = datetime(2006, 1, 2, 8, tzinfo=UTC)
    rows = [
        outing(
            start_utc=start + timedelta(days=0.73 * i),
            on_bike=i % 3 == 0,
            steep_share=float(rng.uniform()),
            terrain_fair_percent=float(rng.normal(4, 3)),
            mid_band_speed_mps=float(rng.normal(1.4, 0.1)),
            yield_share=float(rng.uniform()),
        )
        for i in range(10_000)
    ]
    times = []
    for _ in range(5):
        before = time.perf_counter()
        review_months(rows, 120, 3)
        times.append(time.perf_counter() - before)
    print(f"10,000 outings: {min(times):.3f} s, {min(times) / LIMIT_S:.2f} of the limit of {LIMIT_S} s")


if __name__ == "__main__":
    main()
