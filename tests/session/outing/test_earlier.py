"""Earlier outings of the library that is open speak of the next one, in the window too."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from helpers.earlier_outings import keep_teachers, write_gpx
from helpers.patience import WAIT_MS, WAIT_S, wait_until
from slopebeat.library.results import KeptEvidence
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete
from slopebeat.review.outing import Review
from slopebeat.session.outing.aim import BandChoice
from slopebeat.session.session import Session

WARDEN, PATROL = "0" * 32, "1" * 32


@pytest.fixture
def session(qtbot: QtBot) -> Iterator[Session]:
    made = Session()
    yield made
    made.close()


@pytest.fixture
def library(tmp_path: Path) -> Path:
    path = tmp_path / "library.sqlite3"
    with Library.create(path) as made:
        made.athletes.add(Athlete(WARDEN, "hut warden"))
        made.athletes.add(Athlete(PATROL, "trail patrol"))
        keep_teachers(made, WARDEN, 6)
    return path


def told_from(session: Session) -> int:
    review = session.outing.review
    assert review is not None
    assert review.next_outings is not None
    return review.next_outings.as_usual.outings


def test_a_plain_file_is_told_from_the_athlete_looked_at_and_again_when_that_changes(
    qtbot: QtBot, session: Session, library: Path, tmp_path: Path
) -> None:
    last = write_gpx(tmp_path, 6)[-1]
    entered = session.aim.entered
    session.aim.enter(replace(entered, choice=BandChoice(lower_bpm=90, upper_bpm=130)))
    with qtbot.waitSignal(session.outing.reviewed, timeout=WAIT_MS):
        session.open([last])
    assert told_from(session) == 1
    session.library.opened.open(library)
    # Five of the six began before this outing, which is itself among them and counts once.
    qtbot.waitUntil(lambda: told_from(session) == 6, timeout=WAIT_MS)
    session.library.opened.choose_athlete(PATROL)
    qtbot.waitUntil(lambda: told_from(session) == 1, timeout=WAIT_MS)


def test_what_dropped_work_reads_late_is_not_said_of_the_athlete_looked_at_now(
    qtbot: QtBot, session: Session, library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session.aim.enter(replace(session.aim.entered, choice=BandChoice(lower_bpm=90, upper_bpm=130)))
    with qtbot.waitSignal(session.outing.reviewed, timeout=WAIT_MS):
        session.open(write_gpx(tmp_path, 6)[-1:])
    reading, go_on, again = threading.Event(), threading.Event(), session.outing._reviewer
    with Library.open(library) as kept:
        evidence = kept.results.evidence(WARDEN)

    def late() -> Sequence[KeptEvidence]:
        reading.set()
        assert go_on.wait(WAIT_S)
        return evidence

    def after_the_other(*of: Any) -> Review:
        go_on.set()
        wait_until(lambda: len(session.background._running) == 1)
        return again(*of)

    session.outing.let_speak(lambda: late)
    session.outing.review_again()
    assert reading.wait(WAIT_S)
    monkeypatch.setattr(session.outing, "_reviewer", after_the_other)
    session.outing.let_speak(lambda: list)
    with qtbot.waitSignal(session.outing.reviewed, timeout=WAIT_MS):
        session.outing.review_again()
    assert told_from(session) == 1


def test_the_demo_never_speaks_of_ones_own(
    qtbot: QtBot, session: Session, library: Path, tmp_path: Path
) -> None:
    last = write_gpx(tmp_path, 6)[-1]
    entered = session.aim.entered
    session.aim.enter(replace(entered, choice=BandChoice(lower_bpm=90, upper_bpm=130)))
    session.library.opened.open(library, demo=True)
    qtbot.waitUntil(lambda: len(session.library.opened.rows) == 6, timeout=WAIT_MS)
    with qtbot.waitSignal(session.outing.reviewed, timeout=WAIT_MS):
        session.open([last])
    assert told_from(session) == 1
