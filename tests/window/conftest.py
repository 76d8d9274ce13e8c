"""A window on invented outings, opened and closed for each test."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QCoreApplication, QEvent
from pytestqt.qtbot import QtBot

from slopebeat.plots.colours import LIGHT
from slopebeat.session.outing.demo import demo_files
from slopebeat.session.session import Session
from slopebeat.window.shell.main_window import MainWindow
from window_acts import next_review


@pytest.fixture(scope="session")
def walk_file() -> Path:
    return next(path for path in demo_files() if path.suffix == ".gpx")


@pytest.fixture(scope="session")
def ride_file() -> Path:
    return next(path for path in demo_files() if path.suffix == ".tcx")


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[MainWindow]:
    """The window as it is at the first start."""
    # The windows of earlier tests wait for an event loop to delete them; until then all is styled with them.
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    # What is left of them in cycles goes here and now: a thread at work might be the one to collect it.
    gc.collect()
    made = MainWindow(Session(), LIGHT)
    qtbot.addWidget(made)
    made.resize(1280, 800)
    made.show()
    yield made
    made.session.close()


@pytest.fixture
def ride(window: MainWindow, qtbot: QtBot, ride_file: Path) -> MainWindow:
    """The window showing the invented ride, band 112-131 entered by its two edges."""
    with next_review(window.session, qtbot):
        window.open([ride_file])
    window.page.aim.band.lower_edge.setValue(112)
    with next_review(window.session, qtbot):
        window.page.aim.band.upper_edge.setValue(131)
    return window
