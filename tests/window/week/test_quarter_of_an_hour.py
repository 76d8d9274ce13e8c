"""Six athletes in a quarter of an hour: a made library gone through by keys alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from generator.coach import FIRST_MONDAY, Charge, charges
from make_coach_library import make
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.coach_at_keys import REMARK, SENTENCE, Coach, quarter_of_an_hour
from helpers.patience import WAIT_MS
from slopebeat.model.notes import NoteKind
from slopebeat.window.shell.main_window import MainWindow

WEEKS = 2
HOURS = (0.4, 0.5)
"""Shorter than anybody's outings, so that simulating and importing them takes seconds."""


def _lighter(charge: Charge, days: int) -> Charge:
    return replace(charge, person=replace(charge.person, hours=HOURS, days=charge.person.days[:days]))


def test_six_athletes_are_gone_through_by_keys_alone(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    # Two went out twice a week: from one outing that waits to the next goes the same way for all.
    few = [_lighter(each, 1 + (number < 2)) for number, each in enumerate(charges(WEEKS))]
    make(tmp_path / "six.sqlite3", few, workers=1)
    window.weeks.board._today = lambda: FIRST_MONDAY + timedelta(weeks=WEEKS, days=1)
    window.session.library.open(tmp_path / "six.sqlite3")
    window.activateWindow()
    qtbot.waitUntil(lambda: window.session.library.opened.library is not None, timeout=WAIT_MS)
    coach = Coach(window)
    coach.rest()
    told = []
    for words in quarter_of_an_hour(coach, tmp_path):
        told.append(words)
        if words == "the week before":
            # What the coach wrote on outings nobody has ticked off yet is new.
            assert sum(row.new_notes for row in window.weeks.board.board.rows) > 0
    assert sum(words.endswith("letter saved") for words in told) == 6
    assert {words.split(":")[0] for words in told[2:]} == {each.person.role.capitalize() for each in few}
    board = window.weeks.board.board
    assert board.monday == FIRST_MONDAY + timedelta(weeks=WEEKS - 1)
    assert max(len(row.outings) for row in board.rows) > 1
    assert all(row.outings and not row.to_review and not row.new_notes for row in board.rows)
    library = not_none(window.session.library.opened.library)
    for number, row in enumerate(board.rows):
        written = library.notes.by_outing(row.athlete.identity, (NoteKind.REMARK,))
        texts = [note.text for notes in written.values() for note in notes]
        assert texts.count(REMARK) == 1
        letter = (tmp_path / f"{number}.txt").read_text(encoding="utf-8")
        assert row.athlete.name in letter
        assert SENTENCE.strip() in letter
