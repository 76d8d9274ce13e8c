"""A library in a folder of its own, with one athlete."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from library.making import warden
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete

NOBODY = 65534


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with Library.create(tmp_path / "library.sqlite3") as opened:
        yield opened


@pytest.fixture
def athlete(library: Library) -> Athlete:
    return library.athletes.add(warden())


@pytest.fixture
def unprivileged() -> Iterator[Path]:
    """A folder anyone may enter, and the rights of no one in particular where the tests run as root."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        root = hasattr(os, "geteuid") and os.geteuid() == 0
        yield folder
        if root:
            os.seteuid(0)
        for path in (folder, *folder.rglob("*")):
            path.chmod(0o755)


def drop_privileges() -> None:
    if os.geteuid() == 0:
        os.seteuid(NOBODY)
