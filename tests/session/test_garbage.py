"""Cycles are collected on the window's thread alone: a scene taken apart in another ends the program."""

from __future__ import annotations

import gc
import subprocess
import sys
import threading
import weakref
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS, WAIT_S
from slopebeat.__main__ import main as from_terminal
from slopebeat.command.main import main as command
from slopebeat.session.background import Background
from slopebeat.session.garbage import WindowThreadGarbage

ENOUGH = 20_000
"""Many times the number of new objects after which Python would collect."""


class Cycle:
    """Refers to itself, as views and what they show often do."""

    def __init__(self) -> None:
        self.me = self


def many_objects(progress: Callable[[float], None]) -> None:
    """What makes Python collect in the thread that does it."""
    kept = [[number] for number in range(ENOUGH)]
    assert len(kept) == ENOUGH


@pytest.fixture
def collecting_threads() -> Iterator[list[threading.Thread]]:
    """The threads in which a collection has begun."""
    threads: list[threading.Thread] = []

    def began(phase: str, _facts: dict[str, Any]) -> None:
        if phase == "start":
            threads.append(threading.current_thread())

    gc.callbacks.append(began)
    yield threads
    gc.callbacks.remove(began)


def work(background: Background, qtbot: QtBot) -> None:
    done: list[object] = []
    background.run_in_background(many_objects, done.append, done.append)
    qtbot.waitUntil(lambda: bool(done), timeout=WAIT_MS)
    assert done == [None]


def test_python_alone_would_collect_in_the_thread_at_work(
    qtbot: QtBot, collecting_threads: list[threading.Thread]
) -> None:
    background = Background()
    gc.enable()
    work(background, qtbot)
    gc.disable()
    background.close()
    assert any(thread is not threading.main_thread() for thread in collecting_threads)


def test_nothing_is_collected_in_the_thread_at_work_and_all_of_it_here(
    qtbot: QtBot, collecting_threads: list[threading.Thread]
) -> None:
    background, garbage = Background(), WindowThreadGarbage()
    gc.enable()
    garbage.keep_here()
    left = weakref.ref(Cycle())
    work(background, qtbot)
    assert left() is not None
    garbage.collect_now_and_then()
    kept = [[number] for number in range(ENOUGH)]
    qtbot.waitUntil(lambda: left() is None, timeout=WAIT_MS)
    background.close()
    assert kept
    assert collecting_threads
    assert all(thread is threading.main_thread() for thread in collecting_threads)


def test_the_thread_at_work_holds_none_of_the_views_that_are_told_of_its_job(qtbot: QtBot) -> None:
    background, go_on = Background(), threading.Event()

    def wait(progress: Callable[[float], None]) -> None:
        assert go_on.wait(WAIT_S)

    done: list[object] = []
    job = background.run_in_background(wait, done.append, done.append)
    assert not [name for name, value in vars(job).items() if callable(value)]
    go_on.set()
    qtbot.waitUntil(lambda: bool(done), timeout=WAIT_MS)
    background.close()


def test_a_command_carried_out_beside_a_window_does_not_let_threads_collect_again(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert not gc.isenabled()
    for main in (from_terminal, command):
        assert main(["review", "--help"]) == 0
        assert not gc.isenabled()
    assert capsys.readouterr().out


SCENE_IN_A_CYCLE = """
import gc, threading
from PySide6.QtWidgets import QApplication, QGraphicsScene
from slopebeat.session.garbage import WindowThreadGarbage
app = QApplication([])
garbage = WindowThreadGarbage()
garbage.keep_here()
garbage.collect_now_and_then()
for number in range(300):
    scene = QGraphicsScene()
    scene.words = scene.addText("x")
    scene.me = scene
    del scene
    thread = threading.Thread(target=lambda: [[n] for n in range(20_000)])
    thread.start()
    while thread.is_alive():
        app.processEvents()
print("whole")
"""


def test_scenes_left_in_cycles_do_not_end_the_program() -> None:
    ran = subprocess.run(
        [sys.executable, "-c", SCENE_IN_A_CYCLE], capture_output=True, text=True, timeout=WAIT_S, check=False
    )
    assert ran.stdout.split() == ["whole"], ran.stderr
