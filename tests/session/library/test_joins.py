"""The user joins recordings to one outing or keeps them apart, and takes it back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any, cast

import pytest
from PySide6.QtCore import QObject, Signal

from helpers.summaries import PLAIN
from slopebeat.library.outings import StoredOuting
from slopebeat.model.errors import UserError
from slopebeat.review.present.listed import Part
from slopebeat.session.library.joins import Joins
from slopebeat.session.library.opened import OpenLibrary
from slopebeat.session.library.rows import OutingRow
from slopebeat.session.outing.autosave import AutoSave
from slopebeat.session.settings import Settings
from slopebeat.session.undo import History


class Opened(QObject):
    """An open library whose rows are these; what is asked of it is only counted."""

    opened, rows_changed = Signal(), Signal()
    athlete = type("Athlete", (), {"identity": "a"})()

    def __init__(self, rows: list[OutingRow]) -> None:
        super().__init__()
        self.rows, self.asked = rows, 0

    def ask(self, question: Callable[[Any], Any], on_answer: Callable[[Any], None]) -> None:
        self.asked += 1


def row(name: str, after_h: float, hours: float = 1.0, part: Part | None = None) -> OutingRow:
    start = PLAIN.start_utc + timedelta(hours=after_h)
    facts = {"identity": name, "start_utc": start, "title": f"Way {name}", "file_name": f"{name}.fit"}
    day = None if part is None else "day"
    summary = replace(PLAIN, start_utc=start, recorded_s=3600.0 * hours, day=day)
    return OutingRow(cast(StoredOuting, type("Outing", (), facts)), summary, part=part)


def joins(*rows: OutingRow, history: History | None = None) -> Joins:
    keeping = cast(AutoSave, type("Keeping", (), {"kept_at": lambda self, index: ""})())
    # The other end of the links, which lives as long.
    opened = Opened(list(rows))
    return Joins(Settings(), keeping, cast(OpenLibrary, opened), history or History())


def said(here: Joins, names: str) -> dict[str, bool]:
    """What was said of these, where anything was."""
    return {name: joined for name in names if (joined := here.joined(name)) is not None}


def test_joining_is_undone_and_done_again(qapp: object) -> None:
    history = History()
    here = joins(row("a", 0), row("b", 5), history=history)
    here.join(("b", "a"))
    assert said(here, "ab") == {"b": True}
    history.undo()
    assert said(here, "ab") == {}
    history.redo()
    assert said(here, "ab") == {"b": True}
    assert cast(Any, here)._opened.asked == 3  # Each of them is kept.


def test_what_lies_between_must_come_along_and_fragments_do(qapp: object) -> None:
    with pytest.raises(UserError, match="Way b lies between"):
        joins(row("a", 0), row("b", 2), row("c", 4)).join(("a", "c"))
    here = joins(row("a", 0), row("b", 2, 30.0 / 3600.0), row("c", 4))
    here.join(("a", "c"))
    assert said(here, "abc") == {"b": True, "c": True}


@pytest.mark.parametrize(("after_h", "words"), [(0.5, "at the same time"), (25.1, "More than a day")])
def test_what_can_be_no_day_is_refused(qapp: object, after_h: float, words: str) -> None:
    with pytest.raises(UserError, match=words):
        joins(row("a", 0), row("b", after_h)).join(("a", "b"))


def test_a_part_is_taken_out_of_its_day_on_both_sides(qapp: object) -> None:
    parts = [row(name, 2.0 * i, part=Part(i + 1, 3)) for i, name in enumerate("abc")]
    here = joins(*parts, row("d", 8.0))
    here.keep_apart(("b",))
    assert said(here, "abcd") == {"b": False, "c": False}
    here = joins(*parts, row("d", 8.0))
    here.keep_apart(("a", "d"))
    assert said(here, "abcd") == {"b": False}


def test_what_is_in_no_library_is_kept_in_the_settings(qapp: object) -> None:
    history, start = History(), "2026-01-05T08:00:00+00:00"
    joins(history=history).decide({start: True})
    assert Settings().joined(start) is True
    history.undo()
    assert Settings().joined(start) is None
