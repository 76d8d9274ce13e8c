"""A scene as a picture: SVG, or PNG at any sharpness."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QByteArray, Qt
from PySide6.QtGui import QImage, QImageWriter, QPainter

from slopebeat.model.language import tr
from slopebeat.report.paint import paint
from slopebeat.report.qt import application
from slopebeat.report.shapes import Scene
from slopebeat.report.svg import svg
from slopebeat.report.words import plain
from slopebeat.report.writing import write_text, write_with

PNG_DPI = 200.0
"""Sharpness of pictures unless asked for otherwise [project choice]."""


def write_svg(scene: Scene, path: Path) -> None:
    """Write a scene as an SVG file; UserError with a sentence when that fails."""
    write_text(path, svg(scene))


def image(scene: Scene, dpi: float = PNG_DPI) -> QImage:
    """The scene in pixels, on white."""
    application()
    scale = dpi / 72.0
    made = QImage(round(scene.width * scale), round(scene.height * scale), QImage.Format.Format_RGB32)
    made.fill(Qt.GlobalColor.white)
    made.setDotsPerMeterX(round(dpi / 0.0254))
    made.setDotsPerMeterY(round(dpi / 0.0254))
    made.setText("Title", plain(scene.title))
    painter = QPainter(made)
    try:
        painter.scale(scale, scale)
        paint(painter, scene)
    finally:
        painter.end()
    return made


def write_png(scene: Scene, path: Path, dpi: float = PNG_DPI) -> None:
    """Write a scene as a PNG file; UserError with a sentence when that fails."""
    made = image(scene, dpi)

    def written(name: str) -> bool:
        writer = QImageWriter(name)
        writer.setFormat(QByteArray(b"png"))
        return writer.write(made)

    refusal = tr("{path} could not be written: making the picture failed, perhaps because the disk is full.")
    write_with(path, written, refusal)
