"""A window on invented outings, opened and closed for each test."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from helpers.window_acts import next_review
from slopebeat.plots.colours import LIGHT
from slopebeat.session.outing.aim import BandChoice
from slopebeat.session.outing.opening import demo_files
from slopebeat.session.session import Session
from slopebeat.window.shell.main_window import MainWindow


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
    # With a sheet in force every widget is styled as it is made, and again when the window sets its own.
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    application.setStyleSheet("")
    made = MainWindow(Session(), LIGHT)
    qtbot.addWidget(made)
    made.resize(1280, 800)
    made.show()
    yield made
    made.session.close()


@pytest.fixture
def ride(window: MainWindow, qtbot: QtBot, ride_file: Path) -> MainWindow:
    """The window showing the invented ride with a band of 112-131, entered before it was opened."""
    entered = window.session.aim.entered
    window.session.aim.enter(replace(entered, choice=BandChoice(lower_bpm=112, upper_bpm=131)))
    with next_review(window.session, qtbot):
        window.open([ride_file])
    return window
