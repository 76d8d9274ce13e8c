"""What the program ever wrote, listed and taken away again, in a home folder of the test's own."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from helpers.patience import WAIT_S
from slopebeat.command import files
from slopebeat.command.main import main
from slopebeat.disk import places
from slopebeat.disk.leftovers import registered
from slopebeat.library.store import Library, restore

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "samples" / "lake_shore_walk.gpx"

USE = """
import os, sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from slopebeat.window.shell.app import open_window
from slopebeat.window.shell.crash import NativeFaults, save_log
from slopebeat.session.ended import RunningNote
app = QApplication([])
faults = NativeFaults()
faults.begin()
window = open_window([Path(sys.argv[1])])
note = RunningNote(window.session)
note.begin()
save_log("a fault")
def seen():
    app.processEvents()
    window.close()
    app.quit()
window.session.outing.reviewed.connect(lambda: QTimer.singleShot(0, seen))
QTimer.singleShot(50_000, app.quit)
app.exec()
window.session.close()
os._exit(0)
"""
"""A window that reads a recording and is killed before it can tidy up."""


def everything(home: Path) -> set[Path]:
    """Every file and folder in a home folder."""
    return set(home.rglob("*"))


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home folder without any of the variables that would lead elsewhere."""
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    for name in ("CONFIG", "DATA", "CACHE", "STATE"):
        monkeypatch.delenv(f"XDG_{name}_HOME", raising=False)
    (tmp_path / "home" / "outings").mkdir(parents=True)
    shutil.copy(SAMPLE, tmp_path / "home" / "outings")
    return tmp_path / "home"


