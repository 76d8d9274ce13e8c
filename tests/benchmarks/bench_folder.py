"""Reading a folder of recordings: ``python tests/benchmarks/bench_folder.py FOLDER``.

Files a minute and megabytes a second, one process, against the plain readers (fitparse for FIT, gpxpy for
GPX; the library has no plain reader for TCX, so the tree of the standard library stands in). Files a plain
reader cannot read count for what it took to find out.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[2] / "app"))

from bench_reading import fitparse, gpxpy, slopebeat

from slopebeat.model.errors import UnreadableFile

PLAIN: dict[str, Callable[[Path], object]] = {
    ".fit": fitparse,
    ".gpx": gpxpy,
    ".tcx": lambda path: ElementTree.parse(path),
}


def timed(read: Callable[[Path], object], paths: list[Path]) -> tuple[float, int]:
    """CPU seconds for all, and how many could not be read."""
    failed, start = 0, time.process_time()
    for path in paths:
        try:
            read(path)
        except UnreadableFile:
            failed += 1
        except Exception:  # the plain readers fail with whatever they meet
            failed += 1
    return time.process_time() - start, failed


def main(folder: Path) -> None:
    for suffix, plain in PLAIN.items():
        paths = sorted(path for path in folder.rglob("*") if path.suffix.lower() == suffix)
        if not paths:
            continue
        size = sum(path.stat().st_size for path in paths)
        for read in (slopebeat, plain):
            timed(read, paths[:1])
        (ours_s, ours_failed), (plain_s, plain_failed) = timed(slopebeat, paths), timed(plain, paths)
        print(f"{suffix}: {len(paths)} files, {size / 1e6:.1f} MB")
        for name, seconds, failed in (("slopebeat", ours_s, ours_failed), ("plain", plain_s, plain_failed)):
            rate = f"{60 * len(paths) / seconds:8,.0f} files/min {size / 1e6 / seconds:7.1f} MB/s"
            print(f"  {name:10s} {seconds:7.2f} s {rate}   {failed} not read")
        print(f"  ratio {plain_s / ours_s:.1f}")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    main(Path(sys.argv[1]))
