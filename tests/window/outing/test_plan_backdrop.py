"""Behind the plan: own outings, hills and tiles, at their places; what cannot be read is a sentence."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from helpers.elevation_files import write_tiles
from helpers.patience import WAIT_MS
from helpers.window_acts import review_of
from slopebeat.files.ground.hgt import tile_name
from slopebeat.library.store import Library
from slopebeat.library.ways import KeptLine
from slopebeat.model.way import Box, WayPoints
from slopebeat.plots.outing.backdrop import rect_of
from slopebeat.plots.outing.lines import local_metres, middle_of
from slopebeat.session.ground.backdrop import PlanBackdrop
from slopebeat.window.outing.plan_card import PlanBackdropButton
from slopebeat.window.shell.main_window import MainWindow


def places(window: MainWindow) -> tuple[np.ndarray, np.ndarray]:
    samples = review_of(window).recording.samples
    return samples["lat_deg"], samples["lon_deg"]


def flat_square(window: MainWindow, folder: Path) -> Path:
    lat, lon = (float(np.nanmean(each)) for each in places(window))
    path = folder / f"{tile_name(int(np.floor(lat)), int(np.floor(lon)))}.hgt"
    path.write_bytes(np.full((1201, 1201), 900, ">i2").tobytes())
    return path


def a_line(outing: str, lat: list[float], lon: list[float], piece: list[int]) -> KeptLine:
    points = WayPoints(np.array(lat), np.array(lon), np.array(piece))
    return KeptLine(outing, datetime(2026, 5, 1, tzinfo=UTC), False, points)


def test_own_outings_lie_behind_the_way_but_for_the_one_on_screen(
    ride: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    lat, lon = (float(np.nanmean(each)) for each in places(ride))
    asked: list[Box] = []

    def lines(_athlete: str, box: Box) -> tuple[KeptLine, ...]:
        asked.append(box)
        other = a_line("other", [lat, lat + 0.01, lat + 0.02, lat + 0.03], [lon] * 4, [0, 0, 1, 1])
        return a_line("this", [lat, lat], [lon, lon + 0.01], [0, 0]), other

    library = cast(Library, SimpleNamespace(ways=SimpleNamespace(lines=lines)))
    backdrop = ride.session.backdrop
    monkeypatch.setattr(backdrop, "_whose", lambda: (library, "athlete", "this"))
    backdrop.update()
    drawn = ride.page.plan.backdrop
    qtbot.waitUntil(lambda: drawn.trails.getData()[0] is not None, timeout=WAIT_MS)
    qtbot.waitUntil(lambda: len(drawn.trails.getData()[0]) > 0, timeout=WAIT_MS)
    assert asked[0].south_deg < lat < asked[0].north_deg
    east, north = drawn.trails.getData()
    # Broken between the two pieces, and at its end.
    assert np.isnan(east).tolist() == [False, False, True, False, False, True]
    # A degree of a meridian is 111.2 km on the sphere the plan is drawn on.
    assert north[1] - north[0] == pytest.approx(1111.95, abs=0.5)
    assert drawn.trails.zValue() < ride.page.plan.lines.zValue()
    backdrop.choose(trails=False)
    qtbot.waitUntil(lambda: len(drawn.trails.getData()[0]) == 0, timeout=WAIT_MS)


def test_of_very_many_outings_the_latest_lie_behind_the_way_and_fainter(
    ride: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    lat, lon = (float(np.nanmean(each)) for each in places(ride))
    backdrop, drawn = ride.session.backdrop, ride.page.plan.backdrop
    strengths = []
    for count, shown in ((2, 2), (200, 60)):
        # Each further north than the one before it, of a hundred points.
        lines = tuple(
            a_line(f"{n}", [lat + 1e-5 * n] * 100, [lon + 1e-5 * k for k in range(100)], [0] * 100)
            for n in range(count)
        )
        library = SimpleNamespace(ways=SimpleNamespace(lines=lambda _athlete, _box, lines=lines: lines))
        whose = (cast(Library, library), "athlete", "")
        monkeypatch.setattr(backdrop, "_whose", lambda whose=whose: whose)
        with qtbot.waitSignal(backdrop.changed, timeout=WAIT_MS):
            backdrop.update()
        _east, north = drawn.trails.getData()
        assert np.isnan(north).sum() == shown
        # 1e-5 degrees of a meridian are 1.11 m: so far apart are the first and the last of those drawn.
        assert np.nanmax(north) - np.nanmin(north) == pytest.approx(1.11195 * (shown - 1), abs=0.01)
        strengths.append(drawn.trails.opts["pen"].color().alphaF())
    assert strengths[1] < strengths[0] / 2


def test_hills_and_tiles_lie_where_the_way_is_and_can_be_taken_away(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    backdrop, drawn = ride.session.backdrop, ride.page.plan.backdrop
    backdrop.choose(elevation=flat_square(ride, tmp_path))
    qtbot.waitUntil(lambda: len(drawn.relief.pictures) == 1, timeout=WAIT_MS)
    about = middle_of(*places(ride))
    assert about is not None
    east, north = local_metres(*places(ride), about)
    place, picture = drawn.relief.pictures[0]
    assert place.left() < np.nanmin(east)
    assert np.nanmax(east) < place.right()
    assert place.top() < np.nanmin(north)
    assert np.nanmax(north) < place.bottom()
    assert len({picture.pixel(x, y) for x in range(5) for y in range(5)}) == 1
    # Kept for the next start.
    assert ride.session.settings.content.preferences.backdrop.elevation is not None
    backdrop.choose(elevation=None)
    qtbot.waitUntil(lambda: drawn.relief.pictures == [], timeout=WAIT_MS)


def test_a_damaged_file_is_told_once_and_the_plan_stays(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    bad = tmp_path / "N47E011.hgt"
    bad.write_bytes(b"short")
    backdrop: PlanBackdrop = ride.session.backdrop
    with qtbot.waitSignal(backdrop.failed, timeout=WAIT_MS):
        backdrop.choose(elevation=bad)
    assert "1201 or 3601" in ride.notice.text.text()
    ride.notice.hide()
    with qtbot.waitSignal(backdrop.changed, timeout=WAIT_MS), qtbot.assertNotEmitted(backdrop.failed):
        backdrop.update()


def test_tiles_that_are_no_pictures_are_counted(ride: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    lat, lon = places(ride)
    box = Box(*(float(each) for each in (np.nanmin(lat), np.nanmin(lon), np.nanmax(lat), np.nanmax(lon))))
    picture = QImage(8, 8, QImage.Format.Format_RGB32)
    picture.fill(0xFF336699)
    file = tmp_path / "tile.png"
    picture.save(str(file))
    path = tmp_path / "map.mbtiles"
    write_tiles(path, range(10, 11), box=box, data=file.read_bytes())
    backdrop, drawn = ride.session.backdrop, ride.page.plan.backdrop
    backdrop.choose(tiles=path)
    qtbot.waitUntil(lambda: bool(drawn.tiles.pictures), timeout=WAIT_MS)
    assert drawn.tiles.pictures[0][1].pixelColor(4, 4).name() == "#336699"
    spoilt = tmp_path / "spoilt.mbtiles"
    write_tiles(spoilt, range(10, 11), box=box)
    with qtbot.waitSignal(backdrop.failed, timeout=WAIT_MS):
        backdrop.choose(tiles=spoilt)
    assert "damaged" in ride.notice.text.text()


def test_a_box_lies_about_the_middle_of_the_way() -> None:
    place = rect_of(Box(46.0, 11.0, 46.2, 11.2), (46.1, 11.1))
    assert place.center().x() == pytest.approx(0.0, abs=1e-6)
    assert place.height() == pytest.approx(0.2 * 111_195.1, rel=1e-4)
    assert place.width() == pytest.approx(0.2 * 111_195.1 * np.cos(np.radians(46.1)), rel=1e-4)


def test_the_menu_shows_what_is_chosen_and_asks_for_files(
    ride: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = flat_square(ride, tmp_path)
    monkeypatch.setattr("slopebeat.window.outing.plan_card.FileDialog.ask_to_open", lambda *_asked: path)
    button = ride.page.findChild(PlanBackdropButton)
    assert button is not None
    names = [action.text() for action in button.menu().actions()]
    assert len(names) == 3
    button.menu().actions()[1].trigger()
    assert ride.session.backdrop.choice.elevation == path
    button.fill()
    shown = [action for action in button.menu().actions() if path.name in action.text()]
    assert [action.isChecked() for action in shown] == [True]
    shown[0].trigger()
    assert ride.session.backdrop.choice.elevation is None
    qtbot.waitUntil(lambda: ride.session.background.idle, timeout=WAIT_MS)
