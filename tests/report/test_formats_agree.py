"""The same scene drawn through SVG by another renderer and by the painter gives the same picture."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from helpers.report_pictures import picture
from slopebeat.report.pictures import image
from slopebeat.report.shapes import Anchor, Scene, Text
from slopebeat.report.svg import svg
from slopebeat.review.outing import Review

DPI = 144.0


def pixels(made: QImage) -> np.ndarray:
    grey = made.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(grey.constBits(), dtype=np.uint8).reshape(grey.height(), grey.bytesPerLine())
    return rows[:, : grey.width()].astype(float)


def rendered(scene: Scene) -> np.ndarray:
    """Through the SVG text and Qt's own reader of SVG."""
    renderer = QSvgRenderer(QByteArray(svg(scene).encode()))
    assert renderer.isValid()
    size = image(scene, DPI).size()
    made = QImage(size, QImage.Format.Format_RGB32)
    made.fill(Qt.GlobalColor.white)
    painter = QPainter(made)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    renderer.render(painter, QRectF(0, 0, size.width(), size.height()))
    painter.end()
    return pixels(made)


def without_text(scene: Scene) -> Scene:
    """Letters are the fonts' business; lines and surfaces are ours."""
    kept = tuple(shape for shape in scene.shapes if not isinstance(shape, Text))
    return Scene(scene.width, scene.height, kept, scene.title, scene.description)


@pytest.mark.parametrize("which", ["chart", "account", "causes"])
def test_lines_and_surfaces_are_the_same_in_svg_and_on_a_painter(which: str, review: Review) -> None:
    scene = picture(which, review)
    bare = without_text(scene)
    ours, theirs = pixels(image(bare, DPI)), rendered(bare)
    assert ours.std() > 10.0, "something is drawn"
    assert np.mean(np.abs(ours - theirs)) < 2.5, "edges may be softened differently"
    assert np.mean(np.abs(ours - theirs) > 60.0) < 0.01


@pytest.mark.parametrize("anchor", list(Anchor))
@pytest.mark.parametrize("bold", [False, True])
def test_text_stands_at_the_same_place_in_both(anchor: Anchor, bold: bool) -> None:
    text = Text(100.0, 40.0, "112 bpm", 9.0, "#000000", anchor, bold)
    scene = Scene(200.0, 60.0, (text,), "text")
    ours, theirs = pixels(image(scene, DPI)), rendered(scene)
    for axis in (0, 1):
        ink, other = (np.flatnonzero((255.0 - drawn).sum(axis=axis) > 50.0) for drawn in (ours, theirs))
        assert abs(int(ink[0]) - int(other[0])) <= 4
        assert abs(int(ink[-1]) - int(other[-1])) <= 4
