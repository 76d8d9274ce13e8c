"""A picture of the report in the window, in the window's colours and as wide as there is room."""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPixmap, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from slopebeat.plots.colours import Colours
from slopebeat.plots.theme import theme
from slopebeat.report.shapes import Scene

Making = Callable[[float, Colours], Scene]
"""Makes the picture for a width in points and colours."""

PX_PER_POINT = 1.62
"""Texts of a report are small for a screen: they are drawn this much larger [project choice]."""


class ScenePicture(QWidget):
    """Draws a scene; nothing until there is one."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._making: Making | None = None
        self._picture: QPixmap | None = None
        self._wide = 0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.follow(self._draw_anew)

    def show_scene(self, making: Making | None) -> None:
        """Show the scene this makes, made anew at every width and colour; None shows nothing."""
        self._making = making
        self._draw_anew()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self.width() != self._wide:
            self._draw_anew()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._picture is not None:
            painter = QPainter(self)
            painter.drawPixmap(0, 0, self._picture)
            painter.end()

    def _draw_anew(self) -> None:
        self._picture, self._wide = None, self.width()
        if self._making is None or self.width() < 1:
            self.setFixedHeight(0)
            return
        from slopebeat.report.paint import paint_shapes  # Loaded with the first picture.

        scale = PX_PER_POINT * theme.text_share
        scene = self._making(self.width() / scale, theme.colours)
        sharp = self.devicePixelRatioF()
        high = math.ceil(scene.height * scale)
        picture = QPixmap(math.ceil(self.width() * sharp), math.ceil(high * sharp))
        picture.setDevicePixelRatio(sharp)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.scale(scale, scale)
        paint_shapes(painter, scene.shapes)
        painter.end()
        self._picture = picture
        self.setFixedHeight(high)
        self.setAccessibleName(scene.title)
        self.setAccessibleDescription(scene.description)
        self.update()
