"""Notes on the charts: shown, pointed at, picked, and made by mouse."""

from __future__ import annotations

import html
from collections.abc import Callable, Iterable, Sequence

from pyqtgraph.GraphicsScene.mouseEvents import MouseClickEvent
from PySide6.QtCore import QObject, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QToolTip, QWidget

from slopebeat.model.language import tr
from slopebeat.model.notes import Note
from slopebeat.plots.outing.drag_mode import DragMode, DragModeChoice
from slopebeat.plots.outing.heart_panel import HeartPanel
from slopebeat.plots.outing.lines import XScale
from slopebeat.plots.outing.panels import Panel
from slopebeat.plots.overlay import Span
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session

MOST_TOLD = 5
"""Notes listed at one place [project choice]."""

SHORTEST_S = 1.0
"""A shorter drag is a click [project choice]."""


def note_words(note: Note) -> str:
    """All of a note in plain lines: heading, place and author, text."""
    lines = [note.heading, f"{note.place}  ·  {key_name(note.author)}", note.text.strip()]
    return "\n".join(line for line in lines if line)


def hover_text(notes: Sequence[Note]) -> str:
    """What hovering tells, as rich text in which the words of a note stay words."""
    lines = [html.escape(note_words(note)).replace("\n", "<br>") for note in notes[:MOST_TOLD]]
    return f"<qt>{'<hr>'.join(lines)}</qt>" if lines else ""


