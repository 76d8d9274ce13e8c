"""These tests need no display, but items with texts need an application: without one they end the process."""

from __future__ import annotations

import os

import pytest
from PySide6.QtWidgets import QApplication

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


@pytest.fixture(scope="session", autouse=True)
def _application(qapp: QApplication) -> None:
    """Also for those that make an axis and ask for no window."""
