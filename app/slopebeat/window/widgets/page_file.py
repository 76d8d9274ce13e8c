"""Where letters and pages of weeks or months are saved: asking, and writing in the background."""

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
    from slopebeat.review.price.athlete import Letter


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


def save_letter(
    parent: QWidget,
    background: Background,
    name: str,
    letter: Callable[[], Letter],
    told: Callable[[str], None],
) -> None:
    """Ask where, then write what ``letter`` gives in the background; ``told`` hears what came of it."""
    path = LetterDialog.ask(parent, name)
    if path is not None:
        chosen = letter()
        _write(background, path, lambda to: _write_letter(chosen, to), told)


def save_page(
    parent: QWidget,
    background: Background,
    name: str,
    page: Callable[[], PageFile],
    told: Callable[[str], None],
) -> None:
    """Ask where, and write there; ``page`` is called in the background, ``told`` with what became of it."""
    path = PageDialog.ask(parent, name)
    if path is not None:
        _write(background, path, lambda to: page().write(to), told)


def _write(
    background: Background, path: Path, write: Callable[[Path], None], told: Callable[[str], None]
) -> None:
    """Call ``write`` in the background with the file, a PDF where its name has no ending."""
    path = path if path.suffix else path.with_suffix(".pdf")

    def refused(error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        told(str(error))

    background.run_in_background(
        lambda progress: write(path), lambda _: told(tr("{path} was saved.").format(path=path)), refused
    )


def _write_letter(letter: Letter, path: Path) -> None:
    """What writes letters is loaded with the first of them."""
    from slopebeat.report.letter import write_letter

    write_letter(letter, path)
