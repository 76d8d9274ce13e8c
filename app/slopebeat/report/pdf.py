"""A scene as PDF: one page, vectors and text only."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter

from slopebeat import __version__
from slopebeat.model.language import tr
from slopebeat.report.paint import paint
from slopebeat.report.qt import application
from slopebeat.report.shapes import Scene
from slopebeat.report.words import plain
from slopebeat.report.writing import write_with

RESOLUTION = 1200
"""Steps per inch of the coordinates in the file."""


def write_pdf(scene: Scene, path: Path) -> None:
    """Write a scene as a PDF page of its size.

    Raises
    ------
    UserError
        With a sentence, when the file cannot be written.
    """
    application()
    refusal = tr("{path} could not be written: making the PDF failed, perhaps because the disk is full.")
    write_with(path, lambda name: _written(scene, name), refusal)


def _written(scene: Scene, name: str) -> bool:
    writer = QPdfWriter(name)
    writer.setTitle(plain(scene.title))
    writer.setCreator(f"Slopebeat {__version__}")
    writer.setResolution(RESOLUTION)
    size = QPageSize(
        QSizeF(scene.width, scene.height), QPageSize.Unit.Point, "", QPageSize.SizeMatchPolicy.FuzzyMatch
    )
    writer.setPageLayout(QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0)))
    painter = QPainter()
    if not painter.begin(writer):
        return False
    try:
        painter.scale(RESOLUTION / 72, RESOLUTION / 72)
        paint(painter, scene)
    finally:
        written = painter.end()
    return written
