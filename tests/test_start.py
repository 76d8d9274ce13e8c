"""What a start does not load: what takes long to load and is not wanted yet. No times are taken here."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from helpers.patience import WAIT_S

ROOT = Path(__file__).resolve().parents[1]
TABLES = {"pandas", "scipy", "fitparse", "gpxpy"}
"""Heavy libraries that neither a review nor an empty window wants."""

FRONTS = {"PySide6", "pyqtgraph", "slopebeat.window", "slopebeat.plots", "slopebeat.session"}

LATER = {
    "pyqtgraph",
    "slopebeat.window.shell.outing_page",
    "slopebeat.window.shell.preferences_page",
    "slopebeat.window.library.page",
    "slopebeat.window.library.compare",
    "slopebeat.window.library.band.dialog",
    "slopebeat.window.route.page",
    "slopebeat.report.report",
    "slopebeat.report.paint",
    "slopebeat.report.pictures",
}
"""What is loaded behind the window, or when it is first wanted."""

WITH_FILES = {"numpy", "slopebeat.files", "slopebeat.cleaning", "slopebeat.library", "slopebeat.report"}
"""What is loaded with the first file or when a library is opened."""

AT_START = {
    "slopebeat.analysis.band.hr_max",
    "slopebeat.review.cautions",
    "slopebeat.review.help.guide",
}
"""All that an empty window wants of what computes; no more than a few words and constants."""

MONTHS_AND_WAYS = (
    "slopebeat.analysis.months.choice",
    "slopebeat.analysis.months.weeks",
    "slopebeat.analysis.route.plan",
    "slopebeat.analysis.route.forecast",
    "slopebeat.analysis.band.lactate",
    "slopebeat.review.day",
)
"""What only months, planned ways, tests and days in parts want of what computes."""

WINDOW = """
from PySide6.QtWidgets import QApplication
from slopebeat.window.shell.app import open_window
app = QApplication(["slopebeat"])
window = open_window([])
app.processEvents()
window.session.close()
"""


def loaded(code: str, home: Path) -> set[str]:
    """Every module a process of its own has loaded after this code."""
    own = {"HOME": str(home), "XDG_DATA_HOME": str(home / "data"), "XDG_CONFIG_HOME": str(home / "config")}
    surroundings = os.environ | own | {"PYTHONPATH": str(ROOT / "app"), "QT_QPA_PLATFORM": "offscreen"}
    code = f"{code}\nimport sys, os\nprint('loaded:', *sys.modules, flush=True)\nos._exit(0)\n"
    ran = subprocess.run(
        [sys.executable, "-c", code],
        env=surroundings,
        capture_output=True,
        text=True,
        timeout=WAIT_S,
        check=True,
    )
    return set(ran.stdout.rsplit("loaded:", 1)[1].split())


def command(*words: str) -> str:
    return f"from slopebeat.__main__ import main\nmain({list(words)!r})"


def test_saying_the_version_loads_no_command_and_no_numbers(tmp_path: Path) -> None:
    modules = loaded(command("--version"), tmp_path)
    assert not modules & (
        TABLES | FRONTS | {"numpy", "slopebeat.review", "slopebeat.library", "slopebeat.files"}
    )


@pytest.mark.parametrize("ending", ["fit", "gpx"])
def test_a_review_loads_no_front_no_other_command_and_no_heavy_library(tmp_path: Path, ending: str) -> None:
    one = sorted((ROOT / "samples").glob(f"*.{ending}"))[0]
    modules = loaded(command("review", str(one), "--band", "112-131"), tmp_path)
    others = {f"slopebeat.command.{name}" for name in ("months", "plan", "archive", "import_", "library")}
    assert "slopebeat.review.outing" in modules
    # What the fields of a FIT file mean is read from fitparse.
    heavy = TABLES - {"fitparse"} if ending == "fit" else TABLES
    # Imports bring worker processes along; one review needs none.
    assert not modules & (
        heavy | FRONTS | others | {"slopebeat.report", "slopebeat.review.imports", "multiprocessing"}
    )


@pytest.mark.parametrize(("ending", "other"), [("fit", "xml.gpx"), ("gpx", "fit.fit_recording")])
def test_a_review_loads_what_its_file_and_one_outing_want_alone(
    tmp_path: Path, ending: str, other: str
) -> None:
    one = sorted((ROOT / "samples").glob(f"*.{ending}"))[0]
    modules = loaded(command("review", str(one), "--band", "112-131"), tmp_path)
    assert f"slopebeat.files.{other}" not in modules
    assert not {each for each in modules if each.startswith(MONTHS_AND_WAYS)}
    assert not modules & {
        *("slopebeat.library.store", "slopebeat.review.export", "slopebeat.command.together"),
        *("sqlite3", "numpy.ma"),
    }


def test_an_empty_window_loads_no_heavy_library_and_no_page_that_is_not_seen(tmp_path: Path) -> None:
    modules = loaded(WINDOW, tmp_path)
    assert "slopebeat.window.shell.main_window" in modules
    assert not modules & (TABLES | LATER | WITH_FILES)
    computing = ("slopebeat.review.", "slopebeat.analysis.")
    packages = {each.rpartition(".")[0] for each in AT_START}
    assert {each for each in modules if each.startswith(computing)} - packages == AT_START


def test_the_library_shown_at_the_start_loads_no_charts(tmp_path: Path) -> None:
    modules = loaded(WINDOW.replace("app.processEvents()", "window.library.page.show()"), tmp_path)
    assert "slopebeat.window.library.page" in modules
    assert not modules & (TABLES | LATER - {"slopebeat.window.library.page"})
