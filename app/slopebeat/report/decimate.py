"""Fewer points for the same picture: nothing a column of the picture shows is lost."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def runs(x: Array, y: Array, column: float) -> tuple[Array, ...]:
    """The unbroken runs of a line, each (m, 2), with at most four points per column of the picture.

    Of each column the first, lowest, highest and last point of a run stay: between its columns the line
    drawn is the line through all points, and inside a column it covers the same height (Jugel 2014, M4,
    doi:10.14778/2732951.2732953).

    Parameters
    ----------
    x : (n,) places, not falling. y : (n,) values; a NaN breaks the line.
    column : width of a column in the units of x.
    """
    known = np.isfinite(x) & np.isfinite(y)
    index = np.flatnonzero(known)
    if index.size == 0:
        return ()
    run = np.cumsum(np.concatenate(([0], np.diff(index) > 1)))
    xs, ys = x[index], y[index]
    cell = np.floor(xs / column).astype(np.int64)
    new = np.concatenate(([True], (np.diff(cell) != 0) | (np.diff(run) != 0)))
    group = np.cumsum(new) - 1
    first = np.flatnonzero(new)
    last = np.append(first[1:], group.size) - 1
    by_height = np.lexsort((ys, group))
    keep = np.unique(np.concatenate((first, last, by_height[first], by_height[last])))
    points = np.column_stack((xs[keep], ys[keep]))
    cuts = np.flatnonzero(np.diff(run[keep])) + 1
    return tuple(np.split(points, cuts))
