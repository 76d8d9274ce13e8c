"""Where a letter to an athlete is to be written."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from slopebeat.model.language import tr


class LetterDialog:
    """Choosing the name of a letter."""

    @staticmethod
    def ask(parent: QWidget, name: str) -> Path | None:
        """The chosen file, none when it was cancelled."""
        filters = f"PDF (*.pdf);;HTML (*.html);;{tr('Text')} (*.txt)"
        chosen, _ = QFileDialog.getSaveFileName(parent, tr("Save the letter"), name, filters)
        return Path(chosen) if chosen else None
