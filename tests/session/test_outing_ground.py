"""What of the open outing was gone before, read in the background."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete
from slopebeat.review.ground.search import find_ground
from slopebeat.review.imports.importing import import_files
from slopebeat.session.session import Session
from slopebeat.session.settings import Settings

WALK = Path(__file__).resolve().parents[2] / "samples" / "lake_shore_walk.gpx"


@pytest.fixture
def session(qtbot: QtBot, tmp_path: Path) -> Iterator[Session]:
    made = Session(Settings(tmp_path / "settings.json"))
    yield made
    made.close()


def test_an_outing_of_the_library_knows_what_earlier_ones_went(
    session: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    """The same walk a week before: all of the later one was gone, nothing of the earlier."""
    earlier = tmp_path / "earlier.gpx"
    earlier.write_text(WALK.read_text("utf-8").replace("2026-0", "2025-0"), "utf-8")
    path = tmp_path / "library.sqlite3"
    with Library.create(path) as library:
        warden = library.athletes.add(Athlete("11111111-1111-4111-8111-111111111111", "Hut warden"))
        import_files(library, warden.identity, [WALK, earlier], workers=1)
        find_ground(library)
        first, second = (outing.identity for outing in library.outings.of(warden.identity))
    session.library.open(path)
    qtbot.waitUntil(lambda: session.library.idle, timeout=WAIT_MS)
    with qtbot.waitSignal(session.outing_ground.changed, timeout=WAIT_MS):
        session.library.open_outing(second)
    gone, review = session.outing_ground.gone, session.outing.review
    assert review is not None
    assert gone.length_m > 0.9 * review.track.distance_m[-1]
    with qtbot.waitSignal(session.outing_ground.changed, timeout=WAIT_MS):
        session.library.open_outing(first)
    assert session.outing_ground.gone.stretches == ()
