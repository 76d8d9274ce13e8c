"""Steps are taken one in a turn of the event loop, in order, each once."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, QObject
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from slopebeat.session.steps import Steps


class Key(QObject):
    """Something a user does between two steps."""

    def __init__(self, told: list[str]) -> None:
        super().__init__()
        self._told = told

    def event(self, event: QEvent) -> bool:
        if event.type() is QEvent.Type.User:
            self._told.append("key")
        return super().event(event)


def test_what_was_posted_meanwhile_comes_before_the_next_step(qtbot: QtBot) -> None:
    told: list[str] = []
    steps, key = Steps(), Key(told)

    def first() -> None:
        told.append("first")
        QCoreApplication.postEvent(key, QEvent(QEvent.Type.User))

    steps.later(first, lambda: told.append("second"))
    assert not told
    assert not steps.idle
    qtbot.waitUntil(lambda: steps.idle, timeout=WAIT_MS)
    assert told == ["first", "key", "second"]


def test_what_is_wanted_again_is_run_once_and_after_what_came_between(qtbot: QtBot) -> None:
    told: list[str] = []

    def old() -> None:
        told.append("drawn")

    def between() -> None:
        told.append("between")

    steps = Steps()
    steps.later(old, between)
    steps.later(old)
    qtbot.waitUntil(lambda: steps.idle, timeout=WAIT_MS)
    assert told == ["between", "drawn"]


def test_a_step_may_want_further_steps(qtbot: QtBot) -> None:
    told: list[int] = []
    steps = Steps()

    def again() -> None:
        told.append(len(told))
        if len(told) < 3:
            steps.later(again)

    steps.later(again)
    qtbot.waitUntil(lambda: steps.idle, timeout=WAIT_MS)
    assert told == [0, 1, 2]


def test_nothing_is_run_after_the_end(qtbot: QtBot) -> None:
    told: list[str] = []
    steps = Steps()
    steps.later(lambda: told.append("before"))
    steps.close()
    steps.later(lambda: told.append("after"))
    # What is asked for later comes its turn in order: once this is done, all before it would have been.
    others, told_since = Steps(), list[str]()
    others.later(lambda: told_since.append("since"))
    qtbot.waitUntil(lambda: bool(told_since), timeout=WAIT_MS)
    assert steps.idle
    assert not told


def test_what_is_read_waits_while_a_hand_moves_and_then_shows_the_last(qtbot: QtBot) -> None:
    told: list[tuple[str, int]] = []
    place, held = 0, True
    steps = Steps(together=lambda: held)

    def read() -> None:
        told.append(("read", place))

    def watched() -> None:
        told.append(("watched", place))

    for _ in range(4):
        place += 1
        steps.seldom(read)
        steps.later(watched)
        steps._run_next()
    assert told == [("read", 1), *(("watched", n) for n in range(1, 5))]
    qtbot.waitUntil(lambda: told[-1] == ("read", 4), timeout=WAIT_MS)
    held = False
    steps.seldom(read)
    steps.seldom(read)
    qtbot.waitUntil(lambda: steps.idle, timeout=WAIT_MS)
    assert [what for what, _ in told].count("read") == 3


def test_layouts_around_a_word_that_grew_have_settled_before_anything_else_comes(qtbot: QtBot) -> None:
    page, inner, words, below = QWidget(), QWidget(), QLabel("a"), QLabel("below")
    qtbot.addWidget(page)
    QVBoxLayout(inner).addWidget(words)
    around = QVBoxLayout(page)
    around.addWidget(inner)
    around.addWidget(below)
    around.addStretch(1)
    # The offscreen platform warns of a window whose layout gives it a least size.
    around.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
    page.resize(200, 400)
    with qtbot.waitExposed(page):
        page.show()
    before, steps = below.y(), Steps()
    steps.later(lambda: words.setText("a\nb\nc"))
    steps._run_next()
    assert below.y() > before
