"""Reading a long outing against other readers: ``python tests/benchmarks/bench_reading.py [FOLDER]``.

Ten hours at one record a second (make_long_outing.py), as FIT against fitparse, fitdecode and the official
SDK, as GPX against gpxpy and, where it is installed, against a bare reader made with lxml. Each reader runs
alone in a process of its own: the first run there, which also loads its modules, is not counted; the median
of the others in CPU seconds is. Peak memory is what tracemalloc saw in a run of its own, over the size of
the file. Goals: FIT 20 times fitparse, GPX 5 times gpxpy, memory under 3 times the file.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))
# Behind what PYTHONPATH names, which may be an earlier state of the code.
sys.path.append(str(HERE.parents[1] / "app"))

RUNS = 5


def slopebeat(path: Path) -> None:
    from slopebeat.files.reading import read_recordings

    read_recordings(path)


def fitparse(path: Path) -> None:
    from fitparse import FitFile

    for message in FitFile(str(path)).get_messages():
        message.get_values()


def fitdecode(path: Path) -> None:
    from fitdecode import FIT_FRAME_DATA, FitReader

    with FitReader(str(path)) as reader:
        for frame in reader:
            if frame.frame_type == FIT_FRAME_DATA:
                [field.value for field in frame.fields]


def official_sdk(path: Path) -> None:
    from garmin_fit_sdk import Decoder, Stream

    Decoder(Stream.from_file(str(path))).read()


def gpxpy(path: Path) -> None:
    import gpxpy as reader

    reader.parse(path.read_text(encoding="utf-8"))


def lxml(path: Path) -> None:
    """The least a reader would do with it: no check, nothing of damage, every point as texts."""
    from lxml.etree import iterparse  # no part of the test extras: python -m pip install lxml

    rows = []
    for _event, point in iterparse(path, tag="{*}trkpt"):
        rows.append((point.get("lat"), point.get("lon"), *((one.tag, one.text) for one in point.iter())))
        point.clear()


READERS: dict[str, dict[str, Callable[[Path], None]]] = {
    ".fit": {"fitparse": fitparse, "fitdecode": fitdecode, "official SDK": official_sdk},
    ".gpx": {"gpxpy": gpxpy} | ({"lxml": lxml} if find_spec("lxml") else {}),
}


def measure(read: Callable[[Path], None], path: Path) -> tuple[float, float]:
    """Median CPU seconds of a run, and peak memory of one in bytes."""
    read(path)
    seconds = []
    for _ in range(RUNS):
        start = time.process_time()
        read(path)
        seconds.append(time.process_time() - start)
    tracemalloc.start()
    read(path)
    return statistics.median(seconds), tracemalloc.get_traced_memory()[1]


def in_own_process(name: str, path: Path) -> tuple[float, float]:
    command = [sys.executable, __file__, "--one", name, str(path)]
    out = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    return float(out[0]), float(out[1])


def compare(path: Path) -> None:
    size = path.stat().st_size
    ours_s, ours_bytes = in_own_process("slopebeat", path)
    print(f"{path.name}: {size / 1e6:.2f} MB")
    print(f"  {'slopebeat':14s} {ours_s:7.3f} s           peak {ours_bytes / size:5.1f} x the file")
    for name in READERS[path.suffix]:
        seconds, peak = in_own_process(name, path)
        print(
            f"  {name:14s} {seconds:7.3f} s  {seconds / ours_s:5.1f} x   peak {peak / size:5.1f} x the file"
        )


def main(folder: Path) -> None:
    from make_long_outing import make_long_outing

    for path in make_long_outing(folder):
        compare(path)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        readers = {"slopebeat": slopebeat} | READERS[".fit"] | READERS[".gpx"]
        print(*measure(readers[sys.argv[2]], Path(sys.argv[3])))
    elif len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made))
