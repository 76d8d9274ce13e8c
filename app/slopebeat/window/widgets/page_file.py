"""Files to open and to write: asking which, and writing letters and pages in the background."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QWidget

from slopebeat.model.language import tr
from slopebeat.session.background import Background, say_problem

if TYPE_CHECKING:
    from slopebeat.report.formats import Formats
    from slopebeat.review.price.athlete import Letter


Say = Callable[[str], None]
"""Hears what came of it, in a sentence."""


class FileDialog:
    """Choosing a file or a folder; None, or no file, where it was cancelled."""

    @staticmethod
    def ask_to_open(parent: QWidget, title: str, kinds: str, start: str = "") -> Path | None:
        name, _ = QFileDialog.getOpenFileName(parent, title, start, kinds)
        return Path(name) if name else None

    @staticmethod
    def ask_to_open_many(parent: QWidget, title: str, kinds: str, start: str = "") -> list[Path]:
        names, _ = QFileDialog.getOpenFileNames(parent, title, start, kinds)
        return [Path(name) for name in names]

    @staticmethod
    def ask_to_save(parent: QWidget, title: str, name: str, kinds: str, is_asked: bool = True) -> Path | None:
        """``is_asked``: whether a file that is there may be replaced is asked."""
        how = QFileDialog.Option(0) if is_asked else QFileDialog.Option.DontConfirmOverwrite
        chosen, _ = QFileDialog.getSaveFileName(parent, title, name, kinds, options=how)
        return Path(chosen) if chosen else None

    @staticmethod
    def ask_folder(parent: QWidget, title: str) -> Path | None:
        name = QFileDialog.getExistingDirectory(parent, title)
        return Path(name) if name else None


def save_formats(
    parent: QWidget,
    background: Background,
    title: str,
    name: str,
    kinds: str,
    formats: Callable[[], Formats],
    say: Say,
    ending: str = ".pdf",
    beside: str = "",
) -> None:
    """Ask where, and write there, with this ending where the name has none; ``beside`` is said with it.

    ``formats`` is called in the background.
    """
    path = FileDialog.ask_to_save(parent, title, name, kinds)
    if path is not None:
        target = path if path.suffix else path.with_suffix(ending)
        done = f"{tr('{path} was saved.').format(path=target)} {beside}".rstrip()
        background.run_in_background(
            lambda progress: _write(formats, target), lambda _: say(done), say_problem(say)
        )


def save_letter(parent: QWidget, background: Background, name: str, letter: Letter, say: Say) -> None:
    """Save a letter where the user says."""
    kinds = f"PDF (*.pdf);;HTML (*.html);;{tr('Text')} (*.txt)"
    save_formats(parent, background, tr("Save the letter"), name, kinds, lambda: _formats_of(letter), say)


def save_page(
    parent: QWidget, background: Background, name: str, page: Callable[[], Formats], say: Say
) -> None:
    """Save a page of weeks or months where the user says; ``page`` is called in the background."""
    text, table = tr("Text"), tr("Figures")
    kinds = f"PDF (*.pdf);;HTML (*.html);;{text} (*.txt);;{table} (*.csv);;JSON (*.json)"
    save_formats(parent, background, tr("Save the page"), name, kinds, page, say)


def _write(formats: Callable[[], Formats], path: Path) -> None:
    """What writes is loaded with the first file."""
    from slopebeat.report.formats import write_as

    write_as(formats(), path)


def _formats_of(letter: Letter) -> Formats:
    from slopebeat.report.letter import letter_formats

    return letter_formats(letter)
