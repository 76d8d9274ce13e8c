"""An outing and months of outings from Python: ``python samples/from_python.py [FILE [LIBRARY]]``."""

from __future__ import annotations

import sys
from pathlib import Path

import slopebeat

SAMPLE = Path(__file__).parent / "hut_supply_hike.fit"


def show_outing(path: Path) -> None:
    """Minutes in band hour by hour, and the climbs on which the band was left first."""
    review = slopebeat.review_outing(path, band="112-131", load_kg=14.0)
    print(f"{review.recording.title}: {review.account_s['in_band_s'] / 60:.0f} min in band")
    samples = review.samples
    in_band = samples[samples["band_state"] == "in band"]
    by_hour = in_band.groupby(in_band["t_s"] // 3600)["recorded_s"].sum() / 60
    for hour, minutes in by_hour.items():
        print(f"  hour {int(hour) + 1}: {minutes:.0f} min")
    climbs = review.climbs.sort_values("time_to_exit_s")
    print(climbs[["start_s", "gain_m", "grade_mean", "time_to_exit_s"]].to_string(index=False))


def show_months(path: Path) -> None:
    """Minutes in band a week, and what is said of the months."""
    with slopebeat.open_library(path) as library:
        for name in library.athletes["name"]:
            months = library.months(name)
            weeks = months.weeks.set_index("week")
            print(name, (weeks["in_band_s"] / 60).round().to_string(), *months.sentences, sep="\n")


if __name__ == "__main__":
    try:
        show_outing(Path(sys.argv[1]) if len(sys.argv) > 1 else SAMPLE)
        if len(sys.argv) > 2:
            show_months(Path(sys.argv[2]))
    except slopebeat.UserError as problem:
        sys.exit(str(problem))
