"""Where letters and pages of weeks or months are saved: asking, and writing a page in the background."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QWidget

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.session.background import Background

if TYPE_CHECKING:
    from slopebeat.report.months.files import PageFile


class LetterDialog:
    """Choosing the name of a letter."""

    @staticmethod
    def ask(parent: QWidget, name: str) -> Path | None:
        """The chosen file, none when it was cancelled."""
        filters = f"PDF (*.pdf);;HTML (*.html);;{tr('Text')} (*.txt)"
        chosen, _ = QFileDialog.getSaveFileName(parent, tr("Save the letter"), name, filters)
        return Path(chosen) if chosen else None


class PageDialog:
    """Choosing the name of a file for a page."""

    @staticmethod
    def ask(parent: QWidget, name: str) -> Path | None:
        """The chosen file, none when it was cancelled."""
        text, table = tr("Text"), tr("Figures")
        kinds = f"PDF (*.pdf);;HTML (*.html);;{text} (*.txt);;{table} (*.csv);;JSON (*.json)"
        chosen, _ = QFileDialog.getSaveFileName(parent, tr("Save the page"), name, kinds)
        return Path(chosen) if chosen else None


def save_page(
    parent: QWidget,
    background: Background,
    name: str,
    page: Callable[[], PageFile],
    told: Callable[[str], None],
) -> None:
    """Ask where, and write there; ``page`` is called in the background, ``told`` with what became of it."""
    path = PageDialog.ask(parent, name)
    if path is None:
        return
    path = path if path.suffix else path.with_suffix(".pdf")

    def refused(error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        told(str(error))

    background.run_in_background(
        lambda progress: page().write(path),
        lambda _: told(tr("{path} was saved.").format(path=path)),
        refused,
    )
