"""New recordings of a folder are imported by themselves, once, for one athlete of one library."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.libraries import made
from helpers.patience import WAIT_MS
from slopebeat.review.imports.report import ImportReport
from slopebeat.session.library import watch
from slopebeat.session.library.library import LibrarySession

ROOT = Path(__file__).resolve().parents[3]
WALK, HIKE = ROOT / "samples" / "lake_shore_walk.gpx", ROOT / "samples" / "hut_supply_hike.fit"


@pytest.fixture
def device(tmp_path: Path) -> Path:
    folder = tmp_path / "device" / "activities"
    folder.mkdir(parents=True)
    return folder


@pytest.fixture
def library(tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Iterator[LibrarySession]:
    """Open on a library with one athlete; looks follow one another quickly."""
    monkeypatch.setattr(watch, "EVERY_MS", 30)
    monkeypatch.setattr(watch, "SETTLE_MS", 10)
    made(tmp_path / "walks.sqlite3")
    session = _opened(tmp_path, qtbot)
    yield session
    session.close()


def _opened(tmp_path: Path, qtbot: QtBot) -> LibrarySession:
    session = LibrarySession(tmp_path / "settings")
    with qtbot.waitSignal(session.opened.rows_changed, timeout=WAIT_MS):
        session.open(tmp_path / "walks.sqlite3")
    return session


def _files(library: LibrarySession) -> list[str]:
    return sorted(row.outing.file_name for row in library.opened.rows if "." in row.outing.file_name)


def _watch(library: LibrarySession, folder: Path) -> None:
    assert library.opened.athlete is not None
    library.watch.watch(folder, library.opened.athlete)


def test_what_comes_into_the_folder_comes_into_the_library_and_stays_where_it_is(
    library: LibrarySession, device: Path, qtbot: QtBot
) -> None:
    before = library.opened.library.outings.count() if library.opened.library else 0
    shutil.copy(WALK, device)
    reports: list[ImportReport] = []
    library.watch.arrived.connect(reports.append)
    _watch(library, device)
    qtbot.waitUntil(lambda: len(reports) == 1, timeout=WAIT_MS)
    assert [each.file_name for each in reports[0].imported] == [WALK.name]
    shutil.copy(HIKE, device)
    (device / "broken.gpx").write_text("<gpx>")

    def told() -> list[str]:
        kept = [each.file_name for report in reports for each in report.imported]
        return sorted([*kept, *(each.name for report in reports for each in report.unreadable)])

    qtbot.waitUntil(lambda: len(told()) >= 3, timeout=WAIT_MS)
    (device / "broken_too.gpx").write_text("<gpx>")
    qtbot.waitUntil(lambda: "broken_too.gpx" in told(), timeout=WAIT_MS)
    files = sorted([WALK.name, HIKE.name, "broken.gpx", "broken_too.gpx"])
    assert told() == files, "each file is told of once"
    assert library.opened.library is not None
    assert library.opened.library.outings.count() == before + 2
    assert sorted(path.name for path in device.iterdir()) == files


def test_a_new_start_goes_on_and_a_device_may_come_later(
    library: LibrarySession, device: Path, qtbot: QtBot, tmp_path: Path
) -> None:
    shutil.copy(WALK, device)
    _watch(library, device)
    qtbot.waitUntil(lambda: bool(library.watch.watched.taken), timeout=WAIT_MS)
    library.close()
    shutil.move(device.parent, tmp_path / "unplugged")
    again = _opened(tmp_path, qtbot)
    reports: list[ImportReport] = []
    again.watch.arrived.connect(reports.append)
    qtbot.waitUntil(lambda: again.watch.there is False, timeout=WAIT_MS)
    shutil.copy(HIKE, tmp_path / "unplugged" / "activities")
    shutil.move(tmp_path / "unplugged", device.parent)
    qtbot.waitUntil(lambda: bool(reports), timeout=WAIT_MS)
    assert [each.file_name for each in reports[0].imported] == [HIKE.name], "the walk is known"
    again.close()


def test_it_is_not_looked_at_for_another_library_nor_after_it_was_stopped(
    library: LibrarySession, device: Path, qtbot: QtBot, tmp_path: Path
) -> None:
    _watch(library, device)
    qtbot.waitUntil(lambda: library.watch.there is True, timeout=WAIT_MS)
    made(tmp_path / "other.sqlite3")
    with qtbot.waitSignal(library.opened.opened, timeout=WAIT_MS):
        library.open(tmp_path / "other.sqlite3")
    shutil.copy(WALK, device)
    assert not library.watch._wanted()
    with qtbot.waitSignal(library.opened.opened, timeout=WAIT_MS):
        library.open(tmp_path / "walks.sqlite3")
    qtbot.waitUntil(lambda: bool(library.watch.watched.taken), timeout=WAIT_MS)
    library.watch.stop()
    assert library.watch.watched == watch.Watched()
    assert not library.watch._wanted()


def test_an_import_that_was_stopped_is_not_begun_again_by_itself(
    library: LibrarySession, device: Path, qtbot: QtBot
) -> None:
    for number in range(30):
        (device / f"{number}.gpx").write_bytes(WALK.read_bytes() + b"\n" * number)
    library.work.started.connect(lambda _words: library.work.cancel())
    with qtbot.waitSignal(library.watch.arrived, timeout=WAIT_MS) as told:
        _watch(library, device)
    assert told.args is not None
    assert told.args[0].cancelled
    assert library.watch.held
    assert not library.watch.watched.taken
