"""How far the program's rows miss a known drift in worlds that do not share its assumptions.

Run by hand: ``PYTHONPATH=app python tests/benchmarks/life_like [outings per terrain] [first number]
[world]``.
Hearts answer in two parts and late, drifts bend, ground costs otherwise than the curve says, wind and load
are not recorded, sensors fail, people rest. Each outing is reviewed as a file would be.
"""

from __future__ import annotations

import os
import sys
from collections import Counter
from itertools import product

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from causes import causes_row
from ceilings import ceiling_rows
from held import held_row
from rows import Row, reviewed, row_of
from worlds import SPORTS, TERRAINS, WORLDS

HEAD = (
    f"{'':20s}|{'speed':>7s} {'work':>6s} |{'fair':>6s} {'bias':>6s} {'cover':>6s} {'width':>6s}"
    f" |{'raw':>6s} {'cover':>6s} {'width':>6s} |{'drift':>6s} | left | tau + delay (true tau), verdicts"
)


def main(outings: int, first: int, worlds: list[str]) -> None:
    """One line for each sport and terrain, then the whole world."""
    os.nice(15)
    print("RMSE in points of the row on speed, on work, terrain-fair, raw; cover (%) and width of 95 %")
    print("intervals; RMSE of the drift in bpm/h; median of what half-minutes are off the fit, bpm.")
    for world in worlds:
        print(f"\n{world}: {WORLDS[world]}\n{HEAD}")
        everything: list[Row] = []
        covers, named, held, again = [], [], [], []
        for sport, terrain in product(SPORTS, TERRAINS):
            numbers = range(first, first + outings)
            pairs = [reviewed(world, sport, terrain, number) for number in numbers]
            rows = [row_of(*pair) for pair in pairs]
            named += [causes_row(*pair) for pair in pairs]
            held += [row for pair in pairs for row in ceiling_rows(*pair)]
            again += [row for row in (held_row(*pair) for pair in pairs) if row is not None]
            print(line(f"{sport} {terrain}", rows), flush=True)
            everything += rows
            covers.append((cover([row.fair_interval for row in rows]), f"{sport} {terrain}"))
        for sport in range(3):
            part = len(everything) // 3
            print(line(f"all {SPORTS[sport]}", everything[sport * part : (sport + 1) * part]))
        right, alike, drift = np.nanmean(named, axis=0)
        print(f"causes: {right:.0f} % of seconds named rightly, {alike:.0f} % with like ones merged;")
        holds, off = np.array(held).T
        print(f"speed to hold on {len(held)} grades: the interval holds {100 * np.mean(holds):.0f} %,")
        print(f"median error {np.nanmedian(np.abs(off)):.1f} %, bias {np.nanmedian(off):+.1f} %")
        off, simplest, inside, _ = np.array(again).T
        off_by, left = np.sqrt(np.mean(off**2)), np.sqrt(np.mean(simplest**2))
        print(f"climbs held, {len(again)} outings: in-band share off by {off_by:.1f} points")
        print(f"(left as it was {left:.1f}); the 80 % interval holds {100 * inside.mean():.0f} %;")
        print(f"the share named drift is {drift:.1f} points off on the mean")
        print(line("all", everything), f"\nworst terrain: {min(covers)[1]} {min(covers)[0]:.0f} %")


def line(name: str, rows: list[Row]) -> str:
    """All figures of some outings."""
    fair, raw = [row.fair_interval for row in rows], [row.raw_interval for row in rows]
    verdicts = ", ".join(f"{status} {n}" for status, n in Counter(row.status for row in rows).items())
    tau, delay, true = (
        np.nanmean([getattr(row, key) for row in rows]) for key in ("tau_s", "delay_s", "true_tau_s")
    )
    return (
        f"{name:20s}|{rmse(rows, 'pace'):7.2f} {rmse(rows, 'work'):6.2f} |{rmse(rows, 'fair'):6.2f}"
        f" {np.nanmean([row.fair for row in rows]):+6.2f} {cover(fair):6.1f} {width(fair):6.2f}"
        f" |{rmse(rows, 'raw'):6.2f} {cover(raw):6.1f} {width(raw):6.2f} |{rmse(rows, 'drift'):6.2f}"
        f" | {np.nanmedian([row.rms for row in rows]):4.1f}"
        f" | {tau:.0f} + {delay:.0f} ({true:.0f}), {verdicts}"
    )


def rmse(rows: list[Row], key: str) -> float:
    return float(np.sqrt(np.nanmean([getattr(row, key) ** 2 for row in rows])))


def cover(ends: list[tuple[float, float]]) -> float:
    """Share of the intervals given that hold the truth, %."""
    low, high = np.array(ends).T
    given = ~np.isnan(low)
    return float(100.0 * np.mean((low <= 0.0)[given] & (high >= 0.0)[given])) if given.any() else np.nan


def width(ends: list[tuple[float, float]]) -> float:
    low, high = np.array(ends).T
    return float(np.nanmean(high - low))


if __name__ == "__main__":
    given = sys.argv[1:]
    main(
        int(given[0]) if given else 4,
        int(given[1]) if len(given) > 1 else 0,
        given[2:] or list(WORLDS),
    )
