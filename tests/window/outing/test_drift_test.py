"""The steady-hour check on screen: its sentence, its reasons, its limit."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.libraries import made
from helpers.patience import WAIT_MS
from helpers.recordings import recording, track
from helpers.window_acts import next_review, review_of
from slopebeat.analysis.band.drift_test import DriftTestOutcome, drift_test
from slopebeat.model.bands import Band, BandMethod
from slopebeat.model.people import Ground
from slopebeat.review.words.messages import say
from slopebeat.session.outing.aim import BandChoice, Entered
from slopebeat.session.settings import Settings
from slopebeat.window.outing.decoupling_panel import NO_BAND, outcome_words
from slopebeat.window.shell.main_window import MainWindow


def test_an_outing_on_hills_is_no_test_and_every_reason_is_shown(ride: MainWindow) -> None:
    panel = ride.page.decoupling
    ride.page.tabs.setCurrentWidget(panel)
    found = review_of(ride).drift_test
    assert found is not None
    assert found.outcome is DriftTestOutcome.NOT_A_TEST
    assert found.reasons
    for reason in found.reasons:
        assert say(reason) in panel.drift_test.words.text()


def test_a_level_hour_at_the_edge_answers_with_its_sentence() -> None:
    t = np.arange(4201.0)
    # Heart rate rises 5 % from minute 10 on: (p / 2) / (1 + 3 p / 4) = 2.41 % decoupling, in closed form.
    hr = 130.0 * (1.0 + 0.05 * np.clip((t - 600.0) / 3600.0, 0.0, 1.0))
    words = outcome_words(drift_test(track(t, hr=hr), np.full(t.shape, 4.6), Band(112, 131)))
    assert "+2.4 %, under your limit of 5 %" in words
    assert "common practice without a source" in words
    assert outcome_words(None) == NO_BAND


def test_the_threshold_entered_reaches_the_review_and_is_kept(ride: MainWindow, qtbot: QtBot) -> None:
    ride.page.tabs.setCurrentWidget(ride.page.decoupling)
    with next_review(ride.session, qtbot):
        ride.page.decoupling.drift_test.threshold.setValue(3.5)
    found = review_of(ride).drift_test
    assert found is not None
    assert found.threshold_percent == pytest.approx(3.5)
    assert Settings(ride.session.settings.path).content.entered.rest.drift_threshold_percent == pytest.approx(
        3.5
    )


def test_settings_of_an_earlier_version_get_the_usual_threshold(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    settings = Settings(path)
    settings.remember_aim(replace(Entered(), rest=replace(Entered().rest, body_mass_kg=70.0)))
    written = path.read_text(encoding="utf-8")
    kept = [line for line in written.splitlines() if "drift_threshold" not in line]
    assert len(kept) == len(written.splitlines()) - 1
    path.write_text("\n".join(kept), encoding="utf-8")
    assert Settings(path).content.entered.rest.body_mass_kg == 70.0
    assert Settings(path).content.entered.rest.drift_threshold_percent == 5.0


def test_a_band_that_passed_is_kept_for_the_athlete_who_is_named(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    session = window.session
    made(tmp_path / "walks.sqlite3")
    with qtbot.waitSignal(session.library.opened.opened, timeout=WAIT_MS):
        session.library.open(tmp_path / "walks.sqlite3")
    # A level hour at the upper edge: heart rate as in the closed form above.
    t = np.arange(4201.0)
    hour = recording(t, hr=lambda s: 130.0 * (1.0 + 0.05 * np.clip((s - 600.0) / 3600.0, 0.0, 1.0)))
    session.edit_aim(Entered(BandChoice(lower_bpm=112, upper_bpm=131), session.aim.entered.rest))
    with next_review(session, qtbot):
        session.outing.set_recordings((hour,))
    window.page.tabs.setCurrentWidget(window.page.decoupling)
    box = window.page.decoupling.drift_test
    assert not_none(review_of(window).drift_test).outcome is DriftTestOutcome.UNDER
    assert box.keep.isVisible()
    assert box.keep.text() == "Keep 112-131 bpm for Hut warden on foot from 2026-07-11 on"
    with qtbot.waitSignal(session.library.work.recomputed, timeout=WAIT_MS):
        box.keep.click()
    latest = max(session.library.opened.periods, key=lambda period: period.from_day)
    assert (latest.from_day, latest.ground, latest.band.method) == (
        date(2026, 7, 11),
        Ground.FOOT,
        BandMethod.DRIFT_TEST,
    )
    assert (latest.band.lower_bpm, latest.band.upper_bpm) == (112, 131)
    kept = latest.band.basis.values
    figures = not_none(review_of(window).drift_test)
    assert kept == {
        "key": "drift_test",
        "day": "2026-07-11",
        "percent": figures.percent,
        "threshold_percent": figures.threshold_percent,
    }
    assert not box.keep.isVisible(), "it is kept"
