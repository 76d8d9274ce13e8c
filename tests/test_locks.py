"""The lock files hold all that is needed, in the ranges of pyproject.toml, each by version and SHA-256."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "app"))

import bootstrap  # noqa: E402 - it stands in app, beside the program it sets up

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
WANTED = {
    bootstrap.LOCKS[""]: PROJECT["project"]["dependencies"],
    bootstrap.LOCKS["test"]: [
        *PROJECT["project"]["dependencies"],
        *PROJECT["project"]["optional-dependencies"]["test"],
    ],
    bootstrap.LOCKS["package"]: [
        *PROJECT["project"]["dependencies"],
        *PROJECT["project"]["optional-dependencies"]["package"],
    ],
    bootstrap.BUILD_LOCK: PROJECT["build-system"]["requires"],
}


def locked(path: Path) -> list[tuple[Requirement, list[str]]]:
    """Each locked requirement with its hashes."""
    entries = re.split(r"\n(?=\S)", path.read_text(encoding="utf-8").replace("\\\n", " ").strip())
    found = []
    for entry in entries:
        wanted, *hashes = re.split(r"\s+--hash=", entry.strip())
        found.append((Requirement(wanted), hashes))
    return found


@pytest.mark.parametrize("path", WANTED, ids=lambda path: path.name)
def test_each_is_locked_to_one_version_with_hashes_and_names_no_place(path: Path) -> None:
    for requirement, hashes in locked(path):
        assert re.fullmatch(r"==[\w.]+", str(requirement.specifier)), requirement
        assert requirement.url is None
        assert hashes, requirement
        for each in hashes:
            assert re.fullmatch(r"sha256:[0-9a-f]{64}", each), requirement
    assert "://" not in path.read_text(encoding="utf-8")
    assert "--index" not in path.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", WANTED, ids=lambda path: path.name)
@pytest.mark.parametrize("python", ["3.11", "3.12", "3.13", "3.14"])
@pytest.mark.parametrize(
    ("platform", "machine"),
    [("linux", "x86_64"), ("linux", "aarch64"), ("darwin", "arm64"), ("win32", "AMD64")],
)
def test_what_pyproject_asks_for_is_locked_within_its_ranges(
    path: Path, python: str, platform: str, machine: str
) -> None:
    """On every system there is exactly one version of each, and it is allowed."""
    place = {
        "python_version": python,
        "python_full_version": f"{python}.0",
        "sys_platform": platform,
        "platform_system": {"linux": "Linux", "darwin": "Darwin", "win32": "Windows"}[platform],
        "platform_machine": machine,
        "os_name": "nt" if platform == "win32" else "posix",
    }
    here = [entry for entry, _ in locked(path) if entry.marker is None or entry.marker.evaluate(place)]
    versions = {canonicalize_name(entry.name): str(entry.specifier)[2:] for entry in here}
    assert len(versions) == len(here), "one version of each"
    for text in WANTED[path]:
        asked = Requirement(text)
        version = versions.get(canonicalize_name(asked.name))
        assert version is not None, f"{text}: python tests/renew_locks.py --keep"
        assert asked.specifier.contains(version), f"{text}: python tests/renew_locks.py --keep"


def test_the_locks_agree_with_one_another() -> None:
    every = {str(entry) for entry, _ in locked(bootstrap.LOCKS["test"])}
    for path in (bootstrap.LOCKS[""], bootstrap.BUILD_LOCK):
        assert {str(entry) for entry, _ in locked(path)} <= every
    package = {str(entry) for entry, _ in locked(bootstrap.LOCKS["package"])}
    assert {str(entry) for entry, _ in locked(bootstrap.LOCKS[""])} <= package


class Pip:
    """Stands in for the processes of pip: notes the calls, says what pip says, fails where it is told to."""

    def __init__(self, fails: Callable[[list[str]], bool] = lambda call: False) -> None:
        self.calls: list[list[str]] = []
        self.fails = fails

    def __call__(self, command: list[object], **_keywords: object) -> Pip:
        self.calls.append([str(part) for part in command])
        said = ["Collecting numpy==2.4.0\n", "  Downloading numpy.whl (18 MB)\n", "ERROR: no such thing\n"]
        self.stdout = iter(said)
        return self

    def wait(self) -> int:
        return 1 if self.fails(self.calls[-1]) else 0


@pytest.fixture
def pip(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Pip:
    made = Pip()
    monkeypatch.setattr(bootstrap, "ENVIRONMENT", tmp_path)
    monkeypatch.setattr(bootstrap, "LOG", tmp_path / "installation.log")
    monkeypatch.setattr(subprocess, "Popen", made)
    monkeypatch.delenv(bootstrap.WHEELS, raising=False)
    return made


def test_where_nothing_locked_fits_the_ranges_are_tried_with_a_sentence(
    pip: Pip, capfd: pytest.CaptureFixture[str]
) -> None:
    pip.fails = lambda call: "--require-hashes" in call
    bootstrap._install(Path(sys.executable), "test")
    assert "--require-hashes" in pip.calls[0]
    assert pip.calls[-1][-2:] == ["--editable", f"{ROOT}[test]"]
    assert "--no-deps" not in pip.calls[-1]
    assert "locked-test.txt could not be installed" in capfd.readouterr().err
    pip.calls.clear()
    bootstrap._install(Path(sys.executable), "test")
    assert pip.calls == [], "once for each state"


def test_what_is_locked_is_all_that_is_installed(pip: Pip) -> None:
    """Every step takes hashes, or the package itself and nothing else."""
    bootstrap._install(Path(sys.executable), "")
    assert len(pip.calls) == 3
    for call in pip.calls:
        assert "--no-deps" in call
        assert "--require-hashes" in call or call[-2:] == ["--editable", str(ROOT)]
        assert "--no-index" not in call
        assert "--no-cache-dir" in call, "a cache would be left where the program is removed"


def test_the_installers_own_words_are_kept_and_not_shown(
    pip: Pip, capfd: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    bootstrap._install(Path(sys.executable), "")
    captured = capfd.readouterr()
    assert captured.out.count("\n") == 1
    assert captured.out.startswith("Setting the program up in")
    assert captured.err == ""
    assert (tmp_path / "installation.log").read_text(encoding="utf-8").count("Downloading numpy.whl") == 3


def test_where_it_fails_they_are_shown_and_the_next_start_tries_again(pip: Pip, tmp_path: Path) -> None:
    pip.fails = lambda call: True
    with pytest.raises(SystemExit) as ended:
        bootstrap._install(Path(sys.executable), "")
    assert "ERROR: no such thing" in str(ended.value)
    assert "Is the machine online?" in str(ended.value)
    pip.fails = lambda call: False
    pip.calls.clear()
    bootstrap._install(Path(sys.executable), "")
    assert len(pip.calls) == 3


def test_on_a_terminal_one_line_says_how_far_it_is(
    pip: Pip, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    bootstrap._install(Path(sys.executable), "")
    said = capfd.readouterr().out
    assert said.count("\n") == 1
    count = len(locked(bootstrap.LOCKS[""])) + len(locked(bootstrap.BUILD_LOCK))
    assert f"2 of {count} packages" in said
    assert said.rstrip().endswith("done")


@pytest.mark.parametrize("named", [True, False])
def test_with_a_folder_of_wheels_nothing_is_fetched(
    pip: Pip, named: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """``--no-index``: pip then looks at the folder only (pip's documentation, "Installing packages")."""
    folder = tmp_path / "wheels"
    folder.mkdir()
    for name in ("pyproject.toml", "app"):
        (tmp_path / name).symlink_to(ROOT / name)
    if named:
        monkeypatch.setenv(bootstrap.WHEELS, str(folder))
    else:
        monkeypatch.setattr(bootstrap, "ROOT", tmp_path)
    bootstrap._install(Path(sys.executable), "")
    for call in pip.calls:
        at = call.index("--no-index")
        assert call[at + 1 : at + 3] == ["--find-links", str(folder)]
    assert "from the files in wheels" in capfd.readouterr().out


def test_a_folder_of_wheels_that_is_not_there_is_said(
    pip: Pip, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(bootstrap.WHEELS, str(tmp_path / "missing"))
    with pytest.raises(SystemExit, match="which is no folder"):
        bootstrap._install(Path(sys.executable), "")
    assert pip.calls == []
