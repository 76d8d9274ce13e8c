"""Build a folder that anyone can start, without Python: ``python3 app/pack/build.py``.

The folder is ``dist/slopebeat``, the program in it ``slopebeat``; it is for the system it was built on. What
goes into it says ``recipe.py``; ``python3 tests/run.py tests/packed`` starts it and looks for what it needs.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import recipe

sys.path.insert(0, str(recipe.ROOT / "app"))

import bootstrap

MOST_BYTES = 250 * 2**20
"""The folder is no larger: 250 MiB [project choice]."""

LICENCES = """
import importlib.metadata as m, pathlib, sys, sysconfig
python = pathlib.Path(sysconfig.get_path("stdlib"), "LICENSE.txt")
if python.is_file():
    print("Python", python, sep="\\t")
for each in m.distributions():
    inside = [path for path in each.files or () if ".dist-info" in str(path)]
    named = [path for path in inside if path.name.upper().startswith(("LICEN", "COPYING", "NOTICE"))]
    for path in named or [path for path in inside if path.name == "METADATA"]:
        if each.name.lower() not in sys.argv[1:]:
            print(each.name, path.locate(), sep="\\t")
"""
"""Names the licences of what is installed, else what says which they are; not of the distributions given."""

NOT_PACKED = ("altgraph", "pandas", "pip", "packaging", "python-dateutil", "setuptools", "slopebeat")
"""Installed for the building alone, or for what the packed program does without."""


def main() -> int:
    """Build the folder and say where it lies and how large it is; 1 when it failed or is too large."""
    python = bootstrap.prepare("package", offscreen=True)
    folder = build(python, recipe.ROOT / "dist", recipe.ROOT / "build")
    if folder is None:
        return 1
    size = sum(path.stat().st_size for path in folder.rglob("*") if path.is_file() and not path.is_symlink())
    print(f"{folder}: {size / 2**20:.0f} MiB")
    if not recipe.here().tried:
        print("This recipe was never tried on this system.")
    return 0 if size <= MOST_BYTES else 1


def build(python: Path, target: Path, work: Path) -> Path | None:
    """Pack with the PyInstaller of this Python; the folder, or None when that failed and said why."""
    command: list[str | Path] = [python, "-m", "PyInstaller", "--noconfirm", "--log-level", "ERROR"]
    command += ["--distpath", target, "--workpath", work, recipe.HERE / "slopebeat.spec"]
    print("Packing the program, which takes a few minutes ...", flush=True)
    done = subprocess.run(
        command, cwd=recipe.ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False
    )
    if done.returncode != 0:
        print(done.stdout, file=sys.stderr)
        return None
    folder = target / recipe.NAME
    if recipe.here().strips and shutil.which("strip"):
        strip(folder)
    shutil.copy(recipe.ROOT / "LICENSE", folder)
    copy_licences(python, folder / "licences")
    return folder


def strip(folder: Path) -> None:
    """Take the symbols for debuggers out of libraries, but not of those that are already arranged anew.

    Qt's are stripped, and wheels keep their own libraries, moved about, in folders named ``*.libs``.
    """
    for path in folder.rglob("*.so*"):
        inside = path.relative_to(folder).parts
        if (
            path.is_file()
            and not path.is_symlink()
            and not any(part.endswith(".libs") or part in ("PySide6", "shiboken6") for part in inside)
        ):
            subprocess.call(["strip", "--strip-unneeded", path], stderr=subprocess.DEVNULL)


def copy_licences(python: Path, folder: Path) -> None:
    """The licences of all that is packed lie beside it."""
    listed = subprocess.run(
        [python, "-c", LICENCES, *NOT_PACKED], capture_output=True, text=True, check=True
    ).stdout
    for line in listed.splitlines():
        name, path = line.split("\t")
        (folder / name).mkdir(parents=True, exist_ok=True)
        shutil.copy(path, folder / name)


if __name__ == "__main__":
    sys.exit(main())