class NotesOnCharts(QObject):
    """Draws the session's notes and turns clicks and drags into drafts of notes and into doubts."""

    wanted = Signal()
    """A place was chosen; the words are to be written."""

    picked = Signal(str)
    opened = Signal(str)
    """A note was clicked, or double clicked, by its identity."""

    passed = Signal(object)
    """A click that is on no note and makes none, as pyqtgraph tells it."""

    menu_requested = Signal(QPoint, float)
    """A menu is asked for: where on the screen, and at which second of the outing."""

    def __init__(
        self,
        view: QWidget,
        panels: Sequence[Panel],
        heart: HeartPanel,
        session: Session,
        scale: Callable[[], XScale | None],
    ) -> None:
        super().__init__(view)
        self._view, self._panels, self._heart = view, panels, heart
        self._session, self._scale = session, scale
        self.mode = DragModeChoice(self)
        self._growing = False
        for panel in panels:
            panel.range_box.mode_of = self.mode.of
            panel.range_box.dragged.connect(self._dragged)
            panel.range_box.chosen.connect(self._chosen)
        self.mode.changed.connect(self._show_mode)
        session.notes.changed.connect(self.show)
        session.notes.draft_changed.connect(self._place_draft)
        session.cursor.changed.connect(self._grow)
        session.measuring.changed.connect(self.show_measured)
        session.selection.changed.connect(self._show_selection)

    def show(self) -> None:
        """Draw the notes along what the charts run along now."""
        scale = self._scale()
        if scale is None:
            return
        self._heart.lane.set_notes(self._session.notes.all, scale, self._session.visible.full_s)
        self._heart.moments.set_notes(self._heart.lane.placed)
        self._show_selection()
        self.show_draft()
        self.show_measured()

    def show_draft(self) -> None:
        """Shade the place of the note that is being written."""
        draft, scale = self._session.notes.draft, self._scale()
        if draft is None or scale is None:
            self._shade(())
            return
        start_s, end_s = draft
        if self._growing:
            end_s = self._session.cursor.t_s
        start = float(scale.to_x(start_s))
        end = start if end_s is None else float(scale.to_x(end_s))
        self._shade([Span(min(start, end), max(start, end), tr("new note"))])

    def begin(self) -> None:
        """The draft reaches to the cursor until its end is given."""
        self._growing = True
        self.show_draft()

    def tell(self, event: QHelpEvent, place: QPointF) -> bool:
        """Show the words of the notes under the mouse; whether there were any."""
        text = hover_text(self.at(place))
        if text:
            QToolTip.showText(event.globalPos(), text, self._view)
        return bool(text)

    def at(self, place: QPointF) -> list[Note]:
        """Notes at a place in the scene: flags and bars, and the lines of moments."""
        lane, box = self._heart.lane, self._heart.box
        found = lane.at(place)
        if not found and box.sceneBoundingRect().contains(place):
            found = lane.near_line(box.mapSceneToView(place).x(), box.viewPixelSize()[0])
        return found

    def clicked(self, event: MouseClickEvent) -> None:
        """A click on a note picks it; else, where notes are made, it makes one at this moment."""
        place = event.scenePos()
        t_s = self.seconds_at(place)
        if event.button() == Qt.MouseButton.RightButton and t_s is not None:
            self.menu_requested.emit(event.screenPos().toPoint(), t_s)
        if event.button() != Qt.MouseButton.LeftButton:
            return
        noting = self.mode.of(event.modifiers()) is DragMode.NOTE and t_s is not None
        on_flag = self._heart.lane.at(place)
        here = on_flag or ([] if noting else self.at(place))
        if here:
            (self.opened if event.double() else self.picked).emit(here[0].identity)
        elif noting and not event.double():
            self._draft(t_s, None)
        elif self.mode.of(event.modifiers()) is DragMode.LOOK:
            self.passed.emit(event)

    def seconds_at(self, place: QPointF) -> float | None:
        """The second of the outing at a place in the scene; None beside the charts."""
        scale = self._scale()
        for panel in self._panels:
            if scale is not None and panel.box.sceneBoundingRect().contains(place):
                return scale.to_seconds(panel.box.mapSceneToView(place).x())
        return None

    def _place_draft(self) -> None:
        self._growing = False
        self.show_draft()

    def _grow(self) -> None:
        if self._growing:
            self.show_draft()

    def _dragged(self, start_x: float, end_x: float, mode: DragMode) -> None:
        if mode is DragMode.DOUBT:
            self._heart.show_draft((start_x, end_x))
        elif mode is DragMode.MEASURE:
            self._measure(start_x, end_x, self._session.measuring.grow)
        else:
            self._shade([Span(min(start_x, end_x), max(start_x, end_x), tr("new note"))])

    def _chosen(self, start_x: float, end_x: float, mode: DragMode) -> None:
        scale = self._scale()
        if scale is None:
            return
        start_s = scale.to_seconds(min(start_x, end_x))
        end_s = scale.to_seconds(max(start_x, end_x), last=True)
        if mode is DragMode.DOUBT:
            self._session.doubts.drop_draft()
            self._session.doubts.add(start_s, end_s)
            self._heart.show_draft(None)
        elif mode is DragMode.MEASURE:
            self._measure(start_x, end_x, self._session.measuring.finish)
        else:
            self._draft(start_s, end_s if end_s - start_s >= SHORTEST_S else None)

    def _measure(self, start_x: float, end_x: float, take: Callable[[float, float], None]) -> None:
        scale = self._scale()
        if scale is not None:
            start, end = min(start_x, end_x), max(start_x, end_x)
            take(max(scale.to_seconds(start), 0.0), scale.to_seconds(end, last=True))

    def show_measured(self) -> None:
        """Shade the stretches that are measured, numbered as in their table."""
        measuring, scale = self._session.measuring, self._scale()
        both = [ends for ends in (measuring.before, measuring.latest) if ends is not None]
        for panel in self._panels:
            panel.measured.set_spans(
                []
                if scale is None
                else [
                    Span(float(scale.to_x(a)), float(scale.to_x(b)), str(n) if panel is self._heart else "")
                    for n, (a, b) in enumerate(both, start=1)
                ]
            )

    def _draft(self, start_s: float | None, end_s: float | None) -> None:
        if start_s is None:
            return
        start, full = max(start_s, 0.0), self._session.visible.full_s
        self._session.notes.set_draft(start, None if end_s is None else min(end_s, full))
        self.show_draft()
        self.wanted.emit()

    def _shade(self, spans: Iterable[Span]) -> None:
        found = list(spans)
        for panel in self._panels:
            # Named once, in the uppermost panel.
            named = panel is self._heart
            panel.draft_note.set_spans(found if named else [Span(s.start_x, s.end_x) for s in found])

    def _show_selection(self) -> None:
        chosen, notes = self._session.selection, self._session.notes.all
        is_note = chosen.kind is Picked.NOTE and 0 <= chosen.index < len(notes)
        self._heart.lane.select(notes[chosen.index].identity if is_note else None)

    def _show_mode(self) -> None:
        looking = self.mode.mode is DragMode.LOOK
        shape = Qt.CursorShape.ArrowCursor if looking else Qt.CursorShape.CrossCursor
        self._view.setCursor(shape)
