"""Ground gone before against the truth: ``python tests/benchmarks/same_ground_truth.py [OUTINGS [SEEDS]]``.

Prints, for positions that are off by so much: the share of ground gone before that is found, the share of
what is said to have been gone that was, and how far the levels of days are from the true ones, beside the raw
mean heart rate at the same places; on ground that is dearer than the cost curve says, too. With ``app``,
``tests`` and ``samples`` on the path; ``--write`` keeps the table beside this file.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from generator.repeated import Days, repeated_outings
from generator.terrain import Mode

from helpers.ground_truth import Found, measure

HEAD = (
    "| mode | positions off | ground | outings | found of what was gone | right of what is said | "
    "day levels off | raw mean at the places off | later half: true | found | by the raw mean |\n"
    "| --- | --: | --- | --: | --: | --: | --: | --: | --: | --: | --: |"
)


def row(mode: Mode, gps_m: float, cost_error: float, outings: int, seeds: int) -> str:
    """One row of the table."""
    found = Found()
    days = Days(change_bpm=-8.0, faster=0.10)
    for seed in range(seeds):
        made = list(repeated_outings(seed, outings, mode, gps_m=gps_m, cost_error=cost_error, days=days))
        measure(made, found)
    recall, precision = found.found_m / max(found.gone_m, 1.0), found.right_m / max(found.said_m, 1.0)
    off, raw = (float(np.sqrt(np.mean(np.square(each)))) for each in (found.level_off, found.raw_off))
    changes = [float(np.mean(each)) for each in (found.true_change, found.change, found.raw_change)]
    ground = "as the curve has it" if not cost_error else f"{100 * cost_error:+.0f} % dearer on grades"
    return (
        f"| {mode} | {gps_m:.0f} m | {ground} | {outings * seeds} | {recall:.3f} | {precision:.3f} | "
        f"{off:.1f} bpm | {raw:.1f} bpm | {' | '.join(f'{each:+.1f} bpm' for each in changes)} |"
    )


if __name__ == "__main__":
    numbers = [int(each) for each in sys.argv[1:] if each.isdigit()]
    outings, seeds = (*numbers, 24, 2)[:2] if len(numbers) != 1 else (numbers[0], 2)
    cases: list[tuple[Mode, float, float]] = [("hike", gps, 0.0) for gps in (3.0, 5.0, 8.0, 10.0)]
    cases += [("hike", 3.0, 0.2), ("ride", 3.0, 0.0), ("ride", 5.0, 0.0)]
    lines = [HEAD]
    for case in cases:
        lines.append(row(*case, outings, seeds))
        print(lines[-1], flush=True)
    if "--write" in sys.argv:
        text = "# Ground gone before against what is true of invented outings\n\n"
        text += "Made by `same_ground_truth.py`; sd of a day's level 3 bpm, of the effort chosen 8 %.\n\n"
        Path(__file__).with_suffix(".md").write_text(text + "\n".join(lines) + "\n", encoding="utf-8")
