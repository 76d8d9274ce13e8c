"""Our own errors: a dialog that says where the log is, so that none passes unseen."""

from __future__ import annotations

import faulthandler
import os
import sys
import traceback
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import TextIO

from PySide6.QtWidgets import QMessageBox

from slopebeat import __version__
from slopebeat.disk.places import log_folder
from slopebeat.disk.writing import write_whole
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr


def save_log(text: str) -> Path | None:
    """Write a log file and say where; None when even that fails."""
    folder = log_folder()
    path = folder / f"error-{datetime.now(UTC):%Y%m%dT%H%M%S-%f}.log"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        write_whole(path, text.encode("utf-8", "replace"))
    except (OSError, UserError):
        return None
    return path


class NativeFaults:
    """A log of faults under Python, which end the process at once: what every thread was doing then."""

    def __init__(self) -> None:
        self._file: TextIO | None = None

    def begin(self) -> None:
        """Write such a fault to a file, which has to be open before it happens."""
        path = log_folder() / f"fault-{os.getpid()}.log"
        with suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True)
            self._file = path.open("w", encoding="utf-8")
            faulthandler.enable(self._file)

    def end(self) -> None:
        """Nothing happened: no file stays."""
        if self._file is not None:
            faulthandler.disable()
            self._file.close()
            with suppress(OSError):
                Path(self._file.name).unlink()


class CrashDialog:
    """Tells the user of an error of ours."""

    @staticmethod
    def ask(summary: str, details: str, log: Path | None) -> None:
        box = QMessageBox(
            QMessageBox.Icon.Warning, "Slopebeat", tr("Something went wrong in Slopebeat itself.")
        )
        where = tr("A log was saved as {file}.").format(file=log) if log else tr("No log could be saved.")
        advice = tr("What you see may be incomplete; restarting is safe.")
        box.setInformativeText(f"{summary}\n\n{where} {advice}")
        box.setDetailedText(details)
        box.exec()


class ExceptHook:
    """Takes what nobody caught. While one dialog is open further errors only go to the log."""

    def __init__(self, tell: Callable[[str, str, Path | None], None] = CrashDialog.ask) -> None:
        self._tell = tell
        self._telling = False

    def install(self) -> None:
        sys.excepthook = self

    def __call__(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        details = f"Slopebeat {__version__}\n" + "".join(traceback.format_exception(kind, error, trace))
        sys.stderr.write(details)
        log = save_log(details)
        if self._telling:
            return
        self._telling = True
        try:
            self._tell(f"{kind.__name__}: {error}", details, log)
        finally:
            self._telling = False
