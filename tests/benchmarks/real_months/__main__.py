"""Foretold from earlier outings only, held against what happened: real months of real athletes.

    PYTHONPATH=app python tests/benchmarks/real_months [FOLDER]

Every figure leaves the future out. Beside each stand the simplest predictors given the same outings.
"""

from __future__ import annotations

import sys
from pathlib import Path

from changes import report_changes
from heart_rate import report_heart_rate
from outings import FOLDER, of_sport, read_months
from plans import report_plans
from price import report_price

LEAST_OUTINGS = 8
"""Of sports with fewer outings only the price of ground is told: else there is nothing to count."""


def main() -> None:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER
    if not folder.is_dir():
        print(f"There are no months at {folder}.")
        return
    for athlete, outings in read_months(folder).items():
        groups = sorted({one.group for one in outings if one.group is not None})
        for group in groups:
            chosen = of_sport(outings, group)
            print(f"{athlete}, {group}: {len(chosen)} outings of 20 minutes and more")
            if len(chosen) >= 2:
                report_price(chosen)
            if len(chosen) >= LEAST_OUTINGS:
                report_heart_rate(chosen)
                report_changes(chosen)
                report_plans(chosen)


if __name__ == "__main__":
    main()
