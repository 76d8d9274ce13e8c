"""The menu entry: written for one user, valid, found by the file types, and gone again."""

from __future__ import annotations

import configparser
import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

from slopebeat.command.desktop import exec_words
from slopebeat.command.main import main
from slopebeat.session.outing.opening import demo_files

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="menus of a Linux desktop")


@pytest.fixture
def data_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    home = tmp_path / "data of a user"
    monkeypatch.setenv("XDG_DATA_HOME", str(home))
    return home


def _entry(home: Path) -> configparser.ConfigParser:
    parser = configparser.ConfigParser(interpolation=None, strict=True)
    parser.optionxform = str  # type: ignore[assignment,method-assign]
    parser.read(home / "applications" / "slopebeat.desktop", encoding="utf-8")
    return parser


def test_what_is_written_is_told_and_removed_again(
    data_home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = data_home / "applications" / "another.desktop"
    other.parent.mkdir(parents=True)
    other.write_text("[Desktop Entry]\n", encoding="utf-8")
    assert main(["desktop", "--install"]) == 0
    written = [Path(line) for line in capsys.readouterr().out.splitlines()]
    assert len(written) == 4
    assert all(path.is_file() and path.is_relative_to(data_home) for path in written)
    assert main(["desktop", "--install"]) == 0
    assert main(["desktop", "--remove"]) == 0
    assert not any(path.exists() for path in written)
    assert other.exists()


def test_the_entry_starts_this_program(data_home: Path) -> None:
    main(["desktop", "--install"])
    entry = _entry(data_home)["Desktop Entry"]
    # Required keys: Desktop Entry Specification 1.4, "Recognized desktop entry keys".
    assert entry["Type"] == "Application"
    assert entry["Name"] == "Slopebeat"
    *command, files = shlex.split(entry["Exec"].replace("\\\\", "\\"))
    assert files == "%F"
    done = subprocess.run([*command, "--version"], capture_output=True, text=True, check=True)
    assert done.stdout.startswith("slopebeat ")
    demo = _entry(data_home)["Desktop Action demo"]["Exec"]
    assert demo.endswith(" --demo")


def test_a_path_with_signs_is_quoted_as_the_specification_asks() -> None:
    # Quoting and escaping: Desktop Entry Specification 1.4, "The Exec key".
    assert exec_words(["/opt/a b/run"]) == '"/opt/a b/run"'
    assert exec_words(["/o$t/100%"]) == '"/o\\\\$t/100%%"'


def test_the_file_types_are_those_of_the_entry(data_home: Path) -> None:
    main(["desktop", "--install"])
    space = "{http://www.freedesktop.org/standards/shared-mime-info}"
    root = ElementTree.parse(data_home / "mime" / "packages" / "slopebeat.xml").getroot()
    types = [each.attrib["type"] for each in root.iter(f"{space}mime-type")]
    assert sorted(types) == sorted(_entry(data_home)["Desktop Entry"]["MimeType"].strip(";").split(";"))


@pytest.mark.skipif(shutil.which("update-mime-database") is None, reason="no shared-mime-info here")
def test_a_desktop_recognises_the_demo_outings(data_home: Path, tmp_path: Path) -> None:
    main(["desktop", "--install"])
    unnamed = tmp_path / "recording"
    unnamed.write_bytes(next(p for p in demo_files() if p.suffix == ".fit").read_bytes())
    ask = (
        "import sys; from PySide6.QtCore import QMimeDatabase; base = QMimeDatabase()\n"
        "for name in sys.argv[1:]: print(base.mimeTypeForFile(name).name())"
    )
    files = [*sorted(demo_files(), key=lambda path: path.suffix), unnamed]
    command = [sys.executable, "-c", ask, *map(str, files)]
    # In a process of its own, because the database is read once and kept.
    found = subprocess.run(command, capture_output=True, text=True, check=True, env=dict(os.environ))
    kinds = ["application/x-fit-recording", "application/gpx+xml", "application/x-tcx+xml"]
    assert found.stdout.split() == [*kinds, kinds[0]]


def test_the_entry_is_valid(data_home: Path) -> None:
    validate = shutil.which("desktop-file-validate")
    if validate is None:
        pytest.skip("desktop-file-validate is not installed")
    main(["desktop", "--install"])
    entry = data_home / "applications" / "slopebeat.desktop"
    done = subprocess.run([validate, str(entry)], capture_output=True, text=True, check=False)
    assert (done.stdout + done.stderr).strip() == ""


def test_a_folder_that_may_not_be_written_to_gets_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setenv("XDG_DATA_HOME", str(blocked / "share"))
    assert main(["desktop", "--install"]) == 2
    assert capsys.readouterr().err.count(".\n") == 1
