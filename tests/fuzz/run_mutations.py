"""Read mutated recordings by the hundred thousand: ``python tests/fuzz/run_mutations.py [COUNT] [SECONDS]``.

Seeds are small generated files, packed ones and archives, and heads of real recordings where the folder of
those is there; one in :data:`REVIEWED_ONE_IN` that gives recordings is reviewed too. Every input gets 10 s
and the process 1 GB of memory; what breaks either, or ends in anything but recordings or a sentence, is
written to ``tests/fuzz/findings`` (never kept: a regression test with a small generated input is). An input
that ends the process itself is left there as ``current.bin``.
"""

from __future__ import annotations

import gzip
import hashlib
import io
import random
import resource
import signal
import sys
import time
import traceback
import warnings
import zipfile
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))
sys.path.insert(0, str(HERE.parents[1] / "app"))

from files.fit.test_fit_beats import strap  # noqa: E402
from files.fit_making import encoded, message, record, steady, timer  # noqa: E402
from files.gpx_making import gpx  # noqa: E402
from files.gpx_making import point as gpx_point  # noqa: E402
from files.tcx_making import activity, lap, tcx, track  # noqa: E402
from fuzz.mutations import mutated  # noqa: E402
from fuzz.target import read_archive, read_bytes  # noqa: E402

RECORDINGS = HERE.parents[2] / "shared" / "recordings"
LONGEST_S = 10
MOST_MEMORY_MB = 1024
HEAD_BYTES = 6000
REVIEWED_ONE_IN = 20
PACKED_ONE_IN = 4
SEED = 20260725


def seeds() -> list[bytes]:
    """Small files of every format; heads of the real ones, in which the odd layouts are."""
    fit = [timer(0, "start"), *steady(30, power=150, altitude=800.0), record(40, distance=3.0)]
    fit += [message("lap", timestamp=1_100_000_000, start_time=1_100_000_000), timer(39, "stop_all")]
    made = [
        encoded(fit),
        encoded(steady(3)) + encoded(steady(4)),
        encoded([*steady(40), *strap(30.0, 5)]),
        encoded([record(second, distance=2.0 * second) for second in range(40)]) + encoded(strap(30.0, 6)),
        gpx(*(gpx_point(s, "<x:hr>100</x:hr>") for s in range(700)), name="Hut").encode(),
        gpx(*(gpx_point(s, "<x:hr>100</x:hr>") for s in range(20)), name="Hut").encode(),
        tcx(activity(lap(0, 9.0, track(*range(10)), track(20, 25)))).encode(),
    ]
    made += [gzip.compress(each, mtime=0) for each in made] + [archive(made), archive([archive(made[:3])])]
    if RECORDINGS.is_dir():
        for path in sorted(RECORDINGS.iterdir()):
            if path.suffix in (".fit", ".gpx", ".tcx"):
                made.append(path.read_bytes()[:HEAD_BYTES])
    return made


def archive(contents: list[bytes]) -> bytes:
    """A ZIP archive of these; what is an archive itself is named one."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        for number, content in enumerate(contents):
            packed.writestr(f"{number}.{'zip' if content.startswith(b'PK') else 'fit'}", content)
    return stream.getvalue()


def damaged(files: list[bytes], dice: random.Random) -> bytes:
    """A seed damaged; now and then packed or archived behind that, so that the damage is reached."""
    data = mutated(dice.choice(files), dice)
    if dice.randrange(PACKED_ONE_IN):
        return data
    if dice.random() < 0.5:
        return gzip.compress(data, mtime=0)
    return mutated(archive([data]), dice) if dice.random() < 0.3 else archive([data])


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
    done, current = 0, HERE / "findings" / "current.bin"
    current.parent.mkdir(exist_ok=True)
    while done < count and time.monotonic() - began < seconds:
        data = damaged(files, dice)
        current.write_bytes(data)
        review = dice.randrange(REVIEWED_ONE_IN) == 0
        start = time.perf_counter()
        signal.alarm(LONGEST_S)
        try:
            records += (read_archive if data.startswith(b"PK") else read_bytes)(data, review=review)
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
    current.unlink(missing_ok=True)
    print(
        f"{done:,} inputs in {time.monotonic() - began:.0f} s, {records:,} records read, {findings} findings"
    )
    print(f"slowest {slowest:.2f} s; memory {memory_mb():.0f} MB of {MOST_MEMORY_MB} allowed")
    return 1 if findings or memory_mb() > MOST_MEMORY_MB else 0


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
