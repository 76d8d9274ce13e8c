"""Sets of time ranges, the common currency of pauses, marks, stops and episodes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.numerics import distinct


@dataclass(frozen=True, eq=False)
class Spans:
    """Sorted, non-overlapping half-open ranges ``[start_s, end_s)`` in seconds.

    Build with :meth:`from_pairs` or :meth:`from_mask`; both merge touching and overlapping ranges
    and drop empty ones.

    Attributes
    ----------
    start_s, end_s : float64 arrays of one shape (n,)
    """

    start_s: NDArray[np.float64]
    end_s: NDArray[np.float64]

    @classmethod
    def empty(cls) -> Spans:
        return cls(np.zeros(0), np.zeros(0))

    @classmethod
    def from_pairs(cls, pairs: Iterable[tuple[float, float]]) -> Spans:
        """Merge arbitrary (start, end) pairs; pairs with end <= start are dropped."""
        ordered = sorted((float(a), float(b)) for a, b in pairs if b > a)
        merged: list[list[float]] = []
        for start, end in ordered:
            if merged and start <= merged[-1][1]:
                merged[-1][1] = max(merged[-1][1], end)
            else:
                merged.append([start, end])
        if not merged:
            return cls.empty()
        table = np.array(merged)
        return cls(table[:, 0].copy(), table[:, 1].copy())

    @classmethod
    def from_mask(cls, t_s: ArrayLike, mask: ArrayLike) -> Spans:
        """Ranges of consecutive true samples; sample i covers ``[t_s[i], t_s[i + 1])``.

        The last sample covers nothing: there is no later record to say how long it stood.
        """
        t = np.asarray(t_s, dtype=float)
        flags = np.asarray(mask, dtype=bool)
        if t.size < 2:
            return cls.empty()
        padded = np.concatenate(([False], flags[:-1], [False]))
        edges = np.flatnonzero(padded[1:] != padded[:-1])
        return cls(t[edges[0::2]], t[edges[1::2]])

    def __len__(self) -> int:
        return int(self.start_s.size)

    def __iter__(self) -> Iterator[tuple[float, float]]:
        return iter(zip(self.start_s.tolist(), self.end_s.tolist(), strict=True))

    @property
    def total_s(self) -> float:
        return float(np.sum(self.end_s - self.start_s))

    def _covered_before(self, t: NDArray[np.float64]) -> NDArray[np.float64]:
        """Seconds of these ranges that lie before each time."""
        knots = np.empty(2 * len(self))
        knots[0::2], knots[1::2] = self.start_s, self.end_s
        lengths = np.cumsum(self.end_s - self.start_s)
        values = np.empty(2 * len(self))
        values[0::2], values[1::2] = np.concatenate(([0.0], lengths[:-1])), lengths
        return np.interp(t, knots, values)

    def overlap_s(self, start_s: ArrayLike, end_s: ArrayLike) -> NDArray[np.float64]:
        """Seconds each range ``[start_s[i], end_s[i])`` shares with these ranges."""
        lo = np.atleast_1d(np.asarray(start_s, dtype=float))
        hi = np.atleast_1d(np.asarray(end_s, dtype=float))
        if not len(self):
            return np.zeros(lo.shape)
        return np.asarray(self._covered_before(hi) - self._covered_before(lo))

    def contains(self, t_s: ArrayLike) -> NDArray[np.bool_]:
        """Whether each time lies inside a range (start included, end not)."""
        t = np.asarray(t_s, dtype=float)
        if not len(self):
            return np.zeros(t.shape, dtype=bool)
        index = np.searchsorted(self.start_s, t, side="right") - 1
        return (index >= 0) & (t < self.end_s[np.maximum(index, 0)])

    def within(self, start_s: float, end_s: float) -> Spans:
        """The whole ranges that share time with ``[start_s, end_s)``, found without going through all."""
        first = int(np.searchsorted(self.end_s, start_s, side="right"))
        last = int(np.searchsorted(self.start_s, end_s, side="left"))
        return Spans(self.start_s[first:last], self.end_s[first:last])

    def end_around(self, t_s: float) -> float | None:
        """Where the range that holds a time ends; None where none does."""
        at = int(np.searchsorted(self.start_s, t_s, side="right")) - 1
        return float(self.end_s[at]) if at >= 0 and t_s < self.end_s[at] else None

    def without(self, other: Spans) -> Spans:
        """These ranges with every second of ``other`` cut out."""
        if not len(self) or not len(other):
            return self
        edges = distinct(np.concatenate((self.start_s, self.end_s, other.start_s, other.end_s)))
        middle = (edges[:-1] + edges[1:]) / 2
        keep = self.contains(middle) & ~other.contains(middle)
        return Spans.from_pairs(zip(edges[:-1][keep], edges[1:][keep], strict=True))

    def bridged(self, longest_break_s: float) -> Spans:
        """The same ranges with breaks shorter than ``longest_break_s`` filled in."""
        if len(self) < 2:
            return self
        keep = (self.start_s[1:] - self.end_s[:-1]) >= longest_break_s
        starts = self.start_s[np.concatenate(([True], keep))]
        ends = self.end_s[np.concatenate((keep, [True]))]
        return Spans(starts, ends)

    def at_least(self, shortest_s: float) -> Spans:
        """Only the ranges that last ``shortest_s`` or more."""
        keep = (self.end_s - self.start_s) >= shortest_s
        return Spans(self.start_s[keep], self.end_s[keep])
