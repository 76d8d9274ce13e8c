"""Reports and commands draw without a window toolkit's widgets: they run where there is no display."""

from __future__ import annotations

import subprocess
import sys

LOAD_ALL = """
import importlib, pkgutil, sys
for name in sys.argv[1:]:
    room = importlib.import_module(name)
    for found in pkgutil.walk_packages(room.__path__, room.__name__ + "."):
        importlib.import_module(found.name)
    print(*(name for name in ("PySide6.QtWidgets", "pyqtgraph") if name in sys.modules))
"""


def loaded(*rooms: str) -> list[str]:
    """The widget libraries that are there once every module of the rooms is, after one after the other."""
    ran = subprocess.run([sys.executable, "-c", LOAD_ALL, *rooms], capture_output=True, text=True, check=True)
    return ran.stdout.splitlines()


def test_no_module_of_these_rooms_loads_widgets_and_where_they_are_they_are_seen() -> None:
    both = "PySide6.QtWidgets pyqtgraph"
    assert loaded("slopebeat.report", "slopebeat.command", "slopebeat.plots") == ["", "", both]