def use(home: Path) -> None:
    """A review, an import, a restored library, a window that was killed, and a menu entry."""
    recording, backup = home / "outings" / SAMPLE.name, home / "outings" / "backup.sqlite3"
    assert main(["import", str(recording), "--athlete", "Hut warden", "--band", "112-131"]) == 0
    assert main(["review", str(recording), "--band", "112-131", "--html", str(home / "report.html")]) == 0
    with Library.open(places.data_folder() / places.LIBRARY_FILE) as library:
        library.backup(backup)
    restore(backup, places.data_folder() / places.LIBRARY_FILE)
    shutil.copy(backup, places.data_folder() / places.DEMO_FILE)
    ran = subprocess.run(
        [sys.executable, "-c", USE, str(recording)],
        env={**os.environ, "PYTHONPATH": str(ROOT / "app"), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        timeout=WAIT_S,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    if sys.platform.startswith("linux"):
        assert main(["desktop", "--install"]) == 0
    notebooks = places.data_folder() / places.OLD_NOTEBOOKS / "taken in"
    notebooks.mkdir(parents=True)
    (notebooks / f"{'0a' * 32}-0.json").write_text("{}", encoding="utf-8")


def test_nothing_is_left_of_what_it_wrote_and_all_else_stays(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = everything(home)
    use(home)
    mine = home / "report.html", home / "outings" / "backup.sqlite3"
    capsys.readouterr()
    assert main(["files"]) == 0
    said = capsys.readouterr().out
    written = {path for path in everything(home) - before if path.is_file()} - set(mine)
    assert {path for path in written if str(path) not in said} <= _made_by_desktops(home)
    kinds = {each.kind for each in places.found_files()}
    assert kinds == {"running", "settings", "log", "demo", "notebooks", "copy", "library"}
    assert main(["files", "--remove", "--yes"]) == 0
    assert everything(home) - before - set(mine) <= _made_by_desktops(home)
    assert all(path.exists() for path in (*before, *mine))
    capsys.readouterr()
    assert main(["files"]) == 0
    assert "keeps no file of its own" in capsys.readouterr().out


def _made_by_desktops(home: Path) -> set[Path]:
    """What the desktop's own programs make of menu entries for all programs together, and empty folders."""
    data = home / ".local"
    shared = {path for path in data.rglob("*") if path.is_dir()} | {data, home / ".config", home / ".cache"}
    ours = {path for path in shared if places.NAME in path.parts}
    caches = {path for folder in ("mime", "applications") for path in (data / "share" / folder).rglob("*")}
    return (shared - ours) | {path for path in caches if places.NAME not in path.name}


def test_what_others_put_into_its_folders_stays(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = places.data_folder()
    Library.create(data / places.LIBRARY_FILE).close()
    theirs = [
        data / "my ride.fit",
        data / "library-backup.sqlite3",
        data / "mine.sqlite3",
        data / "notebooks" / "shopping.json",
        places.settings_folder() / "settings.json.bak",
        places.log_folder() / "notes.log",
    ]
    for path in theirs:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("somebody's", encoding="utf-8")
    elsewhere = home / "outings"
    (data / "library.sqlite3-link").symlink_to(elsewhere)
    assert main(["files", "--remove", "--yes"]) == 0
    assert all(path.read_text(encoding="utf-8") == "somebody's" for path in theirs)
    assert (data / "library.sqlite3-link").is_symlink()
    assert (elsewhere / SAMPLE.name).is_file()
    said = capsys.readouterr().out
    assert all(str(path) in said.split("so it stays:")[1] for path in theirs)
    assert not (data / places.LIBRARY_FILE).exists()


def test_it_asks_and_says_what_goes_with_the_library(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    recording = home / "outings" / SAMPLE.name
    assert main(["import", str(recording), "--athlete", "Hut warden", "--band", "112-131"]) == 0
    library = places.data_folder() / places.LIBRARY_FILE
    assert main(["files", "--remove"]) == 2
    captured = capsys.readouterr()
    assert "--yes" in captured.err
    assert "holds 1 outing " in captured.out
    for typed, there in (("no\n", True), ("", True), ("yes\n", False)):
        answer = io.StringIO(typed)
        monkeypatch.setattr(answer, "isatty", lambda: True)
        monkeypatch.setattr(sys, "stdin", answer)
        assert main(["files", "--remove"]) == 0
        assert library.exists() is there


def test_the_library_can_be_kept(home: Path) -> None:
    library = places.data_folder() / places.LIBRARY_FILE
    Library.create(library).close()
    settings = places.settings_folder() / "settings.json"
    settings.parent.mkdir(parents=True, exist_ok=True)
    settings.write_text("{}", encoding="utf-8")
    assert main(["files", "--remove", "--yes", "--keep-library"]) == 0
    assert library.is_file()
    assert not settings.exists()


@pytest.mark.skipif(os.name != "posix", reason="asking whether a process runs would end it there")
def test_nothing_is_removed_under_a_window_that_is_open(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lock = places.running_folder() / "11111111-1111-4111-8111-111111111111.lock"
    lock.parent.mkdir(parents=True)
    lock.write_text(f"{os.getpid()}\npython\nhost\n", encoding="utf-8")
    assert main(["files", "--remove", "--yes"]) == 2
    assert "close it first" in capsys.readouterr().err
    assert lock.exists()


def test_files_being_written_are_known(home: Path) -> None:
    folder = places.settings_folder()
    folder.mkdir(parents=True)
    part = folder / f".settings.json.{'ab' * 16}.part"
    with registered(part):
        part.touch()
        found = {each.path: each.kind for each in places.found_files()}
    assert found[part] == "unfinished"
    assert set(found.values()) == {"unfinished"}


def test_every_kind_has_its_words() -> None:
    assert {own.kind for own in places.OWN} | {"desktop"} == set(files.KINDS)


def test_only_one_module_says_where_the_program_keeps_its_own() -> None:
    asked = re.compile(r"platformdirs\.user_\w+\([^)]|QSettings|QStandardPaths")
    app = ROOT / "app" / "slopebeat"
    texts = {path.relative_to(app).as_posix(): path.read_text(encoding="utf-8") for path in app.rglob("*.py")}
    assert [name for name, text in texts.items() if asked.search(text)] == ["disk/places.py"]
