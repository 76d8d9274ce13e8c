"""How long an outing must last: each told from those before it alone, at bands about the usual mean.

45 min in bands of 20 bpm whose middles lie 12 below to 12 above the athlete's usual mean, the kind of ground
given. Beside the two answers stand the simplest: the athlete's median yield so far, the last outing's, and
"near", the median of those earlier outings that came near the middle of the band. "Mean kept" counts the
outings whose own mean came near it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from outings import Real, middle_of

from slopebeat.analysis.price.next_outing import INTERVAL_LEVEL, Foretelling, Middle, NextOuting
from slopebeat.analysis.price.unevenness import Unevenness, kind_of, variation_of
from slopebeat.model.bands import Band

TARGET_S = 2700.0
HALF_BPM, OFFS_BPM = 10.0, (-12.0, -6.0, 0.0, 6.0, 12.0)
NEAR_BPM = 8.0
"""An outing whose mean came this near the middle of the band counts as one that was aimed there."""

LONGEST_S = 8 * 3600.0


@dataclass(frozen=True)
class Case:
    """One outing at one band; shares 0 to 1, clock in seconds, infinite where the target was not reached."""

    kind: Unevenness
    off_bpm: float
    share: float
    clock_s: float
    lasted_s: float
    usual: NextOuting
    aimed: NextOuting
    median: float
    last: float
    near: float
    """Median yield of those earlier outings whose mean came near this band, of all where none did."""


def cases_of(outings: list[Real]) -> Iterator[Case]:
    """Every outing but the first, at every band."""
    known = [one for one in outings if one.past.has_heart and one.evidence.coverage >= 0.5]
    middle = middle_of(known)
    for number in range(1, len(known)):
        after, before = known[number], [one.past for one in known[:number]]
        for off in OFFS_BPM:
            band = Band(round(middle + off - HALF_BPM), round(middle + off + HALF_BPM))
            edges = (band.lower_bpm, band.upper_bpm)
            answers = Foretelling(before, variation_of(after.past)).answers(band, TARGET_S)
            yields = [one.share_in(*edges) for one in before]
            near = [
                y
                for y, one in zip(yields, before, strict=True)
                if abs(one.mean_bpm - band.middle_bpm) <= NEAR_BPM
            ]
            yield Case(
                kind_of(after.past),
                after.past.mean_bpm - band.middle_bpm,
                after.past.share_in(*edges),
                after.clock_s(*edges, TARGET_S),
                float(after.lasts_s.sum()),
                answers.as_usual,
                answers.aimed,
                float(np.median(yields)),
                yields[-1],
                float(np.median(near or yields)),
            )


def report_price(outings: list[Real]) -> None:
    """Print errors and covers of both answers beside the simplest, all outings and by kind of ground."""
    found = list(cases_of(outings))
    near = [case for case in found if abs(case.off_bpm) <= NEAR_BPM]
    print(
        "  next outing        cases  error of the share, points      80 % holds        "
        "error of the clock, %           clock"
    )
    print(
        "                            ours  median  last  (near)      share  width      "
        "ours  median  last  (near)      holds"
    )
    _row("as usual", found, lambda case: case.usual)
    _row("mean kept", near, lambda case: case.aimed)
    for kind in Unevenness:
        _row(
            f"  kept, {kind.replace('_', ' ')}", [c for c in near if c.kind is kind], lambda case: case.aimed
        )


def _row(name: str, cases: list[Case], answer_of: Callable[[Case], NextOuting]) -> None:
    if not cases:
        return
    answers = [answer_of(case) for case in cases]
    share = np.array([case.share for case in cases])
    told = np.array([one.share for one in answers])
    holds = np.mean((told[:, 1] <= share) & (share <= told[:, 2]))
    simple = [np.array([getattr(case, each) for case in cases]) for each in ("median", "last", "near")]
    errors = [100.0 * np.mean(np.abs(each - share)) for each in (told[:, 0], *simple)]
    clocks, kept = _clocks(cases, answers)
    print(
        f"  {name:<18} {len(cases):4}   {_four(errors)}      {100.0 * holds:3.0f} %  "
        f"{100.0 * np.mean(told[:, 2] - told[:, 1]):3.0f}        {_four(clocks)}      {kept:3.0f} %"
    )


def _clocks(cases: list[Case], answers: list[NextOuting]) -> tuple[list[float], float]:
    """Median errors where a length is given and the target was reached, and how often the interval held.

    Outings that ended before the target was reached count by how likely they would have held, had they gone
    on: to count them as held wherever more was promised than they lasted makes every wide interval look
    honest. Outings shorter than the target tell nothing.
    """
    pairs = [
        (c, a.needed_s)
        for c, a in zip(cases, answers, strict=True)
        if a.needed_s is not None and c.lasted_s >= TARGET_S
    ]
    held = [
        float(n.low <= c.clock_s <= n.high) if np.isfinite(c.clock_s) else _would_hold(n, c.lasted_s)
        for c, n in pairs
    ]
    reached = [(c, n) for c, n in pairs if np.isfinite(c.clock_s)]
    if not reached:
        return [np.nan] * 4, 100.0 * float(np.mean(held)) if held else np.nan
    truth = np.array([c.clock_s for c, _ in reached])
    told = [np.array([n.middle for _, n in reached])]
    for name in ("median", "last", "near"):
        told.append(np.array([TARGET_S / max(getattr(c, name), 1e-3) for c, _ in reached]))
    off = [100.0 * float(np.median(np.abs(np.minimum(t, LONGEST_S) / truth - 1.0))) for t in told]
    return off, 100.0 * float(np.mean(held))


def _would_hold(needed: Middle, lasted_s: float) -> float:
    """Chance that the clock falls inside its interval, given that it is longer than this.

    The chance of each length is drawn as lines through the median and the ends of the interval.
    """
    below, above = 0.5 - 0.5 * INTERVAL_LEVEL, 0.5 + 0.5 * INTERVAL_LEVEL
    ends = [TARGET_S, needed.low, needed.middle, needed.high, max(LONGEST_S, 2.0 * needed.high)]
    gone = float(np.interp(lasted_s, ends, [0.0, below, 0.5, above, 1.0]))
    return 0.0 if gone >= above else (above - max(gone, below)) / (1.0 - gone)


def _four(values: list[float]) -> str:
    ours, median, last, near = values
    return f"{ours:4.1f}    {median:4.1f}  {last:4.1f}  ({near:4.1f})"
