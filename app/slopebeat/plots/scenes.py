"""What has changed on all charts is known before a window is painted, so that it is painted once."""

from __future__ import annotations

from weakref import WeakSet

import shiboken6
from PySide6.QtCore import QCoreApplication, QEvent, QObject

_scenes: WeakSet[QObject] = WeakSet()


def keep_in_step(scene: QObject) -> None:
    """Let this scene be settled with the others."""
    _scenes.add(scene)


class OnePainting(QObject):
    """Lets every scene tell its view what has to be painted before its window is painted.

    Each does so by an event of its own and has the whole window painted at once: three charts that show
    another band would have three paintings.
    """

    def __init__(self, window: QObject) -> None:
        super().__init__(window)
        window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.UpdateRequest:
            for scene in filter(shiboken6.isValid, [*_scenes]):
                QCoreApplication.sendPostedEvents(scene, QEvent.Type.MetaCall.value)
        return False
