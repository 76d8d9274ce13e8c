"""One figure of what the program costs: ``python tests/benchmarks/measures.py NAME FOLDER`` prints seconds.

Seconds are of the processor, the least of several runs, as other work on the machine lengthens them least.
``FOLDER`` holds what ``make_long_outing.py`` writes. Which program is measured is said by ``PYTHONPATH``, so
that the same measure takes this state of the code and an earlier one.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from time import perf_counter, process_time

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent)]

WINDOW = """
import os
from slopebeat import __main__ as program
chosen = program._chosen

def leave(window):
    from PySide6.QtWidgets import QApplication
    QApplication.processEvents()
    os._exit(0)

def until_shown(arguments):
    work = chosen(arguments)
    from slopebeat.window.shell import app
    app.load_behind = leave
    return work

program._chosen = until_shown
program.main([])
"""
"""The program as it is started, until the window is shown and before anything is loaded behind it."""

BAND = (112, 131)
EDGES = 12
LONGER = 8
OUTINGS = 10_000

FEW, MANY = 15, 315
"""Files of the two imports between which a file's share is read, without the start of the workers. Scaled
from a few dozen, a third of a second of that start would stand for three."""

STOPPED = 60
"""Files of the import that is told to stop."""

IMPORTED, CORES = 1000, 2
"""What the figure of an import is told for: so many files on so many cores."""


def least(act: Callable[[], object], runs: int) -> float:
    """Least seconds of the processor for one call, the first of all not counted."""
    act()
    spent = []
    for _ in range(runs):
        begun = process_time()
        act()
        spent.append(process_time() - begun)
    return min(spent)


def started(*arguments: str) -> float:
    """Least seconds of the processor of a process of its own, its modules compiled before."""

    def run() -> float:
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        with tempfile.TemporaryDirectory() as home:
            own = {
                "HOME": home,
                "XDG_DATA_HOME": home,
                "XDG_CONFIG_HOME": home,
                "QT_QPA_PLATFORM": "offscreen",
            }
            place = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
            asked = [sys.executable, *arguments]
            subprocess.run(asked, env=place | own, stdout=subprocess.DEVNULL, check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime

    run()
    return min(run() for _ in range(3))


def reading(name: str, file: str) -> Callable[[Path], float]:
    """Reading the long outing with one of the readers."""

    def measure(folder: Path) -> float:
        import bench_reading

        read = getattr(bench_reading, name)
        return least(lambda: read(folder / file), 3)

    return measure


def _recording(folder: Path, times: int = 1):
    """The long outing, gone so many times on end."""
    import numpy as np

    from slopebeat.files.reading import read_recordings
    from slopebeat.model.samples import COLUMNS, sample_table

    recording = read_recordings(folder / "long_outing.fit")[0]
    if times == 1:
        return recording
    columns = {name: np.asarray(recording.samples[name], dtype=float) for name in COLUMNS}
    long = {name: np.tile(values, times) for name, values in columns.items()}
    span, far = columns["t_s"][-1] + 1.0, np.nanmax(columns["distance_m"])
    which = np.repeat(np.arange(times), columns["t_s"].size)
    long["t_s"] = long["t_s"] + span * which
    long["distance_m"] = long["distance_m"] + far * which
    return replace(recording, samples=sample_table(long), laps=())


def reviewing(times: int) -> Callable[[Path], float]:
    """A whole review of the long outing gone so many times."""

    def measure(folder: Path) -> float:
        from slopebeat.model.bands import Band
        from slopebeat.model.people import Aim
        from slopebeat.review.outing import review_recording

        recording = _recording(folder, times)
        return least(lambda: review_recording(recording, Aim(band=Band(*BAND))), 2)

    return measure


def counting(folder: Path) -> float:
    """Another band for the long outing, all else kept: what one move of an edge costs, but for drawing."""
    from slopebeat.model.bands import Band
    from slopebeat.model.people import Aim
    from slopebeat.review.stages import Stages

    recording, stages = _recording(folder), Stages()
    edges = iter(range(10**6))
    return least(lambda: stages(recording, Aim(band=Band(BAND[0], BAND[1] + next(edges) % EDGES))), EDGES)


def _outings() -> list:
    from helpers.summaries import PLAIN

    return [
        replace(PLAIN, start_utc=PLAIN.start_utc - timedelta(hours=17 * number), on_bike=number % 3 == 0)
        for number in reversed(range(OUTINGS))
    ]


def months(_folder: Path) -> float:
    """What ten thousand outings add up to over the months."""
    from helpers.summaries import asked
    from slopebeat.review.months.months import review_months

    rows = _outings()
    return least(lambda: review_months(rows, asked(120, 3)), 3)


def library(act: str) -> Callable[[Path], float]:
    """Opening and listing a library of ten thousand outings."""

    def measure(_folder: Path) -> float:
        import bench_library

        from slopebeat.library.store import Library
        from slopebeat.model.people import Athlete

        bench_library.FILE_BYTES = 2_000
        with tempfile.TemporaryDirectory() as name:
            path = Path(name) / "library.sqlite3"
            with Library.create(path) as made:
                athlete = made.athletes.add(Athlete(bench_library.new_identity(), "trail patrol"))
                bench_library.fill(made, athlete, OUTINGS)

            def opened() -> None:
                with Library.open(path) as one:
                    one.outings.of(athlete.identity)
                    if act == "all":
                        one.results.summaries(athlete.identity)

            return least(opened, 3)

    return measure


def filtering(_folder: Path) -> float:
    """Which of ten thousand outings hold a word that is being typed, and the months those make."""
    from datetime import UTC, datetime

    from slopebeat.library.outings import StoredOuting
    from slopebeat.review.months.months import review_months
    from slopebeat.session.library.filter import Filter
    from slopebeat.session.library.rows import OutingRow

    def row(number: int, one) -> OutingRow:
        facts = (0, one.start_utc, None, one.sport, one.on_bike, f"Round {number}")
        stored = (str(number), "", "", f"{number}.fit", 0.0, None, datetime(2026, 1, 1, tzinfo=UTC))
        return OutingRow(StoredOuting(*facts, *stored), one)

    from helpers.summaries import asked

    rows, wanted = [row(*each) for each in enumerate(_outings())], Filter(text="round 12")

    def typed() -> None:
        review_months([each.summary for each in rows if wanted.keeps(each)], asked(120, 3))

    return least(typed, 3)


def _mixed(folder: Path, count: int) -> list[Path]:
    """So many recordings of two hours, one every five seconds, in turn in each of the three formats."""
    import make_long_outing as long
    import numpy as np
    from generator.xml_files import write_tcx

    outing = long.simulate("rolling", "hike", 2.0, np.random.default_rng(long.SEED))
    rows = np.arange(0, outing.moving.size, 5)
    made = []
    for number in range(count):
        start, kind = long.START + timedelta(days=number), number % 3
        if kind == 0:
            data = long.write_fit(outing, rows, start, [0], ("hiking", "generic"))
        elif kind == 1:
            data = long.write_gpx(outing, rows, start, long.TITLE, "hiking")
        else:
            data = write_tcx(outing, rows, start, [0], 0.22)
        made.append(folder / f"{number}{('.fit', '.gpx', '.tcx')[kind]}")
        made[-1].write_bytes(data)
    return made


def _imported(folder: Path, files: list[Path], stop_after: int | None = None) -> tuple[float, float]:
    """Seconds of all processors that an import took, and on the clock from being told to stop to its end."""
    from slopebeat.library.people import new_identity
    from slopebeat.library.store import Library
    from slopebeat.model.errors import Cancelled
    from slopebeat.model.people import Athlete
    from slopebeat.review.imports.importing import import_files

    told = 0.0

    def progress(done: int, _of: int, _name: str) -> None:
        nonlocal told
        if stop_after is not None and done >= stop_after:
            told = perf_counter()
            raise Cancelled

    def spent() -> float:
        both = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
        return sum(one.ru_utime + one.ru_stime for one in both)

    with Library.create(folder / f"{len(files)}.sqlite3") as made:
        athlete = made.athletes.add(Athlete(new_identity(), "trail patrol"))
        begun = spent()
        report = import_files(made, athlete.identity, files, progress)
        ended = perf_counter()
    assert report.cancelled == (stop_after is not None)
    return spent() - begun, ended - told


def importing(_folder: Path) -> float:
    """A thousand mixed files on two cores, from what each file more costs."""
    with tempfile.TemporaryDirectory() as name:
        files = _mixed(Path(name), MANY)
        few, many = (_imported(Path(name), files[:count])[0] for count in (FEW, MANY))
    return (many - few) / (MANY - FEW) * IMPORTED / CORES


def cancelling(_folder: Path) -> float:
    """From being told to stop in the middle of an import until it has ended, on the clock."""
    with tempfile.TemporaryDirectory() as name:
        return _imported(Path(name), _mixed(Path(name), STOPPED), stop_after=FEW)[1]


SAMPLE = str(HERE.parents[1] / "samples" / "hut_supply_hike.fit")

MEASURES: dict[str, Callable[[Path], float]] = {
    "version": lambda _folder: started("-m", "slopebeat", "--version"),
    "review": lambda _folder: started("-m", "slopebeat", "review", SAMPLE, "--band", "112-131"),
    "window": lambda _folder: started("-c", WINDOW),
    "read_fit": reading("slopebeat", "long_outing.fit"),
    "fitparse": reading("fitparse", "long_outing.fit"),
    "official_sdk": reading("official_sdk", "long_outing.fit"),
    "read_gpx": reading("slopebeat", "long_outing.gpx"),
    "gpxpy": reading("gpxpy", "long_outing.gpx"),
    "long": reviewing(1),
    "longer": reviewing(LONGER),
    "band": counting,
    "months": months,
    "list": library("list"),
    "open": library("all"),
    "filter": filtering,
    "import": importing,
    "cancel": cancelling,
}

if __name__ == "__main__":  # Workers are started anew from this file: they must not measure as well.
    if len(sys.argv) != 3 or sys.argv[1] not in MEASURES:
        sys.exit(f"{__doc__}\n{' '.join(MEASURES)}")
    print(MEASURES[sys.argv[1]](Path(sys.argv[2])))
