"""Writing to the disk off the window's thread, in order, and never given up."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal

Work = Callable[[], Any]


@dataclass(frozen=True, eq=False)
class _Ended:
    """What came of a piece of work, and whom to tell."""

    result: Any
    error: Exception | None
    on_done: Callable[[Any], None]
    on_error: Callable[[Exception], None]


class Writer(QObject):
    """Does one thing after the other in a thread; unlike background work it is waited for, not cancelled."""

    _ended = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="slopebeat-writing")
        self._lock = threading.Lock()
        self._results: deque[_Ended] = deque()
        self._under_way = 0
        self._ended.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    def put(self, work: Work, on_done: Callable[[Any], None], on_error: Callable[[Exception], None]) -> None:
        """Do this after all that was put before; the callbacks run in the window's thread."""
        self._under_way += 1
        self._pool.submit(self._do, work, on_done, on_error)

    @property
    def idle(self) -> bool:
        """Whether everything is on the disk and told of."""
        return self._under_way == 0

    def close(self) -> None:
        """Wait until all is done, and tell what came of it."""
        self._pool.shutdown(wait=True)
        self._deliver()

    def _do(self, work: Work, on_done: Callable[[Any], None], on_error: Callable[[Exception], None]) -> None:
        result, error = None, None
        try:
            result = work()
        except Exception as problem:
            error = problem
        with self._lock:
            self._results.append(_Ended(result, error, on_done, on_error))
        self._ended.emit()

    def _deliver(self) -> None:
        while True:
            with self._lock:
                if not self._results:
                    return
                each = self._results.popleft()
            self._under_way -= 1
            if each.error is not None:
                each.on_error(each.error)
            else:
                each.on_done(each.result)
