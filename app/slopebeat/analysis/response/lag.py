"""First-order lag and the uniform grid it runs on."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def lag_states(u: Array, dt_s: float, tau_s: float, start: float | Array | None = None) -> Array:
    """State of ``tau y' = u - y`` at the start of every step, ``u`` held over each step.

    Parameters
    ----------
    u : (n,) or (n, m) input, finite, one value a step.
    dt_s : length of a step.
    tau_s : time constant, positive.
    start : state at the first step; None = in balance with the first input.

    Returns
    -------
    Array of the shape of ``u``; exact for an input held over each step.
    """
    keep = np.exp(-dt_s / tau_s)
    first = u[0] if start is None else np.broadcast_to(np.asarray(start, float), u[0].shape)
    # scipy.signal takes half of the program's start, so it is only loaded at the first fit.
    from scipy.signal import lfilter

    # y[k+1] = keep y[k] + (1 - keep) u[k]: filtering the input delayed by one step.
    delayed = np.concatenate([np.zeros_like(u[:1]), u[:-1]])
    out, _ = lfilter([1.0 - keep], [1.0, -keep], delayed, axis=0, zi=np.asarray(first)[None] * 1.0)
    return np.asarray(out, float)


def lag_means(u: Array, dt_s: float, tau_s: float, start: float | Array | None = None) -> Array:
    """Mean of the lagged ``u`` over each step (same arguments as :func:`lag_states`)."""
    states = lag_states(u, dt_s, tau_s, start)
    share = tau_s / dt_s * (1.0 - np.exp(-dt_s / tau_s))
    return u + (states - u) * share


def lag_at(u: Array, dt_s: float, tau_s: float, t_s: Array, start: float | Array | None = None) -> Array:
    """Lagged ``u`` at any times ``t_s`` (seconds from the start of the first step)."""
    states = lag_states(u, dt_s, tau_s, start)
    step = np.clip((t_s // dt_s).astype(int), 0, len(u) - 1)
    decay = np.exp(-(t_s - step * dt_s) / tau_s)
    held = u[step]
    return held + (states[step] - held) * (decay if u.ndim == 1 else decay[:, None])


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
    knots = np.column_stack([t_s, t_s + lasts_s]).ravel()
    total = np.cumsum(values * lasts_s)
    cumulated = np.column_stack([total - values * lasts_s, total]).ravel()
    return np.diff(np.interp(edges_s, knots, cumulated))
