"""What an import did: in a sentence or two, and as a list, file by file."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QTreeWidget, QTreeWidgetItem, QWidget

from slopebeat.model.language import tr, trn
from slopebeat.review.archive.words import change_words, merge_words
from slopebeat.review.imports.report import Duplicate, ImportReport, taken_over_words
from slopebeat.review.present.listed import name_of, start_of
from slopebeat.review.words.names import sport_name
from slopebeat.window.widgets.parts import button, label, row, stacked

if TYPE_CHECKING:
    from slopebeat.session.library.work import LibraryWork

NAME_PX = 380
_FILE = Qt.ItemDataRole.UserRole  # the hash of a row's file
_OUTING = Qt.ItemDataRole.UserRole + 1  # the identity of a row's outing


def summary(report: ImportReport) -> str:
    """What an import did, in a sentence or two."""
    fresh, known, bad = len(report.imported), len(report.duplicates), len(report.unreadable)
    parts = [
        trn("{n} outing imported", "{n} outings imported", fresh).format(n=fresh),
        trn("{n} already there", "{n} already there", known).format(n=known),
        trn("{n} file not read", "{n} files not read", bad).format(n=bad),
    ]
    fuller = len(report.taken_over)
    if fuller:
        kept = trn("{n} kept by a fuller recording", "{n} kept by fuller recordings", fuller)
        parts.insert(1, kept.format(n=fuller))
    words = f"{', '.join(parts)}."
    if report.archives:
        taken = " ".join(merge_words(merge) for merge in report.archives)
        words = taken if not fresh + known + bad else f"{taken} {words}"
    if report.cancelled:
        words += f" {tr('The import was stopped; the same import goes on from there.')}"
    return f"{words} {report.fault}" if report.fault else words


class ImportView(QWidget):
    """The list of what was imported, what was there already, and what could not be read and why.

    ``anyway_wanted`` asks to keep files beside other recordings of their outings: what had been asked for,
    and the hashes of the files.
    """

    anyway_wanted = Signal(object, object)

    open_requested = Signal(str)
    """Identity of an outing that an archive brought something on."""

    def __init__(self, work: LibraryWork, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.summary = label(tr("Nothing has been imported since the start."), "detail", wrap=True)
        self.list = QTreeWidget()
        self.list.setAccessibleName(tr("Files of the import"))
        self.list.setHeaderLabels([tr("File"), tr("What became of it")])
        self.list.setUniformRowHeights(True)
        self.list.setSelectionMode(QTreeWidget.SelectionMode.ExtendedSelection)
        self.list.setColumnWidth(0, NAME_PX)
        self.list.itemActivated.connect(self._open)
        self.anyway = button(
            tr("Import anyway"),
            "",
            tr("Keep the selected files, or all of them, beside the other recordings of the same outings"),
        )
        self.anyway.clicked.connect(self._want_anyway)
        self.anyway.hide()
        self._report: ImportReport | None = None
        top = row((self.summary, 1), self.anyway, spacing=None)
        stacked(top, (self.list, 1), of=self, margins=(12, 10, 12, 10))
        for signal in (work.imported, work.arrived):
            signal.connect(self.show_report)

    def show_report(self, report: ImportReport) -> None:
        """Show what an import did; what failed comes first."""
        self.summary.setText(summary(report))
        self._report = report
        self.anyway.setVisible(bool(report.other_recordings) and report.asked is not None)
        self.list.clear()
        self._group(tr("Not read"), [(each.name, each.sentence) for each in report.unreadable])
        self._show_changes(report)
        self._group(
            tr("Kept by a fuller recording"),
            [(each.name, taken_over_words(each)) for each in report.taken_over],
        )
        self._group(
            tr("Already there"),
            [(each.name, _known(each)) for each in report.duplicates],
            [each.content_hash for each in report.duplicates],
        )
        self._group(
            tr("Imported"),
            [
                (o.file_name, f"{name_of(o)}, {start_of(o):%Y-%m-%d %H:%M}, {sport_name(o.sport)}")
                for o in report.imported
            ],
        )

    def _show_changes(self, report: ImportReport) -> None:
        """What archives brought on which outing, and who wrote it; Enter or a double click opens one."""
        brought = [each for merge in report.archives for each in merge.brought]
        opens = [each.outing.identity for each in brought]
        self._group(tr("Brought by the archive"), [change_words(each) for each in brought], opens=opens)

    def _open(self, item: QTreeWidgetItem) -> None:
        outing = item.data(0, _OUTING)
        if outing:
            self.open_requested.emit(outing)

    def _want_anyway(self) -> None:
        """The selected files among those that can be imported anyway, else all of these."""
        assert self._report is not None
        others = self._report.other_recordings
        picked = {item.data(0, _FILE) for item in self.list.selectedItems()} & others
        self.anyway.hide()
        self.anyway_wanted.emit(self._report.asked, picked or others)

    def _group(
        self,
        name: str,
        rows: list[tuple[str, str]],
        files: Sequence[str] = (),
        opens: Sequence[str] = (),
    ) -> None:
        if not rows:
            return
        top = QTreeWidgetItem([f"{name} ({len(rows)})", ""])
        for words, file, outing in zip_longest(rows, files, opens):
            item = QTreeWidgetItem(list(words))
            item.setToolTip(1, words[1])
            item.setData(0, _FILE, file)
            item.setData(0, _OUTING, outing)
            top.addChild(item)
        self.list.addTopLevelItem(top)
        top.setExpanded(True)


def _known(duplicate: Duplicate) -> str:
    outing = duplicate.outing
    start = f"{start_of(outing):%Y-%m-%d %H:%M}"
    text = tr("is {title} of {start}")
    if not duplicate.same_file:
        text = tr("is another recording of {title} of {start}, kept from {file}")
    return text.format(title=name_of(outing), start=start, file=outing.file_name)
