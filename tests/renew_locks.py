"""Renew the lock files beside app/run.py: versions and hashes of all that the program is installed from.

``python tests/renew_locks.py`` chooses the latest versions within the ranges of pyproject.toml,
``python tests/renew_locks.py --keep`` changes only what the ranges ask for. It needs to be online; uv, which
resolves for every system and Python at once, is installed in a folder that is gone afterwards.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "app"))

from bootstrap import BUILD_LOCK, LOCKS, OLDEST_PYTHON  # noqa: E402 - it stands in app, beside the program it sets up


def main() -> int:
    """Write the files, the largest first: all hold the same versions."""
    with tempfile.TemporaryDirectory(prefix="locks-") as folder:
        place = Path(folder)
        venv.create(place / "tool", with_pip=True)
        python = place / "tool" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
        subprocess.check_call([python, "-m", "pip", "install", "--quiet", "uv>=0.5"])
        tests, plain, package, build = (
            place / f"{name}.txt" for name in ("test", "plain", "package", "build")
        )
        if "--keep" in sys.argv[1:]:
            shutil.copyfile(LOCKS["test"], tests)
            shutil.copyfile(LOCKS["package"], package)
        builders = place / "builders.in"
        project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
        builders.write_text("\n".join(project["build-system"]["requires"]), encoding="utf-8")
        _resolve(python, tests, "pyproject.toml", "--extra", "test")
        _resolve(python, plain, "pyproject.toml", "--constraint", tests)
        _resolve(python, package, "pyproject.toml", "--extra", "package", "--constraint", tests)
        _resolve(python, build, builders, "--constraint", tests)
        made_for = {tests: LOCKS["test"], plain: LOCKS[""], package: LOCKS["package"], build: BUILD_LOCK}
        for made, target in made_for.items():
            shutil.copyfile(made, target)
    return 0


def _resolve(python: Path, target: Path, *wanted: str | Path) -> None:
    """Choose versions for Python from the oldest supported on, for all systems; markers tell them apart."""
    oldest = ".".join(map(str, OLDEST_PYTHON))
    form = ["--universal", "--python-version", oldest, "--generate-hashes"]
    form += ["--no-header", "--no-annotate", "--no-emit-index-url", "--no-emit-find-links", "--quiet"]
    command = [python, "-m", "uv", "pip", "compile", *form, *wanted]
    subprocess.check_call([*command, "--output-file", target], cwd=ROOT)


if __name__ == "__main__":
    sys.exit(main())
