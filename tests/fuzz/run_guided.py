"""Fuzz led by coverage: ``python tests/fuzz/run_guided.py [options of libFuzzer] [corpus folder]``.

Needs ``atheris``, which is no dependency of the project; without it this says so and ends.
"""

from __future__ import annotations

import sys
import warnings
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))
sys.path.insert(0, str(HERE.parents[1] / "app"))

try:
    import atheris
except ImportError:
    sys.exit("atheris is not installed; run_mutations.py needs nothing of the kind.")

with atheris.instrument_imports(include=["slopebeat"]):
    from fuzz.target import read_bytes


def one_input(data: bytes) -> None:
    read_bytes(data)


if __name__ == "__main__":
    warnings.simplefilter("error")
    atheris.Setup(sys.argv, one_input)
    atheris.Fuzz()
