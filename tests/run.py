"""Run every check: set up with the test extras on the first call, then style, types, layers and tests."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "app"))

import bootstrap  # noqa: E402 - it stands in app, beside the program it sets up

QUICK = (
    ("Style", ["ruff", "check", "."]),
    ("Format", ["ruff", "format", "--check", "--quiet", "."]),
    ("Layers", ["importlinter"]),
)
TYPES = ("Types", ["tests/check_types.py"])
"""Keeps one processor busy for the better part of a minute where nothing is known from before, so it runs
beside the tests."""

# Two more at once than there are processors, as tests of the window wait now and then; each has a share of
# the files: see ``helpers/shares.py``.
TESTS = ("Tests", ["pytest", "-n", str((os.cpu_count() or 1) + 2), "--dist", "each"])


def main() -> int:
    """Run all checks, or only the tests with the arguments given; 1 when any failed."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    # The processors are shared out among the tests; threads of a linear algebra would only be in their way.
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Tests start the program many times over; without kept bytecode each start compiles all of it anew.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    python = bootstrap.prepare("test", offscreen=True)
    if sys.argv[1:]:
        return 1 if _run(python, ("Tests", ["pytest", *sys.argv[1:]])) else 0
    # Before several processes want it at once, each of which would make it.
    subprocess.call([python, "-m", "compileall", "-q", "app/slopebeat"], cwd=ROOT)
    failed = [check[0] for check in QUICK if _run(python, check)]
    failed += _types_beside_tests(python)
    if failed:
        print(f"Failed: {', '.join(failed)}", file=sys.stderr, flush=True)
    return 1 if failed else 0


def _run(python: Path, check: tuple[str, list[str]]) -> bool:
    """Run a check and show what it says; whether it failed."""
    name, command = check
    print(f"== {name}", flush=True)
    return subprocess.call(_call(python, command), cwd=ROOT) != 0


def _types_beside_tests(python: Path) -> list[str]:
    """Run both; what of them failed. What mypy says comes just before the closing line of the tests."""
    told: dict[str, Any] = {"cwd": ROOT, "stdout": subprocess.PIPE, "encoding": "utf-8", "errors": "replace"}
    with (
        subprocess.Popen(_call(python, TYPES[1]), stderr=subprocess.STDOUT, **told) as types,
        subprocess.Popen(_call(python, TESTS[1]), **told) as tests,
    ):
        print(f"== {TESTS[0]}", flush=True)
        assert tests.stdout is not None
        closing = ""
        for line in tests.stdout:
            print(closing, end="", flush=True)
            closing = line
        print(f"== {TYPES[0]}", types.communicate()[0], sep="\n", end="", flush=True)
        print(closing, end="", flush=True)
    return [name for (name, _), done in ((TYPES, types), (TESTS, tests)) if done.returncode != 0]


def _call(python: Path, command: list[str]) -> list[str | Path]:
    if command[0] == "importlinter":
        return [python.parent / "lint-imports", "--no-cache"]
    if command[0].endswith(".py"):
        return [python, *command]
    return [python, "-m", *command]


if __name__ == "__main__":
    sys.exit(main())
