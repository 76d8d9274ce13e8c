"""The card in which a note is written or changed; what is typed is never lost by looking elsewhere."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QFrame

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Note, new_note
from slopebeat.review.notes.place import WHOLE, Place, place_from_text, place_text
from slopebeat.session.outing.notes import Key, UnfinishedNotes, Written
from slopebeat.session.session import Session
from slopebeat.window.notes.form import NoteForm
from slopebeat.window.widgets.parts import button, label, row, show_words, stacked

CARD_PX = 310
"""Width of the card beside the table [project choice]."""

SAVE_KEYS = ("Ctrl+Return", "Ctrl+Enter")


class NoteCard(QFrame):
    """Writes a new note or changes one; a problem is reported in a sentence and everything stays."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._unfinished = UnfinishedNotes(session.settings.path.parent)
        self._kept = self._unfinished.read()
        self._waiting = set(self._kept)
        """What was left unfinished at an earlier end, and was not shown yet."""

        self._done: set[Key] = set()
        self._note: Note | None = None
        self._outing = self._outing_key()
        self.heading = label("", "heading")
        self.problem = label("", "problem", wrap=True)
        self.save = button("", "primary", tr("Keep the note (Ctrl+Enter)"))
        self.discard = button(tr("Discard"), "", tr("Throw away what was entered"))
        self.form = NoteForm()
        self._lay_out()
        self._connect()
        self._show(self._blank())

    @property
    def note(self) -> Note | None:
        """The note that is being changed; None while a new one is written."""
        return self._note

    def change(self, note: Note, changes: dict[str, Any] | None = None, problem: str = "") -> None:
        """Change this note, beginning with what was entered elsewhere and why it was refused."""
        self._turn_to(note)
        if changes:
            self._show(replace(self.form.written(), **changes))
        self.say(problem)
        self.form.focus_content()

    def write_at(self, place: Place) -> None:
        """Write a new note about this place; words that stand there already stay."""
        self._turn_to(None)
        self.form.place.setEditText(place_text(place))
        self.say("")
        self.form.focus_content()

    def keep(self) -> None:
        """Keep the note as it stands; a sentence where it cannot be."""
        notes, now = self._session.notes, self.form.written()
        try:
            start, end = self._place(now)
            if self._note is None:
                notes.add(new_note(now.kind, now.author, now.text, now.value, start, end))
            else:
                fields = {"kind": now.kind, "author": now.author, "text": now.text.strip()}
                notes.edit(self._note, **fields, value=now.value, start_s=start, end_s=end)
        except UserError as problem:
            self.say(str(problem))
            self.form.focus_content()
            return
        self._end(Written(now.kind, author=notes.author))  # not as the writer of a note that was changed

    def throw_away(self) -> None:
        """Leave the note as it was, or the new one unwritten."""
        self._end(self._blank())

    def put_away(self) -> None:
        """Before the window closes: what was started and not finished waits for the next start.

        Raises
        ------
        UserError
            With a sentence, when it cannot be kept.
        """
        self._leave()
        mine = {key: written for key, written in self._kept.items() if written.has_content and key[0]}
        self._unfinished.write(mine, self._done | (self._kept.keys() - mine.keys()))

    def say(self, sentence: str) -> None:
        """Tell what is wrong or what comes next; nothing where all is well."""
        show_words(self.problem, sentence)

    def _end(self, fresh: Written) -> None:
        """Back to a new note: the one that was started before, or ``fresh``."""
        was_new = self._note is None
        self._kept.pop(self._key(), None)
        self._done.add(self._key())
        self._note = None
        if was_new:
            self._session.notes.drop_draft()
        self._show(fresh if was_new else self._kept.pop(self._key(), fresh))

    def _place(self, now: Written) -> Place:
        """Where the note is about, to the fraction of a second where the place was not retyped."""
        exact: Place | None = self._session.notes.draft
        if self._note is not None:
            exact = self._note.start_s, self._note.end_s
        if exact is not None and now.place == place_text(exact):
            return exact
        return place_from_text(now.place, self._session.visible.full_s)

    def _turn_to(self, note: Note | None) -> None:
        """Let the card hold this note, or a new one; what stands in it is kept for later."""
        if (note and note.identity) == (self._note and self._note.identity):
            return
        self._leave()
        self._note = note
        self._take_up()

    def _leave(self) -> None:
        """What was entered and differs from what is stored waits for its return."""
        now = self.form.written()
        if now != replace(self._stored(), place=self._stored().place or place_text(WHOLE)):
            self._kept[self._key()] = now
        else:
            self._done.add(self._key())

    def _take_up(self) -> None:
        """Go on with what waits for the note in the card, or begin with what is stored."""
        key = self._key()
        self._show(self._kept.pop(key, self._stored()))
        if key in self._waiting:
            self._waiting.discard(key)
            self.say(tr("This was not finished when the window was closed; nothing of it is kept yet."))

    def _stored(self) -> Written:
        note = self._note
        if note is None:
            return self._blank()
        place = place_text((note.start_s, note.end_s))
        return Written(note.kind, note.value, note.author, place, note.text)

    def _blank(self) -> Written:
        return Written(author=self._session.notes.author)

    def _show(self, now: Written) -> None:
        self.say("")
        new = self._note is None
        self.heading.setText(tr("New note") if new else tr("Change a note"))
        self.save.setText(tr("Add") if new else tr("Keep"))
        self.save.setAccessibleName(tr("Add the note") if new else tr("Keep the change"))
        self.form.show_written(now)

    def _key(self) -> Key:
        return *self._outing, "" if self._note is None else self._note.identity

    def _outing_key(self) -> tuple[str, str]:
        review = self._session.outing.review
        if review is None:
            return "", ""
        return review.recording.file_name, review.recording.start_utc.isoformat()

    def _another_outing(self) -> None:
        """What was being written about the other outing waits for its return."""
        self._leave()
        self._outing, self._note = self._outing_key(), None
        changing = [key[2] for key in self._waiting if key[:2] == self._outing and key[2]]
        notes = {note.identity: note for note in self._session.notes.all}
        for identity in changing:
            if identity not in notes and self._key() not in self._kept:
                # The note is gone meanwhile: what was entered becomes a new one.
                self._become_new(identity)
        if self._key() not in self._kept:
            self._note = next((notes[each] for each in changing if each in notes), None)
        self._take_up()

    def _become_new(self, identity: str) -> None:
        old = (*self._outing, identity)
        self._waiting.discard(old)
        self._done.add(old)
        self._kept[self._key()] = self._kept.pop(old)
        self._waiting.add(self._key())

    def _follow_draft(self) -> None:
        draft = self._session.notes.draft
        if draft is not None:
            self._turn_to(None)
        if self._note is None:
            self.form.place.setEditText(place_text(draft or WHOLE))

    def _follow_notes(self) -> None:
        """A note that was taken back meanwhile is no longer changed; what was entered becomes a new one."""
        note = self._note
        if note is not None and all(each.identity != note.identity for each in self._session.notes.all):
            now = self.form.written()
            self._note = None
            self._show(now)

    def _remember_author(self) -> None:
        if self._note is None:
            self._session.notes.author = self.form.written().author

    def _place_chosen(self, at: int) -> None:
        """One of the places on offer, as it is now."""
        place = self._offered(at)
        self.form.place.setEditText(place_text(place))
        if self._note is None:
            self._set_draft(place)

    def _offered(self, at: int) -> Place:
        session = self._session
        cursor, visible, picked = session.cursor.t_s, session.visible, session.selection
        self.say("")
        if at == 1 and cursor is not None:
            return cursor, None
        if at == 2:
            return visible.start_s, visible.end_s
        if at == 3 and picked.kind is not None:
            return picked.start_s, picked.end_s if picked.end_s > picked.start_s else None
        if at == 1:
            self.say(tr("There is no cursor on the charts."))
        elif at == 3:
            self.say(tr("Nothing is selected in the tables."))
        return WHOLE

    def _place_typed(self) -> None:
        try:
            place = self._place(self.form.written())
        except UserError as problem:
            self.say(str(problem))
            return
        self.say("")
        if self._note is None:
            self._set_draft(place)

    def _set_draft(self, place: Place) -> None:
        start, end = place
        if start is None:
            self._session.notes.drop_draft()
        else:
            self._session.notes.set_draft(start, end)

    def _connect(self) -> None:
        session, form = self._session, self.form
        self.save.clicked.connect(self.keep)
        self.discard.clicked.connect(self.throw_away)
        here = Qt.ShortcutContext.WidgetWithChildrenShortcut
        for keys in SAVE_KEYS:
            QShortcut(QKeySequence(keys), self, self.keep, context=here)
        form.kind_chosen.connect(lambda: self.say(""))
        form.author_chosen.connect(self._remember_author)
        form.place_chosen.connect(self._place_chosen)
        form.place_typed.connect(self._place_typed)
        session.notes.draft_changed.connect(self._follow_draft)
        session.notes.changed.connect(self._follow_notes)
        session.outing.replaced.connect(self._another_outing)

    def _lay_out(self) -> None:
        self.setFixedWidth(CARD_PX)
        top = row((self.heading, 1), self.discard, self.save, spacing=6)
        stacked(top, (self.form, 1), self.problem, of=self, margins=(12, 6, 12, 8), spacing=4)
