"""Everything the program costs, in one table: ``python tests/benchmarks/run.py [--quick] [--before COMMIT]``.

Each figure is measured in a process of its own (measures.py), in turn for this state of the code and for the
commit before, which is laid out in a temporary folder; readers of others are measured in the same run.
Printed and kept in ``table.md`` beside this file are seconds of the processor and, what other machines can be
held against, ratios. ``--quick`` leaves out what takes minutes; the table says so.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
TABLE = HERE / "table.md"
MACHINE = "two cores of a shared server, other work running beside"
"""Where the kept table comes from, in general words."""

READERS_OF_OTHERS = ("fitparse", "official_sdk", "gpxpy")


@dataclass(frozen=True)
class Row:
    """One line of the table: a measure, what it is, and against which other measure it is a ratio.

    ``goal``: seconds, where no other measure is named; else the ratio of the other over this one, at least,
    or of this one over the other, at most, where ``grows``.
    """

    measure: str
    name: str
    goal: float
    against: str | None = None
    grows: bool = False
    slow: bool = False


ROWS = (
    Row("version", "start: say the version", 0.3),
    Row("review", "start: review of an ordinary file", 0.6),
    Row("window", "start: empty window shown", 0.6),
    Row("read_fit", "10 h FIT read, against fitparse", 20.0, "fitparse"),
    Row("read_fit", "10 h FIT read, against the official SDK", 10.0, "official_sdk"),
    Row("read_gpx", "10 h GPX read, against gpxpy", 5.0, "gpxpy"),
    Row("long", "10 h reviewed", 0.3),
    Row("band", "10 h, another band", 0.05),
    Row("longer", "80 h reviewed over 10 h", 9.0, "long", grows=True, slow=True),
    Row("list", "10,000 outings: open and list", 0.5, slow=True),
    Row("open", "10,000 outings: open, list, all summaries", 1.0, slow=True),
    Row("months", "10,000 outings: months", 0.5, slow=True),
    Row("filter", "10,000 outings: a word typed to find, with the months", 0.05),
    Row("import", "1,000 mixed files imported on two cores, from what 45 take", 20.0, slow=True),
    Row("cancel", "import ended after being told, on the clock", 0.5),
)


def measured(name: str, tree: Path, folder: Path) -> float | None:
    """Seconds of a measure for the code of a tree; None where that code cannot do it."""
    place = os.environ | {
        "PYTHONPATH": str(tree / "app"),
        "OMP_NUM_THREADS": "1",
        "QT_QPA_PLATFORM": "offscreen",
    }
    asked = [sys.executable, str(HERE / "measures.py"), name, str(folder)]
    ran = subprocess.run(asked, env=place, capture_output=True, text=True, check=False)
    with suppress(ValueError, IndexError):
        return float(ran.stdout.split()[-1])
    return None


def seconds(value: float | None) -> str:
    return "–" if value is None else f"{value:.3f} s"


def lines(found: dict[tuple[str, str], float | None], rows: list[Row]) -> list[str]:
    """The table, a line a row."""
    told = [
        "| what | now | before | now / before | ratio | goal | met |",
        "| --- | --: | --: | --: | --: | --: | :-- |",
    ]
    for row in rows:
        now, before = (found.get((row.measure, which)) for which in ("now", "before"))
        change = "–" if not now or not before else f"{now / before:.2f}"
        ratio, goal, met = "", f"{row.goal:g} s", now is not None and now <= row.goal
        if row.against is not None:
            other = found.get((row.against, "now"))
            share = None if not now or not other else now / other if row.grows else other / now
            ratio = "–" if share is None else f"{share:.1f}"
            goal = f"{'at most' if row.grows else 'at least'} {row.goal:g}"
            met = share is not None and (share <= row.goal if row.grows else share >= row.goal)
        verdict = "not measured" if now is None else "yes" if met else "no"
        told.append(
            f"| {row.name} | {seconds(now)} | {seconds(before)} | {change} | {ratio} | {goal} | {verdict} |"
        )
    return told


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--quick", action="store_true", help="only what takes seconds")
    parser.add_argument(
        "--before", default="HEAD~1", help="the commit to compare with (default: %(default)s)"
    )
    options = parser.parse_args()
    rows = [row for row in ROWS if not (options.quick and row.slow)]
    with tempfile.TemporaryDirectory() as name:
        folder, earlier = Path(name), Path(name) / "before"
        git = ["git", "-C", str(ROOT), "worktree"]
        said = [*git[:-1], "rev-parse", "--short", options.before]
        compared = subprocess.run(said, check=True, capture_output=True, text=True).stdout.strip()
        subprocess.run([*git, "add", "-q", "--detach", str(earlier), options.before], check=True)
        try:
            sys.path[:0] = [str(HERE)]
            from make_long_outing import make_long_outing

            make_long_outing(folder)
            found: dict[tuple[str, str], float | None] = {}
            for measure in dict.fromkeys(m for row in rows for m in (row.measure, row.against) if m):
                print(measure, flush=True, file=sys.stderr)
                # One after the other, so that both meet the machine in the same mood.
                others = measure in READERS_OF_OTHERS
                found[measure, "before"] = None if others else measured(measure, earlier, folder)
                found[measure, "now"] = measured(measure, ROOT, folder)
        finally:
            subprocess.run([*git, "remove", "--force", str(earlier)], check=False)
    table = "\n".join(lines(found, list(ROWS)))
    print(table)
    about = f"Seconds of the processor, {date.today()}, {MACHINE}; before is {compared}. By `run.py`."
    TABLE.write_text(f"# What the program costs\n\n{about}\n\n{table}\n", encoding="utf-8")


if __name__ == "__main__":
    main()
