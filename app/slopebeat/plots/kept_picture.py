"""Pictures that are kept between paints, for what is slow to draw and seldom changes."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter, QPixmap

from slopebeat.plots.theme import theme


def whole_dots(frame: QRectF) -> QRectF:
    """The least frame of whole dots about a frame."""
    return QRectF(frame.toAlignedRect())


class KeptPicture:
    """What is drawn into a frame, drawn anew only where something it was drawn from is another."""

    def __init__(self) -> None:
        self._drawn_from: tuple[object, ...] = ()
        self._picture = QPixmap()
        self.times_drawn = 0

    def of(
        self, painter: QPainter, frame: QRectF, key: tuple[object, ...], draw: Callable[[QPainter], None]
    ) -> QPixmap:
        """The picture of :func:`whole_dots` of a frame, as the device of ``painter`` shows it.

        Parameters
        ----------
        key : tells all it is drawn from beside frame, colours and text size.
        draw : draws it, in the coordinates of the frame.
        """
        sharp = painter.device().devicePixelRatioF()
        drawn_from = (QRectF(frame), sharp, theme.colours, theme.text_share, *key)
        if drawn_from != self._drawn_from:
            whole, self._drawn_from = whole_dots(frame), drawn_from
            self._picture = QPixmap((QSizeF(whole.size()) * sharp).toSize())
            self._picture.setDevicePixelRatio(sharp)
            self._picture.fill(Qt.GlobalColor.transparent)
            inside = QPainter(self._picture)
            inside.translate(-whole.topLeft())
            draw(inside)
            inside.end()
            self.times_drawn += 1
        return self._picture

    def forget(self) -> None:
        """Keep nothing."""
        self._drawn_from, self._picture = (), QPixmap()
