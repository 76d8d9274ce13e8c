"""The lock files hold all that is needed, in the ranges of pyproject.toml, each by version and SHA-256."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
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


def test_where_nothing_locked_fits_the_ranges_are_tried_with_a_sentence(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    calls: list[list[str]] = []

    def pip(command: list[object], **_keywords: object) -> int:
        calls.append([str(part) for part in command])
        return 1 if "--require-hashes" in calls[-1] else 0

    monkeypatch.setattr(bootstrap, "ENVIRONMENT", tmp_path)
    monkeypatch.setattr(subprocess, "call", pip)
    bootstrap._install(Path(sys.executable), "test")
    assert "--require-hashes" in calls[0]
    assert calls[-1][-2:] == ["--editable", f"{ROOT}[test]"]
    assert "--no-deps" not in calls[-1]
    assert "locked-test.txt could not be installed" in capfd.readouterr().err
    calls.clear()
    bootstrap._install(Path(sys.executable), "test")
    assert calls == [], "once for each state"


def test_what_is_locked_is_all_that_is_installed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Every step takes hashes, or the package itself and nothing else."""
    calls: list[list[str]] = []

    def pip(command: list[object], **_keywords: object) -> int:
        calls.append([str(part) for part in command])
        return 0

    monkeypatch.setattr(bootstrap, "ENVIRONMENT", tmp_path)
    monkeypatch.setattr(subprocess, "call", pip)
    bootstrap._install(Path(sys.executable), "")
    for call in calls:
        assert "--no-deps" in call
        assert "--require-hashes" in call or call[-2:] == ["--editable", str(ROOT)]
