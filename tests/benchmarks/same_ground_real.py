"""Heart rate at places gone again, foretold from earlier passes: real months of real athletes.

    PYTHONPATH=app:tests python tests/benchmarks/same_ground_real.py [FOLDER] [--write]

Every pass is foretold from those of earlier outings alone, knowing only how fast it was gone: by the heart
rate at equal speed of the earlier passes there, beside the simplest predictors, the raw mean of the earlier
passes there and the athlete's mean over all places so far. The means of days say whether what days are said
to differ by holds. ``--write`` keeps the table beside this file.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np

from slopebeat.analysis.ground.equal_speed import Passes, pass_sd_bpm, slope_between_days
from slopebeat.library.people import new_identity
from slopebeat.library.places import KeptPass
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete
from slopebeat.model.track import Array
from slopebeat.review.ground.ground import Group, effort_of, much_stopped
from slopebeat.review.ground.search import find_ground
from slopebeat.review.imports.importing import import_files

FOLDER = Path(__file__).resolve().parents[4] / "shared" / "months"

LEAST_EARLIER = (1, 3)
"""Earlier passes at a place that are asked for."""

COUNTS = (1, 5, 20)
"""Passes of a day whose mean error is set against what days are said to differ by."""

DRAWS = 40


@dataclass(frozen=True, eq=False)
class Prediction:
    """Errors in bpm of each pass by each predictor, the outing it is of, and how many passes went before."""

    equal: Array
    raw: Array
    mean: Array
    outing: Array
    earlier: Array

    def of(self, least: int) -> Prediction:
        kept = self.earlier >= least
        return Prediction(*(each[kept] for each in vars(self).values()))


def predicted(passes: list[KeptPass], effort_from: str) -> Prediction:
    """Each pass of a group from those of earlier outings."""
    outings = {name: at for at, name in enumerate(dict.fromkeys(each.outing for each in passes))}
    day = np.array([outings[each.outing] for each in passes])
    place = np.array([each.place for each in passes])
    effort = np.array([effort_of(each) for each in passes], dtype=float)
    hr = np.array([each.figures.hr_bpm for each in passes], dtype=float)
    rows = []
    for number in range(1, len(outings)):
        before = day < number
        slope = slope_between_days(
            Passes(place[before], day[before], effort[before], hr[before], effort_from)
        ).bpm
        for at in np.flatnonzero(day == number).tolist():
            there = before & (place == place[at])
            if there.any():
                told = float(np.mean(hr[there] + slope * (effort[at] - effort[there])))
                rows.append(
                    (
                        hr[at] - told,
                        hr[at] - hr[there].mean(),
                        hr[at] - hr[before].mean(),
                        number,
                        there.sum(),
                    )
                )
    return Prediction(*np.array(rows, dtype=float).reshape(-1, 5).T)


def report(name: str, found: Prediction) -> list[str]:
    """Rows of the tables of one group."""
    lines = []
    for least in LEAST_EARLIER:
        chosen = found.of(least)
        if chosen.equal.size < 10:
            continue
        errors = [float(np.abs(each).mean()) for each in (chosen.equal, chosen.raw, chosen.mean)]
        days = np.unique(chosen.outing).size
        cells = " | ".join(f"{each:.2f}" for each in errors)
        lines.append(f"| {name} | {least} | {chosen.equal.size} | {days} | {cells} |")
    return lines


def report_days(name: str, found: Prediction) -> list[str]:
    """What means over some passes of a day are off by, beside what is said."""
    chosen, rng, lines = found.of(3), np.random.default_rng(0), []
    for count in COUNTS:
        means = [
            float(rng.choice(chosen.equal[chosen.outing == day], count, replace=False).mean())
            for day in np.unique(chosen.outing)
            for _ in range(DRAWS)
            if (chosen.outing == day).sum() >= count
        ]
        if len(means) >= 10 * DRAWS:
            off = float(np.sqrt(np.mean(np.square(means))))
            lines.append(
                f"| {name} | {count} | {len(means) // DRAWS} | {off:.1f} | {pass_sd_bpm(count):.1f} |"
            )
    return lines


def of_athlete(folder: Path) -> dict[str, Prediction]:
    """Import an athlete's files into a library of their own and foretell every pass, group by group."""
    with tempfile.TemporaryDirectory() as place, Library.create(Path(place) / "library.sqlite3") as library:
        athlete = library.athletes.add(Athlete(new_identity(), folder.name))
        import_files(library, athlete.identity, [folder], workers=1)
        find_ground(library)
        passes = library.places.passes(athlete.identity)
    sound = [
        p for p in passes if p.figures.hr_bpm is not None and not much_stopped(p) and effort_of(p) is not None
    ]
    groups = dict.fromkeys(Group.of(each.facts) for each in sound)
    return {
        f"{folder.name}, {group.sport}, {group.work_source or 'no work'}": predicted(
            [each for each in sound if Group.of(each.facts) == group], group.effort_from
        )
        for group in groups
    }


def main() -> None:
    named = [each for each in sys.argv[1:] if not each.startswith("--")]
    folder = Path(named[0]) if named else FOLDER
    if not folder.is_dir():
        print(f"There are no months at {folder}.")
        return
    lines = [
        "| athlete and group | earlier passes | passes | outings | equal speed | raw mean there | athlete's "
        "mean |",
        "| --- | --: | --: | --: | --: | --: | --: |",
    ]
    days = [
        "",
        "| athlete and group | passes of the day | days | means off, bpm | said, bpm |",
        "| --- | --: | --: | --: | --: |",
    ]
    for each in sorted(folder.iterdir()):
        for name, found in of_athlete(each).items() if each.is_dir() else ():
            lines += report(name, found)
            days += report_days(name, found)
    print("\n".join([*lines, *days]))
    if "--write" in sys.argv:
        text = "# Heart rate at places gone again, foretold\n\nMean absolute error in bpm; made by "
        text += (
            f"`same_ground_real.py` from two athletes' months on {date.today()}.\n\n"
            + "\n".join([*lines, *days])
            + "\n"
        )
        Path(__file__).with_suffix(".md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
