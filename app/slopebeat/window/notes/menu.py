"""The menu of the charts: notes here, on what is seen or selected, and on the note that is there."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QMenu, QWidget

from slopebeat.model.language import tr
from slopebeat.model.units import clock
from slopebeat.plots.outing.notes_on_charts import NotesOnCharts
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.notes.acts import Noting


class ChartMenu(QObject):
    """Made anew each time it is asked for; everything in it is also in the menus or in the tab of notes."""

    def __init__(self, view: QWidget, charts: NotesOnCharts, session: Session, noting: Noting) -> None:
        super().__init__(view)
        self._view, self._session, self._noting = view, session, noting
        charts.menu_wanted.connect(self._pop_up)

    def made(self, t_s: float) -> QMenu:
        """The menu for a right click at this second of the outing."""
        menu = QMenu(self._view)
        session, noting = self._session, self._noting
        session.cursor.move(t_s)
        at = clock(t_s)
        menu.addAction(tr("Note here, {time}").format(time=at), partial(noting.note_at, t_s, None))
        menu.addAction(tr("Note from here"), noting.note_from_here)
        until = menu.addAction(tr("Note up to here"), noting.note_to_here)
        until.setEnabled(session.notes.draft is not None)
        menu.addSeparator()
        menu.addAction(tr("Note on the visible stretch"), noting.note_on_view)
        selected = session.selection.kind
        on_selection = menu.addAction(self._selection_words(selected), noting.note_on_selection)
        on_selection.setEnabled(selected is not None)
        menu.addAction(tr("Note on the outing"), noting.note_on_outing)
        menu.addSeparator()
        menu.addAction(tr("Doubtful start here"), partial(session.doubts.begin, t_s))
        end = menu.addAction(tr("Doubtful end here"), partial(session.doubts.end, t_s))
        end.setEnabled(session.doubts.draft_s is not None)
        return menu

    def _selection_words(self, selected: Picked | None) -> str:
        words = {
            Picked.CLIMB: tr("Note on the selected climb"),
            Picked.EPISODE: tr("Note on the selected episode"),
            Picked.MARK: tr("Note on the selected doubted stretch"),
        }
        return words.get(selected, tr("Note on the selection")) if selected else tr("Note on the selection")

    def _pop_up(self, place: QPoint, t_s: float) -> None:
        menu = self.made(t_s)
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(place)
