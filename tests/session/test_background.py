"""Background work: where it runs, what is delivered, and how it is stopped."""

from __future__ import annotations

import threading
from collections.abc import Callable

from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS, WAIT_S
from slopebeat.session.background import Background


def unexpected(value: object) -> None:
    raise AssertionError(f"must not be delivered: {value!r}")


def test_work_runs_in_another_thread_and_the_result_arrives_in_this_one(qtbot: QtBot) -> None:
    background = Background()
    done: list[tuple[object, threading.Thread]] = []
    background.run_in_background(
        lambda progress: threading.current_thread(),
        lambda result: done.append((result, threading.current_thread())),
        unexpected,
    )
    qtbot.waitUntil(lambda: bool(done), timeout=WAIT_MS)
    ((worker, here),) = done
    assert here is threading.main_thread()
    assert worker is not here
    background.close()


def test_an_error_arrives_as_it_was_raised(qtbot: QtBot) -> None:
    background = Background()
    errors: list[Exception] = []

    def fail(progress: Callable[[float], None]) -> None:
        raise ValueError("broken")

    background.run_in_background(fail, unexpected, errors.append)
    qtbot.waitUntil(lambda: bool(errors), timeout=WAIT_MS)
    assert isinstance(errors[0], ValueError)
    background.close()


def test_progress_arrives_once_for_each_percent(qtbot: QtBot) -> None:
    background = Background()
    seen: list[float] = []
    done: list[object] = []

    def work(progress: Callable[[float], None]) -> str:
        for step in range(1000):
            progress(step / 1000)
        return "done"

    background.run_in_background(work, done.append, unexpected, seen.append)
    qtbot.waitUntil(lambda: bool(done), timeout=WAIT_MS)
    assert seen == sorted(seen)
    assert len(seen) == 100
    background.close()


def test_cancelled_work_delivers_nothing_and_leaves_the_pool_usable(qtbot: QtBot) -> None:
    background = Background()
    started, go_on = threading.Event(), threading.Event()

    def work(progress: Callable[[float], None]) -> str:
        started.set()
        go_on.wait(WAIT_S)
        return "too late"

    job = background.run_in_background(work, unexpected, unexpected)
    assert started.wait(WAIT_S)
    job.cancel()
    go_on.set()
    done: list[object] = []
    background.run_in_background(lambda progress: 42, done.append, unexpected)
    qtbot.waitUntil(lambda: done == [42], timeout=WAIT_MS)
    qtbot.waitUntil(lambda: background.idle, timeout=WAIT_MS)
    background.close()


def test_close_waits_for_running_work(qtbot: QtBot) -> None:
    background = Background()
    running, ended = threading.Event(), threading.Event()

    def work(progress: Callable[[float], None]) -> None:
        running.set()
        try:
            while True:
                progress(0.5)
                threading.Event().wait(0.002)
        finally:
            ended.set()

    background.run_in_background(work, unexpected, unexpected)
    assert running.wait(WAIT_S)
    background.close()
    assert ended.is_set()
