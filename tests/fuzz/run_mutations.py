"""Read mutated recordings by the hundred thousand: ``python tests/fuzz/run_mutations.py [COUNT] [SECONDS]``.

Seeds are small generated files and heads of real recordings where the folder of those is there. Every
input gets 5 s and the process 500 MB of memory over what it starts with; what breaks either, or ends in
anything but recordings or a sentence, is written to ``tests/fuzz/findings`` (never kept: a regression test
with a small generated input is).
"""

from __future__ import annotations

import hashlib
import random
import resource
import signal
import sys
import time
import traceback
import warnings
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))
sys.path.insert(0, str(HERE.parents[1] / "app"))

from files.fit_making import encoded, message, record, steady, timer  # noqa: E402
from files.gpx_making import gpx  # noqa: E402
from files.gpx_making import point as gpx_point  # noqa: E402
from files.tcx_making import activity, lap, tcx, track  # noqa: E402
from fuzz.mutations import mutated  # noqa: E402
from fuzz.target import read_bytes  # noqa: E402

RECORDINGS = HERE.parents[2] / "shared" / "recordings"
LONGEST_S = 5
MOST_MEMORY_MB = 500
HEAD_BYTES = 6000
SEED = 20260725


def seeds() -> list[bytes]:
    """Small files of every format; heads of the real ones, in which the odd layouts are."""
    fit = [timer(0, "start"), *steady(30, power=150, altitude=800.0), record(40, distance=3.0)]
    fit += [message("lap", timestamp=1_100_000_000, start_time=1_100_000_000), timer(39, "stop_all")]
    made = [
        encoded(fit),
        encoded(steady(3)) + encoded(steady(4)),
        gpx(*(gpx_point(s, "<x:hr>100</x:hr>") for s in range(20)), name="Hut").encode(),
        tcx(activity(lap(0, 9.0, track(*range(10)), track(20, 25)))).encode(),
    ]
    if RECORDINGS.is_dir():
        for path in sorted(RECORDINGS.iterdir()):
            if path.suffix in (".fit", ".gpx", ".tcx"):
                made.append(path.read_bytes()[:HEAD_BYTES])
    return made


class TooLong(BaseException):
    """An input took longer than it may."""


def _too_long(*_args: object) -> None:
    raise TooLong


def memory_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main(count: int, seconds: float) -> int:
    warnings.simplefilter("error")
    signal.signal(signal.SIGALRM, _too_long)
    dice, files = random.Random(SEED), seeds()
    began, findings, records, slowest = time.monotonic(), 0, 0, 0.0
    started_mb = memory_mb()
    done = 0
    while done < count and time.monotonic() - began < seconds:
        data = mutated(dice.choice(files), dice)
        start = time.perf_counter()
        signal.alarm(LONGEST_S)
        try:
            records += read_bytes(data)
        except BaseException:
            if sys.exc_info()[0] is KeyboardInterrupt:
                raise
            findings += 1
            report(data)
        finally:
            signal.alarm(0)
        slowest = max(slowest, time.perf_counter() - start)
        done += 1
        if done % 5000 == 0:
            print(f"{done:,} inputs, {findings} findings, {memory_mb():.0f} MB", flush=True)
    grown = memory_mb() - started_mb
    print(
        f"{done:,} inputs in {time.monotonic() - began:.0f} s, {records:,} records read, {findings} findings"
    )
    print(f"slowest {slowest:.2f} s; memory grew by {grown:.0f} MB of {MOST_MEMORY_MB} allowed")
    return 1 if findings or grown > MOST_MEMORY_MB else 0


def report(data: bytes) -> None:
    folder = HERE / "findings"
    folder.mkdir(exist_ok=True)
    name = hashlib.sha256(data).hexdigest()[:16]
    (folder / f"{name}.bin").write_bytes(data)
    (folder / f"{name}.txt").write_text(traceback.format_exc())
    print(traceback.format_exc(limit=-2), flush=True)


if __name__ == "__main__":
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 200_000
    sys.exit(main(most, float(sys.argv[2]) if len(sys.argv) > 2 else 900.0))
