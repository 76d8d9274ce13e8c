"""The entered aim: bands from entries, lending for a demo, and what is remembered."""

from __future__ import annotations

import json
import os
import stat
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.model.bands import BandMethod
from slopebeat.model.people import Aim
from slopebeat.session.outing.aim import AimState, BandChoice, Entered
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.session.settings import MOST_RECENT, Appearance, Layout, Preferences, Settings, Units

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
    with qtbot.assertNotEmitted(aim.changed), qtbot.waitSignal(aim.entered_changed, timeout=WAIT_MS):
        aim.enter(replace(ENTERED, choice=replace(ENTERED.choice, lower_bpm=100)))


def test_a_lent_aim_leaves_the_own_one_alone_even_when_edited(qtbot: QtBot) -> None:
    aim = AimState(ENTERED)
    aim.use_for_now(Entered(BandChoice(BandMethod.MANUAL, 112, 131)))
    aim.enter(Entered(BandChoice(BandMethod.MANUAL, 112, 140)))
    assert aim.own == ENTERED
    aim.give_back()
    assert aim.entered == ENTERED
    assert not aim.for_now


def test_everything_entered_comes_back_after_a_restart(tmp_path: Path) -> None:
    path = tmp_path / "folder" / "settings.json"
    first = Settings(path)
    first.remember_aim(ENTERED)
    first.remember_file(tmp_path / "a.fit")
    again = Settings(path)
    assert again.content.entered == ENTERED
    assert again.recent == (tmp_path / "a.fit",)


def test_recent_files_are_the_last_ones_each_once(tmp_path: Path) -> None:
    settings = Settings(tmp_path / "settings.json")
    for number in (*range(MOST_RECENT + 3), 5):
        settings.remember_file(tmp_path / f"{number}.fit")
    names = [path.name for path in settings.recent]
    assert len(names) == len(set(names)) == MOST_RECENT
    assert names[:2] == ["5.fit", f"{MOST_RECENT + 2}.fit"]


def saved(path: Path) -> dict[str, Any]:
    """A settings file with everything other than its default."""
    settings = Settings(path)
    settings.remember_aim(ENTERED)
    settings.remember_file(path.with_name("a.fit"))
    settings.keep(preferences=Preferences(Units.IMPERIAL, "de", Appearance.DARK, 120))
    settings.keep(layout=Layout((1200, 800), True, (900, 300), (500, 200), 2, Along.DISTANCE, Rate.VERTICAL))
    content: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return content


def test_preferences_and_layout_come_back_after_a_restart(tmp_path: Path) -> None:
    saved(tmp_path / "settings.json")
    again = Settings(tmp_path / "settings.json")
    assert again.content.preferences == Preferences(Units.IMPERIAL, "de", Appearance.DARK, 120)
    assert again.content.layout.shares_px == (500, 200)
    assert (again.content.layout.along, again.content.layout.rate) == (Along.DISTANCE, Rate.VERTICAL)


@pytest.mark.parametrize(
    ("words", "method"),
    [
        ("% of maximal heart rate", BandMethod.HR_MAX),
        ("% of heart-rate reserve", BandMethod.RESERVE),
        ("set by hand", BandMethod.MANUAL),
        ("lactate test", BandMethod.LACTATE),
        ("drift test", BandMethod.DRIFT_TEST),
    ],
)
def test_settings_that_hold_words_are_read_and_written_again_with_names(
    tmp_path: Path, words: str, method: BandMethod
) -> None:
    """Earlier versions wrote the words of the screen."""
    path = tmp_path / "settings.json"
    content = saved(path)
    content["band"]["method"] = words
    content["layout"] |= {"along": "distance", "rate": "vertical speed"}
    path.write_text(json.dumps(content), encoding="utf-8")
    old = Settings(path)
    assert old.content.entered.choice.method is method
    assert (old.content.layout.along, old.content.layout.rate) == (Along.DISTANCE, Rate.VERTICAL)
    assert not list(tmp_path.glob("*damaged*"))
    old.remember_file(path.with_name("b.fit"))
    written = json.loads(path.read_text(encoding="utf-8"))
    assert (written["band"]["method"], written["layout"]["rate"]) == (method.name, "VERTICAL")


@pytest.mark.parametrize("content", ["{", "[]", "\x00", ""])
def test_settings_that_are_no_settings_are_set_aside_with_one_line(
    tmp_path: Path, content: str, caplog: pytest.LogCaptureFixture
) -> None:
    path = tmp_path / "settings.json"
    path.write_text(content, encoding="utf-8")
    assert Settings(path).content.entered == Entered()
    assert (tmp_path / "settings.damaged-1.json").read_text(encoding="utf-8") == content
    assert len(caplog.records) == 1
    caplog.clear()
    Settings(path)
    assert not caplog.records


DAMAGE = [
    ("body_mass_kg", -3),
    ("body_mass_kg", "heavy"),
    ("load_kg", float("nan")),
    ("target_s", True),
    ("recent", "a.fit"),
    ("band", 7),
    ("band.method", "by magic"),
    ("band.hr_max_bpm", [187]),
    ("band.lower_bpm", 1e308),
    ("preferences.units", "cubits"),
    ("preferences.language", ["de"]),
    ("preferences.text_percent", 1000),
    ("layout.window_px", [1200, None]),
    ("layout.along", None),
]


@pytest.mark.parametrize(("name", "value"), DAMAGE)
def test_one_damaged_field_costs_only_itself(
    tmp_path: Path, name: str, value: object, caplog: pytest.LogCaptureFixture
) -> None:
    path = tmp_path / "settings.json"
    content = saved(path)
    sound = Settings(path)
    *outer, last = name.split(".")
    holder = content if not outer else content[outer[0]]
    holder[last] = value
    damaged = json.dumps(content)
    path.write_text(damaged, encoding="utf-8")
    found = Settings(path)
    assert (tmp_path / "settings.damaged-1.json").read_text(encoding="utf-8") == damaged
    (line,) = caplog.records
    assert name in line.getMessage()
    caplog.clear()
    kept = {
        "band": found.content.entered.choice == sound.content.entered.choice,
        "preferences": found.content.preferences == sound.content.preferences,
        "layout": found.content.layout == sound.content.layout,
        "recent": found.recent == sound.recent,
        "aim": found.content.entered.rest == sound.content.entered.rest,
    }
    part = name.split(".")[0]
    assert [each for each, same in kept.items() if not same] == [part if part in kept else "aim"]


def test_no_damaged_file_is_written_over(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    path = tmp_path / "settings.json"
    for content in ("{", "["):
        path.write_text(content, encoding="utf-8")
        Settings(path)
    caplog.clear()
    aside = sorted(tmp_path.glob("settings.damaged-*.json"))
    assert [each.read_text(encoding="utf-8") for each in aside] == ["{", "["]


def test_without_a_path_the_users_own_folder_is_used(tmp_path: Path) -> None:
    assert Path.home() in Settings().path.parents


@pytest.mark.skipif(os.name != "posix", reason="rights as POSIX has them")
def test_settings_are_their_owners_alone_and_those_left_open_are_closed(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    Settings(path).remember_file(tmp_path / "outing.fit")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    path.chmod(0o644)
    Settings(path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_settings_nested_without_end_fall_back_and_are_set_aside(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    path = tmp_path / "settings.json"
    path.write_text("[" * 100_000, encoding="utf-8")
    assert Settings(path).content.entered == Entered()
    assert (tmp_path / "settings.damaged-1.json").is_file()
    caplog.clear()
