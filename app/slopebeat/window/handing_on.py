"""Handing an outing on: report, tables and pictures as files, summary and tables to the clipboard."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QWidget

from slopebeat.model.errors import UserError
from slopebeat.report.outing_chart import outing_chart
from slopebeat.report.pictures import write_png, write_svg
from slopebeat.report.report import write_html, write_pdf
from slopebeat.review.export_csv import write_csv_folder
from slopebeat.review.export_text import summary_text, table_text
from slopebeat.review.outing import Review
from slopebeat.session.session import Session
from slopebeat.window.notices import Notice
from slopebeat.window.stretches import CLIMB_COLUMNS, EPISODE_COLUMNS, episode_rows
from slopebeat.window.table import Column

REPORT_WRITERS: dict[str, Callable[[Review, Path], None]] = {".pdf": write_pdf, ".html": write_html}
PICTURE_WRITERS: dict[str, Callable[[Review, Path], None]] = {
    ".png": lambda review, path: write_png(outing_chart(review), path),
    ".svg": lambda review, path: write_svg(outing_chart(review), path),
}
NO_OUTING = "Open a recording first; there is no outing to hand on."


class SaveDialog:
    """Choosing the name of a file to write."""

    @staticmethod
    def ask(parent: QWidget, title: str, name: str, filters: str) -> Path | None:
        """The chosen file, none when it was cancelled."""
        chosen, _ = QFileDialog.getSaveFileName(parent, title, name, filters)
        return Path(chosen) if chosen else None


class FolderDialog:
    """Choosing a folder to write into."""

    @staticmethod
    def ask(parent: QWidget, title: str) -> Path | None:
        """The chosen folder, none when it was cancelled."""
        chosen = QFileDialog.getExistingDirectory(parent, title)
        return Path(chosen) if chosen else None


class HandingOn(QObject):
    """What the actions that save and copy do; files are written in the background."""

    def __init__(self, window: QWidget, session: Session, notice: Notice) -> None:
        super().__init__(window)
        self._window = window
        self._session = session
        self._notice = notice

    def save_report(self) -> None:
        self._save("Save report", "report.pdf", "PDF (*.pdf);;HTML (*.html)", REPORT_WRITERS)

    def save_picture(self) -> None:
        self._save("Save picture", "outing.png", "PNG (*.png);;SVG (*.svg)", PICTURE_WRITERS)

    def save_tables(self) -> None:
        review = self._review()
        folder = None if review is None else FolderDialog.ask(self._window, "Save tables as CSV")
        if review is not None and folder is not None:
            self._write(lambda: write_csv_folder(review, folder), f"The tables were saved in {folder}.")

    def copy_summary(self) -> None:
        review = self._review()
        if review is not None:
            self._copy(summary_text(review), "The summary was copied.")

    def copy_climbs(self) -> None:
        review = self._review()
        if review is not None:
            self._copy(_as_text(CLIMB_COLUMNS, review.climbs), "The table of climbs was copied.")

    def copy_episodes(self) -> None:
        review = self._review()
        if review is not None:
            text = _as_text(EPISODE_COLUMNS, episode_rows(review))
            self._copy(text, "The table of episodes out of band was copied.")

    def _review(self) -> Review | None:
        review = self._session.outing.review
        if review is None:
            self._notice.say(NO_OUTING)
        return review

    def _save(
        self, title: str, name: str, filters: str, writers: dict[str, Callable[[Review, Path], None]]
    ) -> None:
        review = self._review()
        path = None if review is None else SaveDialog.ask(self._window, title, name, filters)
        if review is None or path is None:
            return
        write = writers.get(path.suffix.lower())
        if write is None:
            self._notice.say(f"End the name of the file in {' or '.join(writers)}; nothing was saved.")
            return
        self._write(lambda: write(review, path), f"{path} was saved.")

    def _write(self, write: Callable[[], object], done: str) -> None:
        self._session.background.run_in_background(
            lambda progress: write(), lambda result: self._notice.say(done), self._failed
        )

    def _failed(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self._notice.say(str(error))

    def _copy(self, text: str, done: str) -> None:
        QGuiApplication.clipboard().setText(text)
        self._notice.say(done)


def _as_text(columns: Sequence[Column], rows: Sequence[Any]) -> str:
    cells = [[column.text(column.value(i, row)) for column in columns] for i, row in enumerate(rows)]
    return table_text([column.header for column in columns], cells)
