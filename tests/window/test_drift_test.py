"""The drift test on screen: its sentence, its reasons, its threshold."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from slopebeat.analysis.drift_test import Outcome, drift_test
from slopebeat.model.bands import Band
from slopebeat.session.aim import Entered
from slopebeat.session.settings import Settings
from slopebeat.window.drift_test_box import NO_BAND, outcome_words
from slopebeat.window.main_window import MainWindow
from synthetic import track
from window_acts import review_of

WAIT_MS = 20_000


def test_an_outing_on_hills_is_no_test_and_every_reason_is_shown(ride: MainWindow) -> None:
    panel = ride.page.decoupling
    ride.page.tabs.setCurrentWidget(panel)
    found = review_of(ride).drift_test
    assert found is not None
    assert found.outcome is Outcome.NOT_A_TEST
    assert found.reasons
    for reason in found.reasons:
        assert reason in panel.drift_test.words.text()


def test_a_level_hour_at_the_edge_answers_with_its_sentence() -> None:
    t = np.arange(4201.0)
    # Heart rate rises 5 % from minute 10 on: (p / 2) / (1 + 3 p / 4) = 2.41 % decoupling, in closed form.
    hr = 130.0 * (1.0 + 0.05 * np.clip((t - 600.0) / 3600.0, 0.0, 1.0))
    words = outcome_words(drift_test(track(t, hr=hr), np.full(t.shape, 4.6), Band(112, 131)))
    assert "+2.4 %, under your threshold of 5 %" in words
    assert "convention" in words
    assert outcome_words(None) == NO_BAND


def test_the_threshold_entered_reaches_the_review_and_is_kept(ride: MainWindow, qtbot: QtBot) -> None:
    ride.page.tabs.setCurrentWidget(ride.page.decoupling)
    with qtbot.waitSignal(ride.session.outing.reviewed, timeout=WAIT_MS):
        ride.page.decoupling.drift_test.threshold.setValue(3.5)
    found = review_of(ride).drift_test
    assert found is not None
    assert found.threshold_percent == pytest.approx(3.5)
    assert Settings(ride.session.settings.path).entered.rest.drift_threshold_percent == pytest.approx(3.5)


def test_settings_of_an_earlier_version_get_the_usual_threshold(tmp_path) -> None:
    path = tmp_path / "settings.json"
    settings = Settings(path)
    settings.remember_aim(replace(Entered(), rest=replace(Entered().rest, body_mass_kg=70.0)))
    written = path.read_text(encoding="utf-8")
    kept = [line for line in written.splitlines() if "drift_threshold" not in line]
    assert len(kept) == len(written.splitlines()) - 1
    path.write_text("\n".join(kept), encoding="utf-8")
    assert Settings(path).entered.rest.body_mass_kg == 70.0
    assert Settings(path).entered.rest.drift_threshold_percent == 5.0
