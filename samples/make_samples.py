"""Write the sample outings and the truth they were made from: ``python samples/make_samples.py [FOLDER]``."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from generator.scenarios import SCENARIOS, Sample


def truth_text(sample: Sample) -> str:
    return json.dumps(sample.truth, indent=1) + "\n"


def make(folder: Path) -> list[Path]:
    """Write every sample into a folder, its truth into ``truth/`` below; the paths written."""
    (folder / "truth").mkdir(parents=True, exist_ok=True)
    written = []
    for scenario in SCENARIOS:
        sample = scenario()
        path = folder / sample.file_name
        truth_path = folder / "truth" / f"{path.stem}.json"
        path.write_bytes(sample.encode())
        truth_path.write_bytes(truth_text(sample).encode())
        written += [path, truth_path]
    return written


if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    for path in make(target):
        print(f"{path.stat().st_size / 1000:8.1f} kB  {path}")
