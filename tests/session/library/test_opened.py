"""Libraries opened in quick succession: the one that was asked for last stays, whichever is there first."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from slopebeat.session.background import Background
from slopebeat.session.library.memory import LibraryMemory
from slopebeat.session.library.opened import OpenLibrary


class Ending(Background):
    """Does its work at once, and tells of it when the test says so."""

    def __init__(self) -> None:
        super().__init__()
        self.ends: list[Callable[[], None]] = []

    def run_in_background(self, function: Any, on_done: Any, *_others: Any) -> Any:
        done = function(lambda share: None)
        self.ends.append(lambda: on_done(done))


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_the_library_asked_for_last_stays(tmp_path: Path, order: tuple[int, int]) -> None:
    background = Ending()
    opened = OpenLibrary(background, LibraryMemory(tmp_path))
    paths = [tmp_path / name for name in ("first.sqlite3", "last.sqlite3")]
    for path in paths:
        opened.open(path)
    for number in order:
        background.ends[number]()
    assert opened.library is not None
    assert opened.library.path == paths[1]
    assert opened.idle
    opened.close()
    background.close()
