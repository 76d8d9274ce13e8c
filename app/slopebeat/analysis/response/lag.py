"""First-order lag and the uniform grid it runs on."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from slopebeat.model.track import Array

MOST_MEMORIES = 10.0
"""Time constants one running sum may span: e^10 costs four of the sixteen digits."""


def lag_states(u: Array, dt_s: float, tau_s: ArrayLike, start: float | Array | None = None) -> Array:
    """State of ``tau y' = u - y`` at the start of every step, ``u`` held over each step.

    Parameters
    ----------
    u : (n,) or (n, m) input, finite, one value a step.
    dt_s : length of a step.
    tau_s : time constant, positive; or (m,) one for each column.
    start : state at the first step; None = in balance with the first input.

    Returns
    -------
    Array of the shape of ``u``; exact for an input held over each step.
    """
    columns = u.reshape(len(u), -1)
    first = columns[0] if start is None else np.broadcast_to(np.asarray(start, float), columns[0].shape)
    keep = np.exp(-dt_s / np.asarray(tau_s, dtype=float))
    # y[k+1] = keep y[k] + (1 - keep) u[k]. Over a stretch of steps that is a running sum of u scaled by
    # keep^-k, which stays within float64 as long as the stretch is no longer than MOST_MEMORIES.
    length = max(min(int(MOST_MEMORIES * float(np.min(tau_s)) / dt_s), len(u)), 1)
    powers = keep ** np.arange(length + 1.0)[:, None]
    stretches = -(-len(u) // length)
    inner = np.zeros((stretches, length, columns.shape[1]))
    inner.reshape(-1, columns.shape[1])[: len(u)] = columns
    inner /= powers[1:]
    np.cumsum(inner, axis=1, out=inner)
    inner *= 1.0 - keep
    begins = np.empty((stretches, columns.shape[1]))
    for stretch, end in enumerate(inner[:, -1]):
        begins[stretch] = first
        first = powers[length] * (first + end)
    inner += begins[:, None]
    out = np.empty(inner.shape)
    out[:, 0] = begins
    np.multiply(powers[1:length], inner[:, :-1], out=out[:, 1:])
    return out.reshape(-1, columns.shape[1])[: len(u)].reshape(u.shape)


def lag_means(u: Array, dt_s: float, tau_s: ArrayLike) -> Array:
    """Mean of the lagged ``u`` over each step (arguments as of :func:`lag_states`)."""
    means, tau = lag_states(u, dt_s, tau_s), np.asarray(tau_s, dtype=float)
    means -= u
    means *= tau / dt_s * (1.0 - np.exp(-dt_s / tau))
    means += u
    return means


def lag_at(u: Array, dt_s: float, tau_s: float, t_s: Array, start: float | Array | None = None) -> Array:
    """Lagged ``u`` at any times ``t_s`` (seconds from the start of the first step)."""
    states = lag_states(u, dt_s, tau_s, start)
    step = np.clip((t_s // dt_s).astype(int), 0, len(u) - 1)
    decay = np.exp(-(t_s - step * dt_s) / tau_s)
    held = u[step]
    return np.asarray(held + (states[step] - held) * (decay if u.ndim == 1 else decay[:, None]))


def delayed(steps: Array, count: int) -> Array:
    """(n, ...) the values ``count`` steps later; what came before the first is as the first."""
    if count == 0:
        return steps
    return np.asarray(np.concatenate([np.repeat(steps[:1], count, axis=0), steps])[: len(steps)])


def held_integral(t_s: Array, lasts_s: Array, values: Array, edges_s: Array) -> Array:
    """Integral of a held signal over each step between ``edges_s``.

    Parameters
    ----------
    t_s, lasts_s : (n,) start of each sample and the seconds its value holds; nothing is counted
        between ``t_s + lasts_s`` and the next sample.
    values : (n,) finite values (weight a value by zero to leave it out).
    edges_s : (m + 1,) rising.

    Returns
    -------
    (m,) integral, unit of ``values`` times seconds.
    """
    knots, cumulated = np.empty((2, t_s.size, 2))
    knots[:, 0], knots[:, 1] = t_s, t_s + lasts_s
    held = values * lasts_s
    total = np.cumsum(held)
    cumulated[:, 0], cumulated[:, 1] = total - held, total
    return np.diff(np.interp(edges_s, knots.ravel(), cumulated.ravel()))
