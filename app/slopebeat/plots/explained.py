"""Which figure a part of a chart shows, for the help: an axis, a panel, the words beside the band."""

from __future__ import annotations

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QGraphicsItem, QGraphicsView

FIGURE = 0
"""Under this number an item of a scene keeps the key of its explanation."""


def explain_part(item: QGraphicsItem, key: str) -> None:
    """Let the help explain this item, and what lies on it, by an entry."""
    item.setData(FIGURE, key)


def figure_at(view: QGraphicsView, place: QPoint) -> str | None:
    """The key of the uppermost item at a place of the view that has one."""
    keys = (item.data(FIGURE) for item in view.items(place))
    return next((str(key) for key in keys if key), None)
