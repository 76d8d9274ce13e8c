"""Where a moment lies along the charts: on time itself, or on the distance covered by then."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.model.track import Array


@dataclass(frozen=True, eq=False)
class XScale:
    """Seconds to chart x and back; x is seconds, or metres when ``distance_m`` is given.

    Attributes
    ----------
    t_s : (n,) strictly rising. distance_m : (n,) never falling, or None.
    """

    t_s: Array
    distance_m: Array | None = None

    @property
    def along_distance(self) -> bool:
        return self.distance_m is not None

    def to_x(self, t_s: Array | float) -> Array:
        if self.distance_m is None:
            return np.asarray(t_s, dtype=float)
        return np.asarray(np.interp(t_s, self.t_s, self.distance_m))

    def to_seconds(self, x: float, *, last: bool = False) -> float:
        """The moment at ``x``; where the outing stood still, its first or ``last`` moment there."""
        if self.distance_m is None:
            return float(x)
        d, n = self.distance_m, self.t_s.size
        i = int(np.searchsorted(d, x, side="right" if last else "left"))
        if i <= 0:
            return float(self.t_s[0])
        if i >= n:
            return float(self.t_s[-1])
        run = d[i] - d[i - 1]
        part = (x - d[i - 1]) / run if run > 0 else 0.0
        return float(self.t_s[i - 1] + part * (self.t_s[i] - self.t_s[i - 1]))
