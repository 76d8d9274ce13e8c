"""Run every check: set up with the test extras on the first call, then style, types, layers and tests."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "app"))

import bootstrap  # noqa: E402 - it stands in app, beside the program it sets up

CHECKS = (
    ("Style", ["ruff", "check", "."]),
    ("Format", ["ruff", "format", "--check", "--quiet", "."]),
    ("Types", ["mypy"]),
    ("Layers", ["importlinter"]),
    # As many at once as there are processors; the tests of a file stay together for what they share.
    ("Tests", ["pytest", "-n", "auto", "--dist", "loadfile"]),
)
"""What is run, in this order, so that the test runner's closing line comes last."""


def main() -> int:
    """Run all checks, or only the tests with the arguments given; 1 when any failed."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    # The processors are shared out among the tests; threads of a linear algebra would only be in their way.
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    python = bootstrap.prepare("test", offscreen=True)
    checks = [("Tests", ["pytest", *sys.argv[1:]])] if sys.argv[1:] else CHECKS
    failed = []
    for name, command in checks:
        print(f"== {name}", flush=True)
        if subprocess.call(_call(python, command), cwd=ROOT) != 0:
            failed.append(name)
    if failed:
        print(f"Failed: {', '.join(failed)}", file=sys.stderr, flush=True)
    return 1 if failed else 0


def _call(python: Path, command: list[str]) -> list[str | Path]:
    if command[0] == "importlinter":
        return [python.parent / "lint-imports", "--no-cache"]
    return [python, "-m", *command]


if __name__ == "__main__":
    sys.exit(main())
