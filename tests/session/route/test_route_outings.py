"""Which outings a plan learns from while a library fills, and once the user has chosen."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from PySide6.QtCore import QObject, Signal

from slopebeat.library.outings import StoredOuting
from slopebeat.model.evidence import WALK
from slopebeat.model.people import Ground
from slopebeat.review.planning.library import LATEST_OUTINGS
from slopebeat.session.library.rows import OutingRow
from slopebeat.session.route.outings import RouteOutings

FIRST = datetime(2026, 5, 1, 7, tzinfo=UTC)


class Opened(QObject):
    """A library that fills when it is told to."""

    athlete_changed = Signal()
    rows_changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.library = SimpleNamespace(path=Path("walks.sqlite3"))
        self.athlete = SimpleNamespace(identity="warden", name="Hut warden")
        self.rows: tuple[OutingRow, ...] = ()

    def fill(self, count: int) -> None:
        self.rows = tuple(OutingRow(_outing(i), None) for i in range(count))
        self.rows_changed.emit()


def _outing(number: int) -> StoredOuting:
    names = dict.fromkeys(StoredOuting.__dataclass_fields__)
    start = FIRST + timedelta(days=number)
    return StoredOuting(**{**names, "identity": str(number), "start_utc": start, "on_bike": False})  # type: ignore[arg-type]


@pytest.fixture
def parts(qapp: object) -> Any:
    """A outings on a library that is being filled, joined to it as the route's session does."""
    opened, work = Opened(), SimpleNamespace(busy=True)
    outings = RouteOutings(SimpleNamespace(opened=opened, work=work))  # type: ignore[arg-type]
    begun: list[int] = []
    outings.replaced.connect(lambda: outings.begin(Ground.FOOT, WALK))
    outings.changed.connect(lambda: begun.append(len(outings.chosen)))
    opened.athlete_changed.emit()
    return SimpleNamespace(opened=opened, work=work, outings=outings, begun=begun)


def latest(count: int) -> frozenset[str]:
    return frozenset(str(i) for i in range(max(count - LATEST_OUTINGS, 0), count))


def test_the_ticks_follow_a_library_that_fills_and_are_right_at_its_end(parts: Any) -> None:
    for count in (3, 9, 39, 45, 80):
        parts.opened.fill(count)
    assert len(parts.outings.chosen) == LATEST_OUTINGS
    so_far = len(parts.begun)
    parts.opened.fill(120)
    assert len(parts.begun) == so_far, "a plan is not begun again with every outing that arrives"
    parts.work.busy = False
    parts.opened.fill(130)
    assert parts.outings.chosen == latest(130)
    parts.opened.fill(130)
    assert len(parts.begun) == so_far + 1


@pytest.mark.parametrize("chosen", [frozenset({"1"}), frozenset()])
def test_ticks_of_the_user_stay_until_another_ground_is_begun(parts: Any, chosen: frozenset[str]) -> None:
    parts.opened.fill(5)
    parts.outings.choose(chosen)
    parts.work.busy = False
    for count in (9, 30):
        parts.opened.fill(count)
        assert parts.outings.chosen == chosen
    parts.opened.fill(1)
    assert parts.outings.chosen == frozenset(), "what is gone teaches nothing"
    parts.outings.begin(Ground.FOOT, WALK)
    parts.opened.fill(30)
    assert parts.outings.chosen == latest(30)
