"""A page made in pieces: what was wanted last is what comes of it, whenever the page became whole."""

from __future__ import annotations

from collections.abc import Iterator

from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.session.steps import Steps
from slopebeat.window.widgets.page_in_pieces import PageInPieces


def three_pieces(made: list[str]) -> Iterator[None]:
    for number in range(3):
        made.append(f"piece {number}")
        yield


def test_an_act_waits_until_the_page_is_whole(qtbot: QtBot) -> None:
    said: list[str] = []
    parts = PageInPieces(Steps(), lambda: said, three_pieces)
    parts.when_whole(lambda: said.append("act"))
    qtbot.waitUntil(lambda: "act" in said, timeout=WAIT_MS)
    assert said == ["piece 0", "piece 1", "piece 2", "act"]


def test_preparing_the_page_takes_the_place_of_nothing(qtbot: QtBot) -> None:
    said: list[str] = []
    parts = PageInPieces(Steps(), lambda: said, three_pieces)
    parts.when_whole(lambda: said.append("act"))
    parts.prepare()
    qtbot.waitUntil(lambda: "act" in said, timeout=WAIT_MS)
    assert said == ["piece 0", "piece 1", "piece 2", "act"]


def test_what_is_wanted_later_is_never_overtaken_by_what_was_wanted_before(qtbot: QtBot) -> None:
    """Between the last piece and the turn of the act that waited for it another one may be wanted."""
    said: list[str] = []
    steps = Steps()
    parts = PageInPieces(steps, lambda: said, three_pieces)
    parts.when_whole(lambda: said.append("before"))
    assert parts.page is said  # Made at once, while the act waits for its turn.
    parts.when_whole(lambda: said.append("later"))
    qtbot.waitUntil(lambda: steps.idle, timeout=WAIT_MS)
    assert said[3:] == ["later"]
