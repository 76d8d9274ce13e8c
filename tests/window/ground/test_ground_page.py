"""Ground gone before in the window, as a person uses it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from helpers.libraries import keep, walks, warden
from helpers.patience import WAIT_MS
from helpers.ways import curved, off, way
from helpers.window_acts import go_to_library
from slopebeat.library.store import Library
from slopebeat.window.ground.page import GroundPage
from slopebeat.window.shell.main_window import MainWindow


def filled(path: Path) -> None:
    """A hut warden who went two ways on three days each."""
    with Library.create(path) as kept:
        athlete = warden(kept).identity
        keep(kept, athlete, walks(6))
        for number, outing in enumerate(kept.outings.of(athlete)):
            result = kept.results.get(outing.identity)
            assert result is not None
            places = curved(1 + number % 2, 1500.0)
            error = off(places[0].size, 3.0, np.random.default_rng(number))
            made = way(*places, day=7.0 * number, error=error, hr_bpm=140.0 - number, kind="walk")
            kept.results.put(outing.identity, replace(result, way=made))


@pytest.fixture
def page(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> GroundPage:
    filled(tmp_path / "ground.sqlite3")
    go_to_library(window, qtbot, tmp_path / "ground.sqlite3")
    tabs = window.library.page.tabs
    found = [tabs.widget(at) for at in range(tabs.count()) if isinstance(tabs.widget(at), GroundPage)]
    (shown,) = found
    assert isinstance(shown, GroundPage)
    tabs.setCurrentWidget(shown)
    qtbot.waitUntil(lambda: bool(shown.passes.rows.rows) and window.session.steps.idle, timeout=WAIT_MS)
    return shown


def test_places_are_found_in_the_background_and_shown_with_their_passes(
    window: MainWindow, page: GroundPage, qtbot: QtBot
) -> None:
    ground = window.session.ground
    assert {row.days for row in ground.ground.places} == {3}
    assert len(page.passes.rows.rows) == 3
    assert page.title.text().startswith("No. ")
    assert page.chart.accessibleDescription().count("bpm") == 3
    assert page.levels.accessibleDescription()
    before = page.title.text()
    page.places.pick(len(ground.ground.places) - 1)
    qtbot.waitUntil(lambda: page.title.text() != before, timeout=WAIT_MS)
    assert page.places.picked_row() == len(ground.ground.places) - 1
    # Leaving out what is near starts and ends leaves nothing of ways so short, and is remembered.
    page.ends.click()
    qtbot.waitUntil(lambda: not page.places.rows.rows and not page.passes.rows.rows, timeout=WAIT_MS)
    assert window.session.library.memory.without_ends
    page.ends.click()
    qtbot.waitUntil(lambda: bool(page.places.rows.rows), timeout=WAIT_MS)
    numbers = {row.number for row in ground.ground.places}
    with qtbot.waitSignal(window.session.library.work.ground_found, timeout=WAIT_MS):
        page.again.click()
    qtbot.waitUntil(
        lambda: len(ground.ground.places) == len(numbers) and window.session.library.idle, timeout=WAIT_MS
    )
