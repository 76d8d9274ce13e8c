"""How long the next outing must last: each told from those before it, at bands about the usual mean."""

from __future__ import annotations

import numpy as np
from outings import Real, middle_of

from slopebeat.analysis.account.next_outing import ENOUGH, NextOuting, next_outing
from slopebeat.model.bands import Band

TARGET_S = 2700.0
HALF_BPM, OFFS_BPM = 10.0, (-12.0, -6.0, 0.0, 6.0, 12.0)
NEAR_BPM = 8.0
"""An outing whose mean came this near the middle of the band counts as one that was aimed there."""


def report_extension(outings: list[Real]) -> None:
    """Print, for both answers, how often the next outing lay inside, and how far apart the ends are."""
    known = [one for one in outings if one.past.has_heart and one.evidence.coverage >= 0.5]
    middle = middle_of(known)
    rows: dict[str, list[tuple[float, ...]]] = {"as usual": [], "mean kept": []}
    for number in range(ENOUGH, len(known)):
        after, before = known[number], [one.past for one in known[:number]]
        for off in OFFS_BPM:
            band = Band(round(middle + off - HALF_BPM), round(middle + off + HALF_BPM))
            answers = next_outing(before, band, TARGET_S)
            rows["as usual"].append(_row(answers.as_usual, after, band))
            if abs(after.past.mean_bpm - middle - off) <= NEAR_BPM:
                rows["mean kept"].append(_row(answers.aimed, after, band))
    for name, found in rows.items():
        share, needed, clock, width = np.array(found).T
        told = np.isfinite(needed)
        print(
            f"  next outing, {name:<9}  n {len(found):3}   share held {_percent(share)}   "
            f"target / share held {_percent(needed[told])}   clock to the target held "
            f"{_percent(clock[np.isfinite(clock)])}   high / low {np.nanmedian(width):.1f}"
        )


def _row(answer: NextOuting, after: Real, band: Band) -> tuple[float, ...]:
    """Whether share, target / share and clock of the outing after lay inside; ratio of the ends."""
    share = after.past.share_in(band.lower_bpm, band.upper_bpm)
    assert answer.share is not None
    held = answer.share.low <= share <= answer.share.high
    if answer.needed_s is None:
        return held, np.nan, np.nan, np.nan
    _, low, high = answer.needed_s
    clock = after.clock_s(band.lower_bpm, band.upper_bpm, TARGET_S)
    lasted = float(after.lasts_s.sum())
    # Never reached: the answer is only known to be wrong where it promised less than the outing lasted.
    open_end = 0.0 if high < lasted else np.nan
    on_clock = float(low <= clock <= high) if np.isfinite(clock) else open_end
    return held, float(low <= TARGET_S / max(share, 1e-3) <= high), on_clock, high / low


def _percent(held: np.ndarray) -> str:
    return f"{100.0 * np.mean(held):3.0f} %"
