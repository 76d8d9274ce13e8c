"""Notes on an outing: what was said, felt, measured, carried or met on the way."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Annotated, Any
from uuid import uuid4

from msgspec import Meta

from slopebeat.model import codec
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.measures import shortest_number
from slopebeat.model.note_kinds import RULES as RULES
from slopebeat.model.note_kinds import SPORTS as SPORTS
from slopebeat.model.note_kinds import Author as Author
from slopebeat.model.note_kinds import NoteKind as NoteKind
from slopebeat.model.note_kinds import Rule as Rule
from slopebeat.model.note_kinds import TalkTest as TalkTest
from slopebeat.model.recording import Sport, utc_text
from slopebeat.model.sentences.wording import key_name
from slopebeat.model.units import clock

Place = tuple[float | None, float | None]
"""First and last second; both None: the whole outing; only the first: a moment."""

LONGEST_TEXT = 4000
"""Most characters of one note [project choice]."""

_UUID = re.compile("[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_TICK = timedelta(microseconds=1)
_TIMES = ("created_utc", "changed_utc", "deleted_utc")


@dataclass(frozen=True)
class Note:
    """One note on an outing.

    Attributes
    ----------
    identity : a UUID in text, the same wherever the note is carried.
    value : the number of its kind, in the unit of :data:`RULES`; a :class:`TalkTest` as its number.
    start_s, end_s : seconds from the first record. Both None: the whole outing. Only ``start_s``: a moment.
        Both: a range, which may be that of a climb or an episode.
    created_utc, changed_utc : aware, UTC. deleted_utc : when it was taken back; it is kept so that merging
        with an older copy does not bring it back.

    Raises
    ------
    UserError
        With a sentence, when it does not hold what its kind needs.
    ValueError
        For times not in UTC.
    """

    identity: str
    kind: NoteKind
    author: Author
    text: str
    created_utc: datetime
    changed_utc: datetime
    value: float | None = None
    start_s: Annotated[float, Meta(ge=0.0)] | None = None
    end_s: Annotated[float, Meta(ge=0.0)] | None = None
    deleted_utc: datetime | None = None

    def __post_init__(self) -> None:
        _check_identity(self.identity)
        _check_times(self)
        _check_text(self)
        _check_value(self)
        _check_place(self)

    @property
    def deleted(self) -> bool:
        return self.deleted_utc is not None

    @property
    def heading(self) -> str:
        """The kind of the note with its number in words: ``perceived effort 3 of 10``."""
        if self.value is None:
            return key_name(self.kind)
        if self.kind is NoteKind.TALK_TEST:
            return f"{key_name(self.kind)}: {TalkTest(int(self.value)).wording}"
        if self.kind is NoteKind.SPORT:
            return f"{key_name(self.kind)}: {key_name(SPORTS[int(self.value) - 1])}"
        if self.kind is NoteKind.UTC_OFFSET:
            return f"{key_name(self.kind)}: {utc_text(self.value * 3600.0)}"
        return f"{key_name(self.kind)} {self._value_text(self.value)}"

    def _value_text(self, value: float) -> str:
        """The number of the note in the unit shown."""
        measure = RULES[self.kind].measure
        if measure is not None:
            return measure.text(value)
        return f"{shortest_number(value)} {tr(RULES[self.kind].unit)}"

    @property
    def place(self) -> str:
        """The part of the outing meant, in words."""
        return place_text((self.start_s, self.end_s))

    def edited(self, when: datetime, **changes: Any) -> Note:
        """The note with some fields changed; it counts as later than this state whatever the clock says."""
        return replace(self, **changes, changed_utc=max(when, self.changed_utc + _TICK))

    def taken_back(self, when: datetime) -> Note:
        """The note deleted: kept as a mark that it was."""
        later = max(when, self.changed_utc + _TICK)
        return replace(self, changed_utc=later, deleted_utc=later)


def place_text(place: Place) -> str:
    """``whole outing``, ``0:42:10`` or ``0:40:00-1:02:30``, as it may be typed, too."""
    start, end = place
    if start is None:
        return tr("whole outing")
    return clock(start) if end is None else f"{clock(start)}-{clock(end)}"


def new_note(
    kind: NoteKind,
    author: Author,
    text: str = "",
    value: float | None = None,
    start_s: float | None = None,
    end_s: float | None = None,
    when: datetime | None = None,
) -> Note:
    """A note written now, or at ``when``, with an identity of its own."""
    now = when or datetime.now(UTC)
    return Note(str(uuid4()), kind, author, text.strip(), now, now, value, start_s, end_s)


def note_from_values(values: Mapping[str, Any]) -> Note:
    """The note back from its JSON values.

    Raises
    ------
    UserError
        With a sentence, when the values are no note.
    """
    try:
        return codec.convert(values, Note)
    except codec.Undecodable as problem:
        raise UserError(
            tr("Something that should be a note is none: {problem}.").format(problem=problem)
        ) from problem


def merge_notes(*sets: Iterable[Note]) -> tuple[Note, ...]:
    """All notes of all sets by identity, each in its latest state, in order of place and time.

    The order of the sets does not matter. Of two states of one time a deleted one holds, then any fixed
    rule: both sides of a merge must choose alike. Deleted notes stay among them.
    """
    latest: dict[str, Note] = {}
    for notes in sets:
        for note in notes:
            here = latest.get(note.identity)
            if here is None or _age(note) > _age(here):
                latest[note.identity] = note
    return tuple(sorted(latest.values(), key=_order))


def present(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Notes that were not taken back, in order of place and time."""
    return tuple(sorted((note for note in notes if not note.deleted), key=_order))


