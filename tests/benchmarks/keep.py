"""Run a benchmark and keep what it prints: ``python tests/benchmarks/keep.py life_like 4``.

From what is kept in ``kept`` the chapter "How far to trust it" of the guide is made (``trust.py``).
"""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parents[1]


def main(name: str, arguments: list[str]) -> int:
    """Show what the benchmark prints as it comes, then write it down; its own status."""
    command = [sys.executable, str(script(name)), *arguments]
    surroundings = os.environ | {"PYTHONPATH": str(ROOT / "app"), "OPENBLAS_NUM_THREADS": "1"}
    lines = []
    with subprocess.Popen(command, env=surroundings, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        for line in process.stdout:
            print(line, end="", flush=True)
            lines.append(f"    {line}".rstrip())
    if process.returncode == 0:
        (HERE / "kept" / f"{name}.md").write_text(page(name, arguments, lines), encoding="utf-8")
    return process.returncode


def script(name: str) -> Path:
    """The benchmark of this name: a module, or a folder that is run as one."""
    return HERE / name if (HERE / name).is_dir() else HERE / f"{name}.py"


def page(name: str, arguments: list[str], lines: list[str]) -> str:
    """A title from the benchmark itself, the day, how to do it again, and what was printed."""
    source = script(name) if script(name).is_file() else script(name) / "__main__.py"
    said = ast.get_docstring(ast.parse(source.read_text(encoding="utf-8"))) or name
    again = " ".join([f"PYTHONPATH=app python tests/benchmarks/{script(name).name}", *arguments])
    day = f"Printed on {datetime.now(UTC):%Y-%m-%d} by `{again}`."
    return "\n".join([f"# {said.splitlines()[0].rstrip('.')}", day, "", *lines]) + "\n"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
