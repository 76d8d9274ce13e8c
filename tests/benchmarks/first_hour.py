"""A new user's first hour: set up, look, take in files of one's own, plan, hand on, remove everything.

Run by hand: ``python3 tests/benchmarks/first_hour.py FILES FOLDER``. FILES is a folder of recordings of one
person, FOLDER gets a fresh copy of the project, a home of its own and pictures of the window. Each step is
done as that person would do it, and takes what is printed, on the clock.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COPIED = ("app", "resources", "samples", "pyproject.toml", "README.md", "LICENSE")
LONGEST_S = 900
BAND = "112-131"

WINDOW = """
import sys
from pathlib import Path
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from slopebeat.window.shell.app import open_window
folder = Path(sys.argv[1])
app = QApplication(sys.argv[:1])
window = open_window([Path(name) for name in sys.argv[2:]])
session = window.session
window.resize(1400, 900)

def settled():
    for _ in range(1500):
        QTest.qWait(20)
        # What goes on behind the window, as the search for ground gone again, keeps nobody waiting.
        drawn = session.background.idle and session.steps.idle and session.library.outings.up_to_date
        if drawn and not session.opening.reading:
            return

def shoot(name):
    settled()
    QTest.qWait(200)
    window.grab().save(str(folder / f"{name}.png"))

shoot("outing")
window.actions_by_slot["show_guide"].trigger()
shoot("guide")
window.help.leave_help()
window.library.show_months()
shoot("months")
window.close()
session.close()
"""


class Hour:
    """The steps done so far, with what each took."""

    def __init__(self, copy: Path, home: Path) -> None:
        self._copy = copy
        self._surroundings = {
            **{key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "XDG"))},
            "HOME": str(home),
            "QT_QPA_PLATFORM": "offscreen",
        }
        self.total_s = 0.0
        busy = f"load of the machine {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors"
        print(f"{datetime.now(UTC):%Y-%m-%d}, {busy}\n")
        print("| step | s | what it said last |\n| --- | --: | --- |")

    def call(self, step: str, *words: str | Path, typed: str = "") -> str:
        """A command of the program as the readme has it."""
        return self.run(step, [sys.executable, "app/run.py", *words], typed)

    def run(self, step: str, command: list[str | Path], typed: str = "") -> str:
        """Do a step and print it; what fails ends the hour."""
        begun = time.monotonic()
        done = subprocess.run(
            command,
            cwd=self._copy,
            env=self._surroundings,
            input=typed,
            capture_output=True,
            text=True,
            timeout=LONGEST_S,
            check=False,
        )
        took = time.monotonic() - begun
        self.total_s += took
        said = (done.stdout.strip() or done.stderr.strip() or "-").splitlines()
        print(f"| {step} | {took:.1f} | {said[-1][:70].replace('|', '/')} |", flush=True)
        if done.returncode != 0:
            sys.exit(done.stderr)
        return done.stdout


def main(files: Path, folder: Path) -> int:
    """The whole hour; 1 when anything is left at the end."""
    copy, home, pictures = folder / "slopebeat", folder / "home", folder / "pictures"
    for made in (copy, home, pictures):
        made.mkdir(parents=True)
    for name in COPIED:
        if (ROOT / name).is_dir():
            skipped = shutil.ignore_patterns("__pycache__", "*.egg-info")
            shutil.copytree(ROOT / name, copy / name, ignore=skipped)
        else:
            shutil.copy(ROOT / name, copy)
    own = sorted(path for path in files.iterdir() if path.is_file() and path.suffix != ".md")
    hour, python = Hour(copy, home), copy / ".venv" / "bin" / "python"
    hour.call("set up, first start", "--version")
    hour.call("second start", "--version")
    hour.call("one file reviewed", "review", own[0], "--band", BAND)
    hour.call("its report", "review", own[0], "--band", BAND, "--pdf", folder / "report.pdf")
    hour.call("all files taken in", "import", files, "--athlete", "Hut warden", "--band", BAND)
    hour.run("in the window, with pictures", [python, "-c", WINDOW, pictures, own[0]])
    hour.call("months", "months")
    hour.call("what ground costs", "price")
    hour.call("ground gone again", "ground")
    hour.call("a plan", "plan", ROOT / "samples" / "lake_shore_walk.gpx", "--athlete", "Hut warden")
    hour.call("an archive", "archive", "save", "--athlete", "Hut warden", folder / "warden.zip")
    hour.call("a backup", "library", "backup", folder / "backup.sqlite3")
    hour.call("everything listed", "files")
    hour.call("everything removed", "files", "--remove", "--yes")
    # pip asks rustc for its version, if there is one; what starts it may keep settings of its own.
    left = [path for path in home.rglob("*") if path.is_file() and ".rustup" not in path.parts]
    print(f"\n{hour.total_s:.0f} s of waiting in all; left in the home folder: {len(left)} files")
    for path in left:
        print(f"  {path.relative_to(home)}")
    return 1 if left else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()))
