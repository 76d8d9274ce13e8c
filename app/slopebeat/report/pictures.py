"""Scenes as the content of a file: PNG at any sharpness, or pages of PDF."""

from __future__ import annotations

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QSizeF, Qt
from PySide6.QtGui import QImage, QImageWriter, QPageLayout, QPageSize, QPainter, QPdfWriter

from slopebeat import __version__
from slopebeat.report.paint import application, paint
from slopebeat.report.shapes import Scene
from slopebeat.report.words import one_line

PNG_DPI = 200.0
"""Sharpness of pictures unless asked for otherwise [project choice]."""


def image(scene: Scene, dpi: float = PNG_DPI) -> QImage:
    """The scene in pixels, on white."""
    application()
    scale = dpi / 72.0
    made = QImage(round(scene.width * scale), round(scene.height * scale), QImage.Format.Format_RGB32)
    made.fill(Qt.GlobalColor.white)
    made.setDotsPerMeterX(round(dpi / 0.0254))
    made.setDotsPerMeterY(round(dpi / 0.0254))
    made.setText("Title", one_line(scene.title))
    painter = QPainter(made)
    try:
        painter.scale(scale, scale)
        paint(painter, scene)
    finally:
        painter.end()
    return made


def png(scene: Scene, dpi: float = PNG_DPI) -> bytes:
    """The scene as the content of a PNG file; made in memory, where no disk is in the way."""
    held = QBuffer()
    held.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QImageWriter(held, QByteArray(b"png"))
    if not writer.write(image(scene, dpi)):
        raise RuntimeError(f"PNG: {writer.errorString()}")
    return bytes(held.data().data())


RESOLUTION = 1200
"""Steps per inch of the coordinates in the file."""


def pdf(scene: Scene, *further: Scene) -> bytes:
    """The scenes as the pages of a PDF, all of the size of the first; in memory, as Qt does not tell of a
    full disk."""
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
        for page in further:
            writer.newPage()
            paint(painter, page)
    finally:
        painter.end()
    return bytes(held.data().data())