def by_writing(note: Note) -> tuple[datetime, str]:
    """Key that sorts notes by when they were written; when they were changed does not count."""
    return note.created_utc, note.identity


def _order(note: Note) -> tuple[float, datetime, str]:
    return (-1.0 if note.start_s is None else note.start_s, *by_writing(note))


def _age(note: Note) -> tuple[datetime, bool, str]:
    return note.changed_utc, note.deleted, codec.encode(note)


def _check_identity(identity: str) -> None:
    if not (isinstance(identity, str) and _UUID.fullmatch(identity)):
        raise UserError(tr("A note needs a UUID for its identity."))


def _check_times(note: Note) -> None:
    for name in _TIMES:
        time = getattr(note, name)
        if time is not None and time.utcoffset() != timedelta(0):
            raise ValueError(f"{name} must be aware and in UTC")


def _check_text(note: Note) -> None:
    text, rule = note.text, RULES[note.kind]
    if len(text) > LONGEST_TEXT:
        raise UserError(
            tr("A note holds up to {most} characters; this one has {count}.").format(
                most=LONGEST_TEXT, count=len(text)
            )
        )
    if any(unicodedata.category(c) in ("Cc", "Cs") and c not in "\n\t" for c in text):
        raise UserError(
            tr("The text of the note holds characters that cannot be shown; write it again by hand.")
        )
    if rule.needs_text and not text.strip():
        raise UserError(tr("A note of the kind {kind} needs some words.").format(kind=key_name(note.kind)))
    if note.kind is NoteKind.WEATHER and not text.strip() and note.value is None:
        raise UserError(tr("A note on the weather needs some words or a temperature."))


def _check_value(note: Note) -> None:
    rule, value = RULES[note.kind], note.value
    if value is None:
        if rule.needs_value:
            raise UserError(
                tr("A note of the kind {kind} needs its number.").format(kind=key_name(note.kind))
            )
        return
    if not rule.has_value:
        raise UserError(
            tr("A note of the kind {kind} holds words, not a number.").format(kind=key_name(note.kind))
        )
    if not rule.low <= value <= rule.high:
        raise UserError(
            tr("A value of {value} is not plausible for {kind}; give one from {low} to {high}.").format(
                value=shortest_number(value),
                kind=key_name(note.kind),
                low=shortest_number(rule.low),
                high=f"{shortest_number(rule.high)} {tr(rule.unit)}".strip(),
            )
        )
    if rule.question and value != int(value):
        if note.kind is NoteKind.SPORT:
            raise UserError(tr("What was done is one of the sports on offer."))
        raise UserError(tr("A talk test is answered with full sentences, phrases or single words."))


def _check_place(note: Note) -> None:
    start, end = note.start_s, note.end_s
    if end is not None and start is None:
        raise UserError(tr("A range needs a start as well as an end."))
    if start is not None and not (math.isfinite(start) and start >= 0.0):
        raise UserError(tr("A note is about a time at or after the first record."))
    if start is not None and end is not None and not (math.isfinite(end) and end > start):
        raise UserError(tr("The end of a range comes after its start."))
    if RULES[note.kind].at_moment and (start is None or end is not None):
        raise UserError(tr("A {kind} is taken at one moment; say when.").format(kind=key_name(note.kind)))


CONDITIONS = (NoteKind.LOAD, NoteKind.WEATHER, NoteKind.SPORT, NoteKind.GRADE, NoteKind.UTC_OFFSET)
"""Notes that change the work rate or the day an outing is of, and so a result."""


def sport_from_notes(notes: Iterable[Note]) -> Sport | None:
    """The sport a user put right; None where the file's word stands."""
    number = _latest_value(notes, NoteKind.SPORT)
    return None if number is None else SPORTS[int(number) - 1]


def utc_offset_from_notes(notes: Iterable[Note]) -> float | None:
    """Local time less UTC in seconds, as a user said; None where the file's word stands."""
    hours = _latest_value(notes, NoteKind.UTC_OFFSET)
    return None if hours is None else hours * 3600.0


def _latest_value(notes: Iterable[Note], kind: NoteKind) -> float | None:
    """The number of the note of a kind that was written last, None where there is none."""
    written = [note for note in notes if note.kind is kind and note.value is not None and not note.deleted]
    latest = max(written, key=by_writing, default=None)
    return None if latest is None else latest.value
