"""Write a long outing for benchmarks: ``python tests/benchmarks/make_long_outing.py FOLDER``.

Ten hours over rolling ground at one record a second, 36,000 records, the same outing as FIT (by the
encoder of the official SDK) and as GPX, made by the generator of the samples.
"""

from __future__ import annotations

import sys
from datetime import datetime, timedelta, timezone
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2] / "samples"))

from generator.fit_file import write_fit
from generator.outing import simulate
from generator.xml_files import write_gpx

RECORDS = 36_000
SEED = 20260725
START = datetime(2026, 7, 25, 5, 0, tzinfo=timezone(timedelta(hours=2)))
TITLE = "Long ridge round, hut warden"


def make_long_outing(folder: Path) -> list[Path]:
    """Write ``long_outing.fit`` and ``long_outing.gpx`` into a folder; the paths written."""
    outing = simulate(
        "rolling", "hike", (RECORDS - 1) / 3600.0, np.random.default_rng(SEED), drift_bpm_per_h=1.5
    )
    rows = np.arange(outing.moving.size)
    if rows.size != RECORDS:
        raise RuntimeError(f"the outing has {rows.size} records, not {RECORDS}")
    folder.mkdir(parents=True, exist_ok=True)
    fit, gpx = folder / "long_outing.fit", folder / "long_outing.gpx"
    fit.write_bytes(write_fit(outing, rows, START, list(range(0, RECORDS, 3600)), ("hiking", "generic")))
    gpx.write_bytes(write_gpx(outing, rows, START, TITLE, "hiking"))
    return [fit, gpx]


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    for path in make_long_outing(Path(sys.argv[1])):
        print(f"{path.stat().st_size / 1e6:6.2f} MB  {path}")
