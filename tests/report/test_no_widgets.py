"""Reports and commands draw without a window toolkit's widgets: they run where there is no display."""

from __future__ import annotations

import subprocess
import sys

import pytest

LOAD_ALL = """
import importlib, pkgutil, sys
room = importlib.import_module(sys.argv[1])
for found in pkgutil.walk_packages(room.__path__, room.__name__ + "."):
    importlib.import_module(found.name)
print(*(name for name in ("PySide6.QtWidgets", "pyqtgraph") if name in sys.modules))
"""


def loaded(room: str) -> str:
    """The widget libraries that are there once every module of a room is."""
    ran = subprocess.run([sys.executable, "-c", LOAD_ALL, room], capture_output=True, text=True, check=True)
    return ran.stdout.strip()


@pytest.mark.parametrize("room", ["slopebeat.report", "slopebeat.command"])
def test_no_module_of_a_room_loads_widgets(room: str) -> None:
    assert loaded(room) == ""


def test_the_check_sees_widgets_where_they_are() -> None:
    assert loaded("slopebeat.plots") == "PySide6.QtWidgets pyqtgraph"
