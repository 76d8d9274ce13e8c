"""How far the three decoupling rows miss a known drift, and how often row 3's interval holds it.

Run by hand: ``PYTHONPATH=app python tests/benchmarks/drift_study [outings per terrain]``.
"""

from __future__ import annotations

import os
import sys
from collections import Counter
from itertools import product
from multiprocessing import Pool
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from rows import Row, study_one
from simulator import TERRAINS, Setting

FIRST_SEED = 50000  # seeds the fit was never tuned on
FAMILIES: dict[str, dict[str, Any]] = {
    "as recorded: sensor noise, slow wander, a cost curve that is wrong for this person": {},
    "harder: ground underfoot changes the cost by 3 %, open wind of 1 m/s nobody recorded": {
        "cost_wander": 0.03,
        "wind_mps": 1.0,
    },
    "calmer: the slow wander of the heart rate halved": {"wander_bpm": (0.25, 0.75)},
}


def main(outings: int) -> None:
    """Print one line per terrain and way of moving, for each family of outings."""
    print("errors in percentage points against the true decoupling; cover and width of row 3's 95 % interval")
    with Pool(2) as pool:
        for title, knobs in FAMILIES.items():
            print(f"\n{title}")
            print(
                f"{'':20s} {'pace:HR':>16s} {'work:HR':>16s} {'terrain-fair':>16s}"
                f" {'cover':>7s} {'width':>6s}"
            )
            print(f"{'':20s}" + f" {'rmse':>8s} {'bias':>7s}" * 3)
            for on_bike, terrain in product((False, True), TERRAINS):
                setting = Setting(terrain, on_bike, **knobs)
                tasks = [(setting, FIRST_SEED + k) for k in range(outings)]
                print(line(setting, pool.map(study_one, tasks, chunksize=4)), flush=True)


def line(setting: Setting, rows: list[Row]) -> str:
    errors = np.array([row.errors for row in rows])
    rmse, bias = np.sqrt((errors**2).mean(axis=0)), errors.mean(axis=0)
    shown = "".join(f" {a:8.2f} {b:+7.2f}" for a, b in zip(rmse, bias, strict=True))
    cover = 100.0 * np.mean([row.covered for row in rows])
    width = np.mean([row.width for row in rows])
    name = f"{'ride' if setting.on_bike else 'hike'} {setting.terrain}"
    tau = np.mean([row.tau_s for row in rows])
    verdicts = ", ".join(f"{k} {n}" for k, n in Counter(row.status for row in rows).items())
    return f"{name:20s}{shown} {cover:6.1f}% {width:6.2f}  {verdicts} (tau {tau:.0f})"


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100)
