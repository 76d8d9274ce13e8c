"""What the user said of recordings that follow one another: one outing, or each by itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from PySide6.QtCore import QObject, Signal

from slopebeat.library.store import Library
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.recording import Recording
from slopebeat.review.kept_days import put_joined
from slopebeat.review.present.listed import name_of
from slopebeat.session.library.filter import is_fragment, span_s
from slopebeat.session.library.opened import OpenLibrary
from slopebeat.session.library.rows import OutingRow
from slopebeat.session.outing.autosave import AutoSave
from slopebeat.session.settings import Settings
from slopebeat.session.undo import Change, History

Said = Mapping[str, bool | None]
"""By key, whether a recording belongs to the one before it; None leaves it to time and place."""


class Joins(QObject):
    """Keeps it in the library for outings of the library, else in the settings by the start of the recording.

    The key of an outing of the library is its identity, of another recording its start.
    """

    changed = Signal()

    def __init__(self, settings: Settings, keeping: AutoSave, opened: OpenLibrary, history: History) -> None:
        super().__init__(opened)
        self._settings, self._keeping, self._opened, self._history = settings, keeping, opened, history
        self._now: dict[str, bool | None] = {}
        self._rows: dict[str, OutingRow] = {}
        opened.opened.connect(self._now.clear)
        opened.rows_changed.connect(self._read)
        self._read()

    def _read(self) -> None:
        self._rows = {row.outing.identity: row for row in self._opened.rows}
        self.changed.emit()

    def key(self, index: int, recording: Recording) -> str:
        """What is said of a recording at hand goes by this."""
        return self._keeping.kept_at(index) or recording.start_utc.isoformat()

    def joined(self, key: str) -> bool | None:
        if key in self._now:
            return self._now[key]
        row = self._rows.get(key)
        return self._settings.joined(key) if row is None else row.joined

    def decide(self, said: Said) -> None:
        """Say this of recordings, as an act that can be undone."""
        if said:
            words = tr("joining of recordings") if any(said.values()) else tr("keeping recordings apart")
            act = Change(words, {key: self.joined(key) for key in said}, said, self.say)
            self._history.do(act, lasts=True)

    def join(self, identities: Sequence[str]) -> None:
        """Make one outing of these of the library; fragments between them go along.

        Raises
        ------
        UserError
            With a sentence, where something else lies between them, or more than a day, or they overlap.
        """
        rows = sorted(self._opened.rows, key=lambda row: row.outing.start_utc)
        wanted = [number for number, row in enumerate(rows) if row.outing.identity in identities]
        chosen = rows[wanted[0] : wanted[-1] + 1]
        for earlier, later in pairwise(chosen):
            _check(earlier, later)
        for row in chosen:
            if row.outing.identity not in identities and not is_fragment(row):
                text = tr("{title} lies between them: select it as well, or join only what follows.")
                raise UserError(text.format(title=name_of(row.outing)))
        self.decide({row.outing.identity: True for row in chosen[1:]})

    def keep_apart(self, identities: Sequence[str]) -> None:
        """Take each of these out of the day it is a part of."""
        rows = sorted(self._opened.rows, key=lambda row: row.outing.start_utc)
        said: dict[str, bool | None] = {}
        for before, row in pairwise(rows):
            together = row.day is not None and row.day == before.day
            if together and {before.outing.identity, row.outing.identity} & set(identities):
                said[row.outing.identity] = False
        self.decide(said)

    def say(self, said: Said) -> None:
        """Keep what is said of recordings."""
        here = {key: joined for key, joined in said.items() if key in self._rows}
        rest = {key: joined for key, joined in said.items() if key not in here}
        if rest:
            self._settings.remember_joined(rest)
        athlete = self._opened.athlete
        if here and athlete is not None:
            self._now |= here

            def keep(library: Library, whose: str = athlete.identity) -> None:
                put_joined(library, whose, here)

            self._opened.ask(keep, lambda _: self._opened.load_rows())
        self.changed.emit()


MOST_JOINED_S = 24 * 3600.0
"""From the end of one part to the start of the next, at most, also where the user joins them [project
choice]: a longer way is several days."""


def _check(earlier: OutingRow, later: OutingRow) -> None:
    """Refuse what cannot be one outing even if the user asks for it."""
    between_s = (later.outing.start_utc - earlier.outing.start_utc).total_seconds() - (span_s(earlier) or 0.0)
    names = {"first": name_of(earlier.outing), "second": name_of(later.outing)}
    if between_s > MOST_JOINED_S:
        text = tr("More than a day lies between {first} and {second}: they stay two outings.")
        raise UserError(text.format(**names))
    if between_s < 0.0:
        text = tr("{first} and {second} were recorded at the same time: no second may count twice.")
        raise UserError(text.format(**names))
