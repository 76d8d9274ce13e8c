"""A scene as PDF: one page, vectors and text only."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter

from slopebeat import __version__
from slopebeat.disk.writing import write_whole
from slopebeat.report.paint import paint
from slopebeat.report.qt import application
from slopebeat.report.shapes import Scene
from slopebeat.report.words import one_line

RESOLUTION = 1200
"""Steps per inch of the coordinates in the file."""


def write_pdf(scene: Scene, path: Path) -> None:
    """Write a scene as a PDF page of its size.

    Raises
    ------
    UserError
        With a sentence, when the file cannot be written.
    """
    write_whole(path, pdf(scene))


def pdf(scene: Scene) -> bytes:
    """The scene as the content of a PDF; in memory, as Qt does not tell of a full disk."""
    application()
    held = QBuffer()
    held.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(held)
    writer.setTitle(one_line(scene.title))
    writer.setCreator(f"Slopebeat {__version__}")
    writer.setResolution(RESOLUTION)
    size = QPageSize(
        QSizeF(scene.width, scene.height), QPageSize.Unit.Point, "", QPageSize.SizeMatchPolicy.FuzzyMatch
    )
    writer.setPageLayout(QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0)))
    painter = QPainter(writer)
    try:
        painter.scale(RESOLUTION / 72, RESOLUTION / 72)
        paint(painter, scene)
    finally:
        painter.end()
    return bytes(held.data().data())
