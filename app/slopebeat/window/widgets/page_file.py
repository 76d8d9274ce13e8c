"""Files to open and to write: asking which, and writing letters and pages in the background."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QWidget

from slopebeat.model.language import tr
from slopebeat.session.background import Background, say_problem

if TYPE_CHECKING:
    from slopebeat.report.months.files import PageFile
    from slopebeat.review.price.athlete import Letter


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


def save_letter(
    parent: QWidget,
    background: Background,
    name: str,
    letter: Callable[[], Letter],
    told: Callable[[str], None],
) -> None:
    """Ask where, then write what ``letter`` gives in the background; ``told`` hears what came of it."""
    kinds = f"PDF (*.pdf);;HTML (*.html);;{tr('Text')} (*.txt)"
    path = FileDialog.ask_to_save(parent, tr("Save the letter"), name, kinds)
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
    text, table = tr("Text"), tr("Figures")
    kinds = f"PDF (*.pdf);;HTML (*.html);;{text} (*.txt);;{table} (*.csv);;JSON (*.json)"
    path = FileDialog.ask_to_save(parent, tr("Save the page"), name, kinds)
    if path is not None:
        _write(background, path, lambda to: page().write(to), told)


def _write(
    background: Background, path: Path, write: Callable[[Path], None], told: Callable[[str], None]
) -> None:
    """Call ``write`` in the background with the file, a PDF where its name has no ending."""
    path = path if path.suffix else path.with_suffix(".pdf")
    done = tr("{path} was saved.").format(path=path)
    background.run_in_background(lambda progress: write(path), lambda _: told(done), say_problem(told))


def _write_letter(letter: Letter, path: Path) -> None:
    """What writes letters is loaded with the first of them."""
    from slopebeat.report.letter import write_letter

    write_letter(letter, path)
