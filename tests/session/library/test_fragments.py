"""Recordings of seconds are folded away from the list and the months, said how many, and can be shown."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any, cast

import pytest
from PySide6.QtCore import QObject, Signal

from helpers.summaries import PLAIN
from slopebeat.library.outings import StoredOuting
from slopebeat.session.background import Background
from slopebeat.session.library.filter import FRAGMENT_S, Filter, ShownOutings, is_fragment
from slopebeat.session.library.opened import OpenLibrary
from slopebeat.session.library.rows import OutingRow


class AtOnce:
    """Does what is asked for where it is asked for."""

    def run_in_background(self, work: Callable[[Any], Any], done: Callable[[Any], None], *_: Any) -> None:
        done(work(lambda share: None))


class Rows(QObject):
    """What the list reads of an open library."""

    rows_changed = Signal()
    athlete_changed = Signal()
    inputs = None
    is_demo = False

    def __init__(self, rows: list[OutingRow]) -> None:
        super().__init__()
        self.rows = rows


def row(number: int, recorded_s: float | None) -> OutingRow:
    start = PLAIN.start_utc + timedelta(days=number)
    outing = cast(
        StoredOuting, type("Outing", (), {"identity": f"{number}", "start_utc": start, "title": ""})
    )
    summary = None if recorded_s is None else replace(PLAIN, start_utc=start, recorded_s=recorded_s)
    return OutingRow(outing, summary)


@pytest.fixture
def shown() -> ShownOutings:
    rows = [row(0, 7200.0), row(1, 98.0), row(2, FRAGMENT_S), row(3, 0.0)]
    made = ShownOutings(cast(Background, AtOnce()), cast(OpenLibrary, Rows(rows)))
    made.update()
    return made


def test_fragments_are_folded_away_and_counted(shown: ShownOutings) -> None:
    assert [each.outing.identity for each in shown.shown.rows] == ["0", "2"]
    assert shown.shown.folded == 2
    assert len(shown.shown.months.outings) == 2


def test_they_can_be_shown(shown: ShownOutings) -> None:
    shown.set_filter(Filter(fragments=True))
    assert len(shown.shown.rows) == 4
    assert shown.shown.folded == 0


def test_what_is_not_reviewed_yet_is_no_fragment() -> None:
    assert not is_fragment(row(0, None))
