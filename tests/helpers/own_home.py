"""A home for settings and data that is not the one of the person who runs the tests."""

from __future__ import annotations

from pathlib import Path

import pytest


def use_home(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Settings and data lie in this folder from now on."""
    monkeypatch.setenv("HOME", str(home))
    for name in ("CONFIG", "DATA", "CACHE", "STATE"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(home / name.lower()))
