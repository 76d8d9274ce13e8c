"""The card of the day: joined by time and place, taken apart and joined again by hand, part by part."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.patience import WAIT_MS
from helpers.window_acts import next_review, wait_drawn
from slopebeat.session.settings import Settings
from slopebeat.window.outing.day_card import DayCard
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.page_file import FileDialog

POINT = (
    '<trkpt lat="{lat:.6f}" lon="11.0"><ele>900</ele><time>2026-07-11T{h:02d}:{m:02d}:{s:02d}Z</time></trkpt>'
)


def gpx(path: Path, hour: int, back: bool) -> Path:
    """Fifty-five minutes north from one place, or back to it."""
    steps = range(329, -1, -1) if back else range(330)
    points = "".join(
        POINT.format(lat=47.0 + 0.0001 * at, h=hour, m=i // 6, s=i % 6 * 10) for i, at in enumerate(steps)
    )
    path.write_text(
        '<?xml version="1.0"?><gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>'
        f"{points}</trkseg></trk></gpx>",
        encoding="utf-8",
    )
    return path


@pytest.fixture
def day(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> DayCard:
    with next_review(window.session, qtbot):
        window.open([gpx(tmp_path / "a.gpx", 7, False), gpx(tmp_path / "b.gpx", 8, True)])
    qtbot.waitUntil(lambda: window.session.day.day is not None, timeout=WAIT_MS)
    wait_drawn(window.session, qtbot)
    found: DayCard = window.findChildren(DayCard)[0]
    return found


def test_a_day_is_joined_gone_through_taken_apart_and_joined(
    day: DayCard, window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = window.session
    assert not day.isHidden()
    assert [way.isChecked() for way in day.parts] == [True, False]
    with next_review(session, qtbot):
        day.parts[1].click()
    assert session.outing.index == 1
    qtbot.waitUntil(lambda: day.parts[1].isChecked(), timeout=WAIT_MS)

    target = tmp_path / "day.html"
    monkeypatch.setattr(FileDialog, "ask_to_save", staticmethod(lambda *asked: target))
    day.save.click()
    qtbot.waitUntil(lambda: "day.html" in day.notice.text(), timeout=WAIT_MS)
    assert "Part 2 of 2" in target.read_text(encoding="utf-8")

    day.apart.click()
    wait_drawn(session, qtbot)
    assert not session.day.joined
    assert not day.join.isHidden()
    assert day.parts
    assert day.bar.isHidden()
    second = session.outing.recordings[1].start_utc.isoformat()
    assert Settings(session.settings.path).joined(second) is False

    day.join.click()
    qtbot.waitUntil(lambda: session.day.day is not None, timeout=WAIT_MS)
    assert not_none(session.day.day).between_s == (310.0,)
    assert Settings(session.settings.path).joined(second) is True


def test_one_recording_has_no_card(ride: MainWindow) -> None:
    assert ride.findChildren(DayCard)[0].isHidden()
