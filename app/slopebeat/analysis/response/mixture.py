"""What an outing says of its response: Gaussian answers, one for each kinetics and error, mixed.

Coefficients, in this order: heart rate at the mean time and mean inputs (bpm), drift (bpm/s), then beats per
unit of work (W/kg), climbing and sinking speed (m/s), and of the slow part of the answer to work.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.model.numerics import REACH_95
from slopebeat.model.track import Array

COEFFICIENTS = 6


@dataclass(frozen=True, eq=False)
class Mixture:
    """``k`` answers, each a Gaussian over the six coefficients.

    Attributes
    ----------
    weight : (k,) how well each explains the recording; sums to 1.
    tau_s, delay_s : (k,) time constant and delay of each.
    beta : (k, 6); covariance : (k, 6, 6).
    centre_t_s : mean time. centre : (k, 4) mean of each answer's lagged inputs and slow part.
    doubt_percent : what the scatter cannot show, a standard deviation in points of decoupling.
    """

    weight: Array
    tau_s: Array
    delay_s: Array
    beta: Array
    covariance: Array
    centre_t_s: float
    centre: Array
    doubt_percent: float = 0.0

    @property
    def mean(self) -> Array:
        """(6,) mean coefficients."""
        return self.weight @ self.beta

    @property
    def mean_centre(self) -> Array:
        """(4,) mean inputs."""
        return self.weight @ self.centre

    @property
    def mean_tau_s(self) -> float:
        return float(self.weight @ self.tau_s)

    @property
    def mean_delay_s(self) -> float:
        return float(self.weight @ self.delay_s)

    @property
    def total_covariance(self) -> Array:
        """(6, 6) covariance within and between the answers."""
        apart = self.beta - self.mean
        within = np.einsum("k,kij->ij", self.weight, self.covariance)
        return np.asarray(within + np.einsum("k,ki,kj->ij", self.weight, apart, apart))

    def spread(self, values: Array, gradients: Array) -> tuple[float, float]:
        """Mean and standard deviation of a smooth function: its (k,) values and (k, 6) gradients."""
        inside = np.einsum("ki,kij,kj->k", gradients, self.covariance, gradients)
        mean = float(self.weight @ values)
        return mean, float(np.sqrt(self.weight @ (inside + (values - mean) ** 2)))

    def interval(self, values: Array, gradients: Array, doubt: float = 0.0) -> tuple[float, float]:
        """95 % interval of such a function, ``doubt`` added in quadrature to its standard deviation."""
        mean, deviation = self.spread(values, gradients)
        reach = REACH_95 * float(np.hypot(deviation, doubt))
        return mean - reach, mean + reach
