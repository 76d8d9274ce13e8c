"""The entered aim: bands from entries, lending for a demo, and what is remembered."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

from pytestqt.qtbot import QtBot

from slopebeat.model.athlete import Aim
from slopebeat.model.bands import BandMethod
from slopebeat.session.aim import AimState, BandChoice, Entered
from slopebeat.session.settings import MOST_RECENT, Settings

ENTERED = Entered(
    BandChoice(BandMethod.RESERVE, 110, 130, 187, 52, (0.6, 0.7), (0.4, 0.59)),
    Aim(target_s=3000.0, body_mass_kg=72.5, load_kg=14.0, bike_mass_kg=13.0),
)


def test_no_band_is_assumed_before_one_is_entered() -> None:
    for method in BandMethod:
        assert BandChoice(method).band() is None


def test_half_an_entry_is_no_band() -> None:
    assert BandChoice(BandMethod.MANUAL, lower_bpm=110).band() is None
    assert BandChoice(BandMethod.RESERVE, hr_max_bpm=187).band() is None


def test_reserve_band_is_karvonen_rounded_outward() -> None:
    band = ENTERED.choice.band()
    assert band is not None
    # 52 + 0.40 (187 - 52) = 106.0 and 52 + 0.59 (187 - 52) = 131.65.
    assert (band.lower_bpm, band.upper_bpm) == (106, 132)


def test_contradicting_entries_leave_no_band_and_a_reason(qtbot: QtBot) -> None:
    aim = AimState()
    aim.enter(Entered(BandChoice(BandMethod.MANUAL, 140, 120)))
    assert aim.aim.band is None
    assert aim.problem.endswith(".")


def test_an_entry_that_changes_no_aim_starts_no_review(qtbot: QtBot) -> None:
    aim = AimState(ENTERED)
    with qtbot.assertNotEmitted(aim.changed), qtbot.waitSignal(aim.entered_changed):
        aim.enter(replace(ENTERED, choice=replace(ENTERED.choice, lower_bpm=100)))


def test_a_lent_aim_leaves_the_own_one_alone_even_when_edited(qtbot: QtBot) -> None:
    aim = AimState(ENTERED)
    aim.lend(Entered(BandChoice(BandMethod.MANUAL, 112, 131)))
    aim.enter(Entered(BandChoice(BandMethod.MANUAL, 112, 140)))
    assert aim.own == ENTERED
    aim.give_back()
    assert aim.entered == ENTERED
    assert not aim.lent


def test_everything_entered_comes_back_after_a_restart(tmp_path: Path) -> None:
    path = tmp_path / "folder" / "settings.json"
    first = Settings(path)
    first.remember_aim(ENTERED)
    first.remember_file(tmp_path / "a.fit")
    again = Settings(path)
    assert again.entered == ENTERED
    assert again.recent == (tmp_path / "a.fit",)


def test_recent_files_are_the_last_ones_each_once(tmp_path: Path) -> None:
    settings = Settings(tmp_path / "settings.json")
    for number in (*range(MOST_RECENT + 3), 5):
        settings.remember_file(tmp_path / f"{number}.fit")
    names = [path.name for path in settings.recent]
    assert len(names) == len(set(names)) == MOST_RECENT
    assert names[:2] == ["5.fit", f"{MOST_RECENT + 2}.fit"]


def test_broken_settings_are_left_and_defaults_used(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    for content in ("{", "[]", json.dumps({"band": {"method": "by magic"}})):
        path.write_text(content, encoding="utf-8")
        assert Settings(path).entered == Entered()
        assert path.read_text(encoding="utf-8") == content


def test_without_a_path_the_users_own_folder_is_used(tmp_path: Path) -> None:
    assert Path.home() in Settings().path.parents
