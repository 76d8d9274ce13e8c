"""Backing the library up, looking for damage in it and restoring it, from the menu."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMessageBox, QWidget

from slopebeat.disk.places import library_path
from slopebeat.library.faults import DamagedOriginals
from slopebeat.library.store import Library, restore
from slopebeat.model.language import tr
from slopebeat.review.words.messages import say, say_all
from slopebeat.window.widgets.page_file import FileDialog

if TYPE_CHECKING:
    from slopebeat.model.message import Message
    from slopebeat.session.library.library import LibrarySession
    from slopebeat.window.widgets.notices import Notice

PATTERN = "(*.sqlite3)"


class BackupDialog:
    """Whether a backup is restored though it is damaged."""

    @staticmethod
    def ask_go_on(parent: QWidget, damaged: DamagedOriginals) -> bool:
        words = "\n".join((str(damaged), *map(say, damaged.names), tr("Restore it all the same?")))
        answer = QMessageBox.question(parent, tr("Restore the library from a backup"), words)
        return answer is QMessageBox.StandardButton.Yes


class BackupActions(QObject):
    """Joins backup, check and restore to the session; the library controller owns one."""

    def __init__(self, window: QWidget, session: LibrarySession, notice: Notice) -> None:
        super().__init__(window)
        self._window, self._library, self._notice = window, session, notice

    def back_up_library(self) -> None:
        """Copy the whole library into one file."""
        self._library.with_library(self._back_up)

    def check_library(self) -> None:
        """Look at every page and every original file."""
        self._library.with_library(
            lambda library: self._library.work.run(
                tr("Checking the library"), lambda progress: library.check(files=True), self._tell_check
            )
        )

    def restore_library(self) -> None:
        """Put a backup in the place of the library."""
        title, kinds = tr("Restore the library from a backup"), f"{tr('Libraries')} {PATTERN}"
        backup = FileDialog.ask_to_open(self._window, title, kinds)
        if backup is not None:
            self._restore(backup, False)

    def _back_up(self, library: Library) -> None:
        name = str(library.path.with_name(f"{library.path.stem}-backup.sqlite3"))
        title, kinds = tr("Save a backup of the library"), f"{tr('Libraries')} {PATTERN}"
        target = FileDialog.ask_to_save(self._window, title, name, kinds)
        if target is not None:
            self._library.work.run(
                tr("Saving a backup"),
                lambda progress: library.backup(target),
                lambda _: self._notice.say(tr("The library was saved in {path}.").format(path=target)),
            )

    def _tell_check(self, problems: tuple[Message, ...]) -> None:
        self._notice.say(say_all(problems) or tr("The library is whole: every file kept is as it came in."))

    def _restore(self, backup: Path, although_damaged: bool) -> None:
        opened = self._library.opened.library
        place = opened.path if opened is not None else self._library.memory.path or library_path()

        def work(progress: object) -> Path | DamagedOriginals | None:
            try:
                return restore(backup, place, although_damaged)
            except DamagedOriginals as damaged:
                return damaged

        def done(result: Path | DamagedOriginals | None) -> None:
            if isinstance(result, DamagedOriginals):
                if BackupDialog.ask_go_on(self._window, result):
                    self._restore(backup, True)
                return
            words = [tr("The library {path} was restored from {backup}.").format(path=place, backup=backup)]
            if result is not None:
                words.append(tr("What was there before is kept as {path}.").format(path=result))
            self._notice.say(" ".join(words))
            self._library.open(place)

        self._library.work.run(tr("Restoring the library"), work, done)
