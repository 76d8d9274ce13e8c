"""Earlier outings of the library that is open speak of the next one, in the window too."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.earlier_outings import keep_teachers, write_gpx
from helpers.patience import WAIT_MS
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete
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
